package tube

import (
	"math"

	"barover/solver/taylor"
)

// follow works out where each running heading stands at the centre of each box: from its principal value at the start of
// the turn on, without a jump. It reports false where that cannot be told: beyond a gap, where a heading has no value, or
// where it passes half a turn at the start within the range of a travel.
func (r *Runner) follow() bool {
	if !r.tube.Whole() {
		return false
	}
	boxes := r.tube.Boxes
	polys := make([][]float64, len(boxes)) // of the heading in hand
	for k := range r.fig.run {
		r.base = append(r.base, make([]float64, len(boxes)))
		for i := range boxes {
			start, ok := r.startOf(polys, i, k)
			if !ok || !r.run(polys, i, k, start) {
				return false
			}
		}
	}
	return true
}

// startOf tells where heading k stands at the beginning of box i, with the travels at its middle.
func (r *Runner) startOf(polys [][]float64, i, k int) (float64, bool) {
	t := r.tube
	b := &t.Boxes[i]
	if b.Turn.From == t.Turn.From {
		return r.first(i, k)
	}
	mid := middle(b.Travel)
	for j := i - 1; j >= 0; j-- {
		if a := &t.Boxes[j]; a.Turn.To == b.Turn.From && a.holds(mid) {
			tau := t.local(a, b.Turn.From, mid)
			return t.Space.Value(polys[j], &tau), true
		}
	}
	return 0, false
}

// onCut is how near half a turn a heading must stay at the start to count as standing on it, rad: there it is half a turn
// itself, whichever side the enclosure reaches over.
const onCut = 1e-6

// first tells where heading k stands at the start of the turn, if it is a principal value for all travels of the box.
func (r *Runner) first(i, k int) (float64, bool) {
	p := Full()
	p.Mid[0], p.Half[0] = -1, 0
	h := r.fig.run[k].Slot
	if !r.upTo(i, k, &p) {
		return 0, false
	}
	lo, hi := r.st.Range(h)
	start := r.st.Poly(h)[0]
	if math.Pi-math.Abs(start) < onCut && hi-lo < onCut {
		return math.Abs(start), true
	}
	return start, lo > -math.Pi && hi <= math.Pi
}

// run encloses heading k over box i so that it begins at start.
func (r *Runner) run(polys [][]float64, i, k int, start float64) bool {
	p := Full()
	h := r.fig.run[k].Slot
	if !r.upTo(i, k, &p) {
		return false
	}
	tau := [taylor.MaxVars]float64{-1}
	poly := r.st.Poly(h)
	turns := math.Round((start - r.tube.Space.Value(poly, &tau)) / (2 * math.Pi))
	polys[i] = append([]float64(nil), poly...)
	polys[i][0] += 2 * math.Pi * turns
	r.base[k][i] = polys[i][0]
	off := math.Abs(r.tube.Space.Value(polys[i], &tau) - start)
	lo, hi := r.st.Range(h)
	return off+2*r.st.Rad(h) < 1 && hi-lo < 6
}

// upTo fills the tape up to heading k over a part of box i, with its principal value at the centre.
func (r *Runner) upTo(i, k int, p *Part) bool {
	h := r.fig.run[k].Slot
	for j := range k {
		r.st.Near(r.fig.run[j].Slot, r.base[j][i])
	}
	r.st.Near(h, math.NaN())
	return r.place(&r.tube.Boxes[i], i, p) && r.st.Fill(0, h+1)
}
