package spare

import "sync"

// Once computes one value per key and shares it between goroutines. The zero Once is empty. Its methods may be called from
// several goroutines at once.
type Once[K comparable, V any] struct {
	mu  sync.Mutex
	all map[K]*found[V]
}

type found[V any] struct {
	mu sync.Mutex
	v  V
	ok bool
}

// Get returns the value of a key. It calls find if no call for the key has succeeded yet, and keeps the value; an error is
// returned and not kept. While find runs, other callers with the same key wait. find may call Get with other keys, but
// never in a cycle: that would deadlock.
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
