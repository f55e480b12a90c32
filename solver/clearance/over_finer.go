package clearance

import (
	"sync"

	"barover/solver/taylor"
	"barover/solver/tube"
)

// Boxes over sizes are as coarse as they may be for most figures. Where the radii of one keep a bound from the worst engine found, the box is
// halved and each half enclosed again, once for all figures.

// cell is a box, or a part of one that was enclosed again.
type cell struct {
	tube *tube.Tube
	box  *tube.Box
	part tube.Part   // of the box that the tube has
	anew *tube.Finer // nil for that box itself
	deep int
	// cut is the stretch of each size that it holds, in the deviations of the tube's box; nil for all.
	cut *taylor.Cut

	mu    sync.Mutex
	asked bool
	half  [2]*cell // nil where they are not available
}

const (
	// deepest is how often a box may be halved to be enclosed again, and finerFloats how many numbers all of these may keep: 160 MB.
	deepest     = 8
	finerFloats = 2e7
	// muchRadii is from what share of what is missing from a bound on its radii are mended first, and less by splitting.
	muchRadii = 0.5
	// coarsely is from what share of the radii of a box those of its halves are no gain: the effect of the sizes does not shrink with the box.
	coarsely = 0.85
)

// nearShare is how near a bound must be to the worst found, as a share of the effect of the sizes, and leastNear the least of the tolerance that
// is asked of one however little they do.
const (
	nearShare = 0.004
	leastNear = 0.01
)

// nearer is how near a bound must be to the worst found where sizes move the figure by so much.
func nearer(s *taylor.Space, tolerance, moved float64) float64 {
	if s.Devs == 0 {
		return tolerance
	}
	return max(leastNear*tolerance, min(tolerance, nearShare*moved))
}

// wholeBoxes is those of a tube as they are.
func wholeBoxes(t *tube.Tube) []*cell {
	out := make([]*cell, len(t.Boxes))
	for i := range out {
		out[i] = &cell{tube: t, box: &t.Boxes[i], part: tube.Full()}
	}
	return out
}

// in is the box that the cell was enclosed as.
func (c *cell) in() *tube.Box {
	if c.anew != nil {
		return &c.anew.Box
	}
	return c.box
}

// within is a part of the tube's box as a part of what the cell was enclosed as.
func (c *cell) within(p *tube.Part) tube.Part {
	if c.anew == nil {
		return *p
	}
	return c.anew.Part(p)
}

// halves encloses the halves of a cell, when first asked. It returns false where they are not available.
func (o *Over) halves(c *cell) bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.asked || c.deep >= deepest {
		return c.half[0] != nil
	}
	c.asked = true
	if o.room.Add(-2*c.tube.Floats()) < 0 {
		return false
	}
	k := c.tube.Halves(c.in())
	var half [2]*cell
	left := 0.0
	for side := range half {
		p := c.part.HalvedAlong(k, side)
		f, ok := c.tube.Finer(c.box, &p, c.in(), nil)
		if !ok {
			return false
		}
		half[side] = &cell{tube: c.tube, box: c.box, part: p, anew: f, deep: c.deep + 1, cut: c.cut}
		left = max(left, c.tube.Coarseness(&f.Box))
	}
	if left > coarsely*c.tube.Coarseness(c.in()) {
		half[0].asked, half[1].asked = true, true
	}
	c.half = half
	return true
}

// finer is the parts of a node in the halves of its cell; nil where that is not what its bound lacks to be near enough, or cannot be had.
func (o *Over) finer(n *overNode, near float64) (out []overNode) {
	if !(n.wide > muchRadii*(near-n.lo)) || !o.halves(n.cell) {
		return nil
	}
	for _, c := range n.cell.half {
		m := *n
		if m.cell = c; m.part.Meet(&c.part) {
			out = append(out, m)
		}
	}
	return out
}

// among is the sizes of a set, a bit for each; both of each place in a disc.
func (o *Over) among(set uint64) (few taylor.Few, disc []bool) {
	for i, d := range o.disc {
		if d && set>>i&3 != 0 {
			set |= 3 << i
		}
	}
	if few = o.space.Few(set); few.All() {
		return few, o.disc
	}
	for _, k := range few.Devs {
		disc = append(disc, o.disc[k])
	}
	return few, disc
}

// sized is the set of sizes that have to do with a form.
func (f *Form) sized(s *taylor.Space) (set uint64) {
	for i := range f.feature {
		for _, c := range f.feature[i].move {
			for m, v := range c {
				if v == 0 {
					continue
				}
				for _, d := range s.Dev[m] {
					if d >= 0 {
						set |= 1 << d
					}
				}
			}
		}
	}
	return set
}

// among is a form with the sizes of the few alone.
func (f *Form) among(w *taylor.Few) *Form {
	if w.All() || f.drawn {
		return f
	}
	out := *f
	out.feature = make([]feature, len(f.feature))
	for i, g := range f.feature {
		for k, c := range g.move {
			g.move[k] = w.Less(c)
		}
		out.feature[i] = g
	}
	return &out
}

// stand is where two parts stand over a cell, and how the second does in the axes of the first (0) and the other way round (1); nil before
// that is asked.
type stand struct {
	at   [2]tube.Placement
	rel  [2]*tube.Relative
	form [2]*Form // with the engines of the cell alone
}

func (d *pairOver) stands(c *cell) *stand {
	s := d.stand[c]
	if s == nil {
		s = &stand{form: [2]*Form{d.a, d.b}}
		if c.cut != nil {
			cut := d.few.Cut(c.cut)
			s.form = [2]*Form{d.a.narrowed(d.space, &cut), d.b.narrowed(d.space, &cut)}
		}
		for i, part := range [2]int{d.a.part, d.b.part} {
			p := c.tube.Placement(c.in(), part)
			for _, q := range [4]*tube.Series{&p.X, &p.Y, &p.Cos, &p.Sin} {
				q.Poly = d.few.Less(q.Poly)
			}
			s.at[i] = p
		}
		d.stand[c] = s
	}
	return s
}

// look takes a part in hand.
func (d *pairOver) look(n *overNode) {
	d.in, d.shown = n.cell.within(&n.part), [2]bool{}
}

// view is how the second form's part stands in the axes of the first's over the part in hand (side 0), or the other way round (1).
func (d *pairOver) view(n *overNode, side int) *view {
	v := d.views[side]
	if !d.shown[side] {
		v.set(d.relative(n.cell, side), &d.in)
		d.shown[side] = true
	}
	return v
}

// place is a place of the part in hand as one of its cell.
func (d *pairOver) place(tau *[taylor.MaxVars]float64) (at [taylor.MaxVars]float64) {
	for k := range at {
		at[k] = d.in.Mid[k] + d.in.Half[k]*tau[k]
	}
	return at
}

// relative is how the second form's part stands in the axes of the first's (back 0), or the other way round (1).
func (d *pairOver) relative(c *cell, back int) *tube.Relative {
	s := d.stands(c)
	if s.rel[back] == nil {
		s.rel[back] = tube.NewRelative(d.space, &s.at[back], &s.at[1-back])
	}
	return s.rel[back]
}
