package spare

import "sync"

// Once keeps what was found for each key. The zero Once is empty. It may be used by several goroutines at once.
type Once[K comparable, V any] struct {
	mu  sync.Mutex
	all map[K]*found[V]
}

type found[V any] struct {
	mu sync.Mutex
	v  V
	ok bool
}

// Get returns what was found for a key before, or finds it. Nothing is kept of what fails. While one goroutine finds it,
// others that ask for the same key wait; find may ask for other keys, but not in a circle.
func (o *Once[K, V]) Get(key K, find func() (V, error)) (V, error) {
	f := o.of(key)
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.ok {
		return f.v, nil
	}
	v, err := find()
	if err == nil {
		f.v, f.ok = v, true
	}
	return v, err
}

func (o *Once[K, V]) of(key K) *found[V] {
	o.mu.Lock()
	defer o.mu.Unlock()
	f := o.all[key]
	if f == nil {
		if o.all == nil {
			o.all = make(map[K]*found[V])
		}
		f = new(found[V])
		o.all[key] = f
	}
	return f
}
