package clearance

import (
	"container/heap"
	"context"
	"math"

	"barover/solver/taylor"
)

// overSearch is the search for the least of a figure over parts of boxes: the part with the least bound is bounded more closely next.
type overSearch struct {
	queue overQueue
	best  Worst
	near  float64 // so near the least found is near enough
	keeps float64 // the search ends when the figure is proved to stay above this
	upTo  float64 // a part with a greater bound is not bounded more closely
	floor float64 // the least bound of what is not looked at any more
	cuts  int     // how many boxes were enclosed for some of the engines
	// tighten bounds the first more closely where it is; it returns false where only its parts would be. It is nil for never.
	tighten func(*overNode) bool
}

func newSearch() overSearch {
	inf := math.Inf(1)
	return overSearch{best: Worst{Lo: -inf, Near: inf}, near: inf, keeps: inf, upTo: inf, floor: inf}
}

// until goes on with closer, which bounds a node more closely or puts its parts into the queue, until the bound is near the least found. It
// returns false where closer does.
func (q *overSearch) until(ctx context.Context, o *Over, s *taylor.Space, tolerance float64, closer func(overNode) bool) bool {
	for len(q.queue) > 0 {
		top := &q.queue[0]
		q.near = q.best.Near - nearer(s, tolerance, top.moved)
		q.upTo = min(q.near, q.keeps)
		if top.lo >= min(q.floor, q.upTo) || q.best.Near < q.keeps && !math.IsInf(q.keeps, 1) {
			break
		}
		if q.tighten != nil && q.tighten(top) {
			heap.Fix(&q.queue, 0)
			continue
		}
		if q.best.Boxes >= o.allowed || q.best.Boxes&15 == 15 && ctx.Err() != nil {
			break
		}
		if !closer(heap.Pop(&q.queue).(overNode)) {
			return false
		}
	}
	return true
}

// end puts what is proved into best.
func (q *overSearch) end(ctx context.Context) {
	if q.best.Lo = min(q.floor, q.queue.least()); ctx.Err() != nil {
		q.best.Lo = math.Inf(-1)
	}
}

type overQueue []overNode

func (q overQueue) Len() int           { return len(q) }
func (q overQueue) Less(i, j int) bool { return q[i].lo < q[j].lo }
func (q overQueue) Swap(i, j int)      { q[i], q[j] = q[j], q[i] }
func (q *overQueue) Push(x any)        { *q = append(*q, x.(overNode)) }
func (q *overQueue) Pop() any {
	n := (*q)[len(*q)-1]
	*q = (*q)[:len(*q)-1]
	return n
}

// next is the least bound of all but the first.
func (q overQueue) next() float64 {
	return min(q[1:min(2, len(q))].least(), q[min(2, len(q)):].least())
}

// least is the least bound.
func (q overQueue) least() float64 {
	if len(q) == 0 {
		return math.Inf(1)
	}
	return q[0].lo
}
