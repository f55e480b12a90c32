package clearance

import (
	"context"
	"math"

	"barover/solver/queue"
	"barover/solver/taylor"
)

// overSearch is the search for the least of a figure over parts of boxes: the part with the least bound is bounded more closely next.
type overSearch struct {
	queue queue.Least[overNode] // by their bounds
	best  Worst
	near  float64 // so near the least found is near enough
	keeps float64 // the search ends when the figure is proved to stay above this
	upTo  float64 // a part with a greater bound is not bounded more closely
	floor float64 // the least bound of what is not looked at any more
	cuts  int     // how many boxes were enclosed for some of the engines
	// tighten bounds a node more closely as it stands; it returns false where only its parts would be. It is nil for never.
	tighten func(*overNode) bool
}

func newSearch() overSearch {
	inf := math.Inf(1)
	return overSearch{best: Worst{Lo: -inf, Near: inf}, near: inf, keeps: inf, upTo: inf, floor: inf}
}

// until goes on with closer, which bounds a node more closely or puts its parts into the queue, until the bound is near the least found. It
// returns false where closer does.
func (q *overSearch) until(ctx context.Context, o *Over, s *taylor.Space, tolerance float64, closer func(overNode) bool) bool {
	for q.queue.Len() > 0 {
		top := q.queue.First()
		q.near = q.best.Near - nearer(s, tolerance, top.moved)
		q.upTo = min(q.near, q.keeps)
		if top.lo >= min(q.floor, q.upTo) || q.best.Near < q.keeps && !math.IsInf(q.keeps, 1) {
			break
		}
		n := q.queue.Pop()
		if q.tighten != nil && q.tighten(&n) {
			q.put(&n)
			continue
		}
		if q.best.Boxes >= o.allowed || q.best.Boxes&15 == 15 && ctx.Err() != nil {
			q.put(&n)
			break
		}
		q.best.Boxes++
		if !closer(n) {
			return false
		}
	}
	return true
}

// end puts what is proved into best.
func (q *overSearch) end(ctx context.Context) {
	if q.best.Lo = min(q.floor, q.top()); ctx.Err() != nil {
		q.best.Lo = math.Inf(-1)
	}
}

// put adds a node.
func (q *overSearch) put(n *overNode) { q.queue.Push(n.lo, n) }

// top is the least bound of the nodes.
func (q *overSearch) top() float64 {
	if q.queue.Len() == 0 {
		return math.Inf(1)
	}
	return q.queue.Top()
}
