package tube

import (
	"math"
)

// A heading is continuous, over any number of turns, from its principal value at rest at the start of the turn: over the
// travels there, and from every setting over the turn. A box gives a heading except for whole turns. So its value in the
// middle of the box, or of parts of it, is computed once, and other values are taken nearest to it.

// lead is the value of a heading in the middle of a part of a box. All over the part the heading is near enough to it to
// decide the whole turns.
type lead struct {
	part Part
	at   float64
}

// leads are those of the parts that a box was cut into.
type leads []lead

// near returns the lead of the part that contains the middle of another or, because of rounding, of the part that is
// nearest to it.
func (l leads) near(p *Part, vars int) float64 {
	at, least := math.NaN(), math.Inf(1)
	for i := range l {
		q, out := &l[i].part, 0.0
		for k := range vars {
			out = max(out, math.Abs(p.Mid[k]-q.Mid[k])-q.Half[k])
		}
		if out < least {
			at, least = l[i].at, out
		}
		if out == 0 {
			break
		}
	}
	return at
}

const (
	// onCut is how near half a turn a heading at rest must be to count as half a turn, rad: then its principal value is
	// plus half a turn, whatever the rounding.
	onCut = 1e-6
	// mostTurned is how far a heading may go from its value in the middle of a part, rad: well below half a turn.
	mostTurned = 2.8
	// leadSplits is how many times a box may be halved along each coordinate to follow a heading, for example where two
	// points pass close by one another, and leadSplitsAlong how many times if there is one coordinate alone.
	leadSplits, leadSplitsAlong = 7, 14
	// seamWidth is how near another part must come to meet a part, as a share of it.
	seamWidth = 1e-9
)

// ahead is a heading over a part of a box as a polynomial. Whole turns are missing until its start is known.
type ahead struct {
	box      int
	part     Part
	poly     []float64
	rad      float64
	from, to []float64 // the turn and the travels
	told     bool
}

// follow computes each running heading in the middle of each part of each box. It returns false where that fails: beyond
// a gap, and where a heading has no value.
func (r *Runner) follow() bool {
	if !r.tube.Whole() {
		return false
	}
	splits := leadSplits * len(r.tube.vary)
	if len(r.tube.vary) == 1 {
		splits = leadSplitsAlong
	}
	for k := range r.fig.run {
		r.base = append(r.base, make([]leads, len(r.tube.Boxes)))
		var all []*ahead
		for i := range r.tube.Boxes {
			p := Full()
			var ok bool
			if all, ok = r.cut(all, i, k, &p, splits); !ok {
				return false
			}
		}
		if !r.tell(all) {
			return false
		}
		for _, a := range all {
			r.base[k][a.box] = append(r.base[k][a.box], lead{a.part, a.poly[0]})
		}
	}
	return true
}

// cut encloses heading k over a part of box i, in halves where whole turns cannot be decided over the whole part, and
// appends the result.
func (r *Runner) cut(list []*ahead, i, k int, p *Part, splits int) ([]*ahead, bool) {
	a, along := r.piece(i, k, p, splits)
	if a != nil {
		return append(list, a), true
	}
	if splits == 0 {
		return list, false
	}
	ok := true
	for side := range 2 {
		half := p.HalvedAlong(along, side)
		if list, ok = r.cut(list, i, k, &half, splits-1); !ok {
			return list, false
		}
	}
	return list, true
}

// piece encloses heading k over a part of box i, except for whole turns. Where it may turn too far to decide them it
// returns nil, and the coordinate along which to halve the part.
func (r *Runner) piece(i, k int, p *Part, splits int) (a *ahead, along int) {
	h, vars := r.fig.run[k].Slot, len(r.tube.vary)
	for j := range k {
		r.st.Near(r.fig.run[j].Slot, r.base[j][i].near(p, vars))
	}
	r.st.Near(h, math.NaN())
	b := &r.tube.Boxes[i]
	if !r.place(b, p) || !r.st.Fill(0, h+1) {
		return nil, splits % vars // which coordinate leads to the place without a value does not show
	}
	poly := r.st.Poly(h)
	if lo, hi := r.st.Range(h); !(2*r.st.Rad(h) < 1 && hi-poly[0] < mostTurned && poly[0]-lo < mostTurned) {
		for c := range vars {
			if first := r.tube.Space.At[1]; math.Abs(poly[first+c]) > math.Abs(poly[first+along]) {
				along = c
			}
		}
		return nil, along
	}
	a = &ahead{box: i, part: *p, poly: append([]float64(nil), poly...), rad: r.st.Rad(h)}
	a.from, a.to = []float64{b.Turn.From}, []float64{b.Turn.To}
	for j := range b.Travel {
		a.from, a.to = append(a.from, b.Travel[j].From), append(a.to, b.Travel[j].To)
	}
	for c, j := range r.tube.vary {
		if j == 0 && b.folded != nil {
			at, end := b.turnOn(p.Mid[c]-p.Half[c]), b.turnOn(p.Mid[c]+p.Half[c])
			a.from[0], a.to[0] = min(at, end), max(at, end)
			continue
		}
		mid, half := (a.from[j]+a.to[j])/2, (a.to[j]-a.from[j])/2
		a.from[j], a.to[j] = mid+half*(p.Mid[c]-p.Half[c]), mid+half*(p.Mid[c]+p.Half[c])
	}
	return a, 0
}

// tell adds whole turns. At rest, at the start of the turn, a heading has its principal value, and from there it
// continues from part to part without a jump. It returns false where that does not reach all parts.
func (r *Runner) tell(all []*ahead) bool {
	rest := r.tube.begin()
	var queue []*ahead
	for _, a := range all {
		if _, ok := a.meets(rest, rest); ok {
			a.turn(principal(r.value(a, rest)))
			queue = append(queue, a)
			break
		}
	}
	for n := 0; n < len(queue); n++ {
		from := queue[n]
		for _, a := range all {
			if a.told {
				continue
			}
			at, ok := a.meets(from.from, from.to)
			if !ok {
				continue
			}
			known, here := r.value(from, at), r.value(a, at)
			turns := math.Round((known - here) / (2 * math.Pi))
			if !(math.Abs(here+2*math.Pi*turns-known)+from.rad+a.rad < 1) {
				return false
			}
			a.turn(turns)
			queue = append(queue, a)
		}
	}
	return len(queue) == len(all)
}

// begin is the start of the turn with the travels at rest, brought within those of the tube.
func (t *Tube) begin() []float64 {
	out := []float64{t.Turn.From}
	for j, r := range t.Travel {
		v := r.Mid()
		if len(t.rest) == len(t.Travel) {
			v = min(max(t.rest[j], r.From), r.To)
		}
		out = append(out, v)
	}
	return out
}

// meets returns a place, the turn and the travels, that a part shares with another or with a place.
func (a *ahead) meets(from, to []float64) ([]float64, bool) {
	for j := range from {
		if seam := seamWidth * (a.to[j] - a.from[j]); max(a.from[j], from[j]) > min(a.to[j], to[j])+seam {
			return nil, false
		}
	}
	at := make([]float64, len(from))
	for j := range from {
		at[j] = (max(a.from[j], from[j]) + min(a.to[j], to[j])) / 2
	}
	return at, true
}

// turn adds whole turns; from then on the heading is known.
func (a *ahead) turn(turns float64) { a.poly[0], a.told = a.poly[0]+2*math.Pi*turns, true }

// value returns a heading at a place.
func (r *Runner) value(a *ahead, at []float64) float64 {
	b := &r.tube.Boxes[a.box]
	tau := r.tube.local(b, at[0], at[1:])
	if b.folded != nil {
		tau[0] = b.along(at[0])
	}
	for k := range r.tube.vary {
		if tau[k] -= a.part.Mid[k]; a.part.Half[k] > 0 {
			tau[k] /= a.part.Half[k]
		}
	}
	return r.tube.Space.Value(a.poly, &tau)
}

// principal returns the number of whole turns that bring a heading to its principal value.
func principal(v float64) float64 {
	turns := -math.Round(v / (2 * math.Pi))
	if v+2*math.Pi*turns < -math.Pi+onCut {
		turns++
	}
	return turns
}
