package tube

import (
	"barover/solver/expr"
	"math"

	"barover/solver/taylor"
)

// Runner evaluates a Figure on the boxes of one Tube. Give each goroutine its own.
type Runner struct {
	fig  *Figure
	tube *Tube
	st   *taylor.State
	box  taylor.Box
	base [][]leads   // of each running heading and each box, its values
	rate *rateRunner // nil where the sum has no rate
	// whole returns a least, greatest or span over the travels of a cell; nil where they are the same at every travel.
	whole func(k int, c *Cell) (Series, bool)
}

// Cell holds the travels over a part of a box: the k-th coordinate of the box, from 1 on, is a travel from Mid[k] -
// Half[k] to Mid[k] + Half[k].
type Cell struct{ Mid, Half [taylor.MaxVars]float64 }

// Cell returns the travels over a part of a box.
func (t *Tube) Cell(b *Box, p *Part) (c Cell) {
	for k, j := range t.vary {
		if j > 0 {
			h := b.at.Half[j][k]
			c.Mid[k], c.Half[k] = b.at.Mid[j]+h*p.Mid[k], h*p.Half[k]
		}
	}
	return c
}

// Still returns the middle of all varying travels if a set of travels contains none of them, and nil otherwise.
func (t *Tube) Still(rides uint64) *Cell {
	c := &Cell{}
	for k, j := range t.vary {
		if j == 0 {
			continue
		}
		if rides&expr.TravelBit(j-1) != 0 {
			return nil
		}
		c.Mid[k] = t.Travel[j-1].Mid()
	}
	return c
}

// Holds reports whether a box contains all of a cell.
func (t *Tube) Holds(b *Box, c *Cell) bool {
	for k, j := range t.vary {
		if j > 0 && math.Abs(c.Mid[k]-b.at.Mid[j])+c.Half[k] > b.at.Half[j][k]*(1+1e-12) {
			return false
		}
	}
	return true
}

// Touches reports whether a part of a box that has the travels of a cell has no more than a rim of it. The boxes that have the rest have
// the rim too.
func (t *Tube) Touches(b *Box, p *Part, c *Cell) bool {
	in := t.Cell(b, p)
	for k := range t.vary {
		if in.Half[k] < 1e-9*c.Half[k] {
			return true
		}
	}
	return false
}

// Within returns the part of a box, over all of its turn, that has the travels of a cell. It returns false if there is
// none.
func (t *Tube) Within(b *Box, c *Cell) (p Part, ok bool) {
	p = Full()
	for k, j := range t.vary {
		if j == 0 {
			continue
		}
		h := b.at.Half[j][k]
		lo, hi := (c.Mid[k]-c.Half[k]-b.at.Mid[j])/h, (c.Mid[k]+c.Half[k]-b.at.Mid[j])/h
		lo, hi = max(lo, -1), min(hi, 1)
		if !(lo <= hi) {
			return p, false
		}
		p.Mid[k], p.Half[k] = (lo+hi)/2, (hi-lo)/2
	}
	return p, true
}

// NewRunner prepares to evaluate f on the boxes of t. It returns false if a running heading cannot be followed from box
// to box.
func NewRunner(f *Figure, t *Tube) (*Runner, bool) {
	r := &Runner{fig: f, tube: t, st: taylor.NewState(f.tape, t.Space), box: newBox(t)}
	r.st.AllowEnds()
	if f.rates != nil {
		r.rate = newRateRunner(f.rates, t)
	}
	return r, len(f.run) == 0 || r.follow()
}

// SetWholes gives the runner the source of the Figure's Wholes: over a cell of the travels each is a polynomial in the
// coordinates of the cell.
func (r *Runner) SetWholes(f func(k int, c *Cell) (Series, bool)) { r.whole = f }

func (r *Runner) placeWholes(b *Box, p *Part) bool {
	c := r.tube.Cell(b, p)
	for k, s := range r.fig.whole {
		v, ok := r.whole(k, &c)
		if !ok {
			return false
		}
		copy(r.st.Poly(s), v.Poly)
		r.st.SetRad(s, v.Rad)
	}
	return true
}

// Over encloses the sum over a part of box i. It returns false where it cannot be enclosed there.
func (r *Runner) Over(i int, p *Part) (Series, bool) { return r.OverFiner(i, p, nil) }

// OverFiner is Over on a part of the box that was enclosed again and contains all of p; nil for the box itself.
func (r *Runner) OverFiner(i int, p *Part, f *Finer) (Series, bool) {
	b := &r.tube.Boxes[i]
	for k := range r.base {
		r.st.Near(r.fig.run[k].Slot, r.base[k][i].near(p, len(r.tube.vary)))
	}
	if f != nil {
		q := f.Part(p)
		b, p = &f.Box, &q
	}
	if !r.place(b, p) {
		return Series{}, false
	}
	if r.whole != nil && !r.placeWholes(b, p) {
		return Series{}, false
	}
	if !r.st.Fill(0, slot(r.fig.tape.Len())) {
		return Series{}, false
	}
	return Series{r.st.Poly(r.fig.root), r.st.Rad(r.fig.root)}, true
}

const (
	// closeShare is from what share of the effect of the sizes a radius matters.
	closeShare = 0.002
	// thinnest is the least half width of a part of a box that OverClosely encloses again.
	thinnest = 0x1p-10
)

// OverClosely is Over. Where the radius is not small beside what the sizes do, it encloses the part again by itself, and returns the closer
// of the two.
func (r *Runner) OverClosely(i int, p *Part) (Series, bool) {
	v, ok := r.Over(i, p)
	s, wide := r.tube.Space, v.Rad
	if !ok || s.Devs == 0 || wide <= closeShare*s.Moved(v.Poly) {
		return v, ok
	}
	q := *p
	for k := range s.Vars {
		q.Half[k] = max(q.Half[k], thinnest)
		q.Mid[k] = max(q.Half[k]-1, min(q.Mid[k], 1-q.Half[k]))
	}
	b := &r.tube.Boxes[i]
	if f, found := r.tube.Finer(b, &q, b, nil); found {
		if v, ok = r.OverFiner(i, p, f); ok && v.Rad < wide {
			return v, true
		}
	}
	return r.Over(i, p)
}

// Doubt reports whether the sum that Over enclosed last may have no value somewhere on the part: the enclosure is for the
// places where it has one.
func (r *Runner) Doubt() bool { return r.st.Doubt() }

// Jump reports whether the sum that Over enclosed last may jump on the part, as the rate of a kinked sum does.
func (r *Runner) Jump() bool { return r.st.Jump() }

// place puts a part of a box in, and the speeds if the sum needs them.
func (r *Runner) place(b *Box, p *Part) bool {
	r.tube.place(r.st, &r.box, r.fig.in, b, p, slot(r.fig.tape.Len()))
	if r.rate == nil {
		return true
	}
	if !r.rate.over(b, p) {
		return false
	}
	for _, s := range r.fig.fast {
		copy(r.st.Poly(s.at), r.rate.st.Poly(s.from))
		r.st.SetRad(s.at, r.rate.st.Rad(s.from))
	}
	return true
}

func newBox(t *Tube) taylor.Box {
	n := 1 + len(t.Travel)
	b := taylor.Box{Mid: make([]float64, n), Half: make([][taylor.MaxVars]float64, n), Off: make([]float64, n)}
	t.Plan.Deviate(&b)
	return b
}

// place puts a part of a box into a State: what the box keeps, and the parameters. Rounding on the way is added to their
// errors.
func (t *Tube) place(st *taylor.State, box *taylor.Box, in []input, b *Box, p *Part, end slot) {
	n := t.Space.N
	for _, i := range in {
		lost := t.Space.Shift(st.Poly(i.at), b.poly[i.kept*n:i.kept*n+n], &p.Mid, &p.Half)
		st.SetRad(i.at, b.rad[i.kept]+lost)
	}
	for j := range b.at.Mid {
		mid, size := b.at.Mid[j], math.Abs(b.at.Mid[j])
		for k := range t.vary {
			h := b.at.Half[j][k]
			mid += h * p.Mid[k]
			box.Half[j][k] = h * p.Half[k]
			size += math.Abs(h)
		}
		box.Mid[j] = mid
		if box.Off[j] = size * 0x1p-50; j == 0 && b.folded != nil {
			box.Off[j] += 2 * b.at.Half[0][0]
		}
	}
	box.Middle, box.Sizes = b.at.Middle, b.at.Sizes
	st.Place(box, 0, end)
}
