package tube

import (
	"maps"
	"slices"

	"barover/solver/taylor"
)

// Bound is a bound of a sum, or of its negative, over a part of a box and all sizes: it is nowhere below Lo, and about Near at a place with some
// sizes.
type Bound struct {
	Lo, Near float64
	Off      float64   // the radius that was subtracted
	Poly     []float64 // the polynomial that was bounded
	At       [taylor.MaxVars]float64
	Dev      []float64
	// Fork is a kink at which it bends downward; None for none. Along each of its two sides by itself it may be bounded more closely.
	Fork taylor.Slot
}

// Sides are kinks of which one side is taken: 1 for the first, 0 for the second.
type Sides map[taylor.Slot]float64

// With is the sides with one more.
func (s Sides) With(kink taylor.Slot, side float64) Sides {
	out := Sides{kink: side}
	maps.Copy(out, s)
	return out
}

// leaster bounds a sum times a sign on a part.
type leaster struct {
	*Runner
	box   int
	part  *Part
	finer *Finer
	sign  float64
	disc  []bool
}

// leastStep is the last step by which the slope along which kinks are enclosed is changed, as a share of that between their sides.
const leastStep = 0x1p-10

// along bounds the sum on a part, its kinks enclosed along some slopes.
func (s *leaster) along(lead map[taylor.Slot]float64) (b Bound, ok bool) {
	s.st.Lead(lead)
	v, ok := s.OverFiner(s.box, s.part, s.finer)
	if !ok || s.Doubt() {
		return b, false
	}
	b.Poly = make([]float64, len(v.Poly))
	for i, c := range v.Poly {
		b.Poly[i] = s.sign * c
	}
	b.Lo, b.At, b.Dev = s.tube.Space.LeastOf(b.Poly, s.disc)
	b.Near = s.tube.Space.ValueOf(b.Poly, &b.At, b.Dev) + v.Rad
	b.Lo, b.Off = b.Lo-v.Rad, v.Rad
	if s.sign > 0 && s.fig.tape.NeverBelow(s.fig.root) {
		b.Lo = max(b.Lo, 0)
	}
	return b, true
}

// Least bounds the sum, times a sign, on a part as OverFiner encloses it, with these sides of its kinks. Where disc says so, a size and the next
// are a place in a disc. Where the sum bends upward at kinks, one slope after the other is tried, each nearer to the sides that count where the
// last bound was least. It returns false where the sum may have no value.
func (r *Runner) Least(i int, p *Part, f *Finer, sides Sides, sign float64, disc []bool) (best Bound, ok bool) {
	s := &leaster{r, i, p, f, sign, disc}
	defer r.st.Lead(nil)
	if best, ok = s.along(sides); !ok {
		return best, false
	}
	kinks, fork := r.st.Kinks(r.fig.root, sign), taylor.None
	lead := map[taylor.Slot]float64{}
	maps.Copy(lead, sides)
	var up []taylor.Kink
	for _, k := range kinks {
		if k.Up {
			lead[k.At], up = 0.5, append(up, k)
		} else {
			fork = k.At
		}
	}
	if len(kinks) > 0 {
		if ok = s.slopes(up, lead, &best) && s.value(kinks, lead, &best); !ok {
			return best, false
		}
	}
	best.Fork = fork
	return best, true
}

// slopes makes a bound the best along several slopes, and its place one where neither side of the first kink is ahead, if it finds one.
func (s *leaster) slopes(up []taylor.Kink, lead map[taylor.Slot]float64, best *Bound) bool {
	at, dev := best.At, best.Dev
	var ends [2]*spotOver // where the bound was least, with either side of the first kink ahead
	for step := 0.25; len(up) > 0 && step >= leastStep; step /= 2 {
		b, ok := s.along(lead)
		if !ok {
			return false
		}
		at, dev = b.At, b.Dev
		for i, k := range up {
			ahead, side := s.st.Ahead(k, &at, dev), 0
			if lead[k.At] -= step; ahead > 0 {
				lead[k.At] += 2 * step
				side = 1
			}
			if i == 0 {
				ends[side] = &spotOver{at, dev, ahead}
			}
		}
		if b.Lo > best.Lo {
			*best = b
		}
	}
	if ends[0] != nil && ends[1] != nil {
		at, dev = ends[0].between(ends[1])
	}
	best.At, best.Dev = at, dev
	return true
}

// value is the sum itself at the place of a bound.
func (s *leaster) value(kinks []taylor.Kink, lead map[taylor.Slot]float64, best *Bound) bool {
	for _, k := range kinks {
		if lead[k.At] = 0; s.st.Ahead(k, &best.At, best.Dev) > 0 {
			lead[k.At] = 1
		}
	}
	b, ok := s.along(lead)
	best.Near = s.tube.Space.ValueOf(b.Poly, &best.At, best.Dev) + b.Off
	return ok
}

// spotOver is a place with some sizes, and by how much the first side of a kink is ahead there.
type spotOver struct {
	at    [taylor.MaxVars]float64
	dev   []float64
	ahead float64
}

// between is a place between two, and sizes between theirs, about where neither side of the kink is ahead.
func (p *spotOver) between(q *spotOver) (at [taylor.MaxVars]float64, dev []float64) {
	w := p.ahead / (p.ahead - q.ahead)
	at, dev = p.at, slices.Clone(p.dev)
	for k := range at {
		at[k] += w * (q.at[k] - p.at[k])
	}
	for i := range dev {
		dev[i] += w * (q.dev[i] - p.dev[i])
	}
	return at, dev
}
