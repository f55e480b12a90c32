// Package spare keeps what can be used again: scratch space that is not in use (Pool), and values computed once per key and
// shared between goroutines (Once).
//
// The runtime's own pool holds what is put into it for up to two collections, whoever owns it. Where engines are solved
// by the thousand, each with scratch space of its own, that keeps most of the dead ones alive. The more of them there
// are, the rarer collections become. A Pool dies with its owner.
//
// It knows nothing of engines. There is nothing to change.
package spare

import "sync"

// Pool is scratch space that is not in use. The zero Pool is empty. It may be used by several goroutines at once.
type Pool[T any] struct {
	New func() T // makes one where none is left; nil where Get may say that there is none

	mu   sync.Mutex
	list []T
}

// Get takes one out, the last that was put in, or a new one. It is false where there is none and none can be made.
func (p *Pool[T]) Get() (T, bool) {
	if v, ok := p.take(); ok || p.New == nil {
		return v, ok
	}
	return p.New(), true
}

func (p *Pool[T]) take() (v T, ok bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	n := len(p.list) - 1
	if n < 0 {
		return v, false
	}
	v = p.list[n]
	clear(p.list[n:])
	p.list = p.list[:n]
	return v, true
}

// Must is Get of a Pool with New.
func (p *Pool[T]) Must() T {
	v, _ := p.Get()
	return v
}

// Put puts one back, or in.
func (p *Pool[T]) Put(v T) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.list = append(p.list, v)
}
