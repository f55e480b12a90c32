// Package queue is a priority queue: a binary heap of floating-point keys, the least first.
//
// It knows nothing of engines. There is nothing to change.
package queue

// Least is a priority queue of values with keys; the value with the least key comes first. The zero Least is empty. Only keys
// and indices move when the order changes, since a value may be large. It is not for several goroutines at once.
type Least[T any] struct {
	order []entry
	list  []T
	free  []int32
}

type entry struct {
	by float64
	at int32
}

// Reset empties the queue and keeps its memory.
func (q *Least[T]) Reset() { q.order, q.list, q.free = q.order[:0], q.list[:0], q.free[:0] }

// Len is the number of values.
func (q *Least[T]) Len() int { return len(q.order) }

// Top returns the least key. The queue must not be empty.
func (q *Least[T]) Top() float64 { return q.order[0].by }

// First returns the value with the least key, in place until the next Push or Pop. The queue must not be empty.
func (q *Least[T]) First() *T { return &q.list[q.order[0].at] }

// Push adds a copy of a value with its key.
func (q *Least[T]) Push(by float64, v *T) {
	e := entry{by, int32(len(q.list))}
	if k := len(q.free); k > 0 {
		e.at = q.free[k-1]
		q.free = q.free[:k-1]
		q.list[e.at] = *v
	} else {
		q.list = append(q.list, *v)
	}
	q.order = append(q.order, e)
	o, i := q.order, len(q.order)-1
	for i > 0 {
		up := (i - 1) / 2
		if !(by < o[up].by) {
			break
		}
		o[i] = o[up]
		i = up
	}
	o[i] = e
}

// Pop removes the value with the least key and returns it. The queue must not be empty.
func (q *Least[T]) Pop() T {
	o := q.order
	first, last := o[0], o[len(o)-1]
	o = o[:len(o)-1]
	i := 0
	for c := 1; c < len(o); c = 2*i + 1 {
		if c+1 < len(o) && o[c+1].by < o[c].by {
			c++
		}
		if !(o[c].by < last.by) {
			break
		}
		o[i] = o[c]
		i = c
	}
	if len(o) > 0 {
		o[i] = last
	}
	q.order = o
	q.free = append(q.free, first.at)
	v := q.list[first.at]
	clear(q.list[first.at : first.at+1]) // nothing that it points to is kept
	return v
}
