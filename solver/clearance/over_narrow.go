package clearance

import (
	"math"

	"barover/solver/plane"
	"barover/solver/taylor"
	"barover/solver/tube"
)

// What sizes do beyond the terms that are kept grows with the cube of their tolerances. It does not shrink with the box. So where it
// keeps a bound from the worst engine found, only some of the engines are enclosed again: those in which the two pieces may come
// nearer than is sought. In all others they stay farther apart, since the pieces part as some size goes away from its worst end.

const (
	// mostCuts is how many boxes of some of the engines may be enclosed for one figure, and deepestCut how many of them within one another.
	mostCuts   = 32
	deepestCut = 12
	// muchLess is what share of what the sizes do may be left at most by leaving engines out.
	muchLess = 0.8
	// shortPart is the share of a box below which shorter parts do not help: no one direction is square to a side that sizes turn.
	shortPart = 0x1p-8
	// fewEngines is the share from which that is better than halves of the box.
	fewEngines = 0.6
)

// again is the parts of a node in boxes that were enclosed again; nil where that is not what its bound lacks, or cannot be had. Halves of the
// box serve other figures too, so they come first unless it is enough to enclose few of the engines.
func (d *pairOver) again(n *overNode) []overNode {
	radii, short := n.wide > muchRadii*(d.upTo-n.lo), n.widest >= 0 && n.part.Half[n.widest] < shortPart
	if d.unsure != nil || !radii && !short {
		return nil
	}
	if n.ia < 0 || d.one != nil || d.lines != nil || !d.mayCut(n, d.space) {
		return d.finer(n, d.upTo)
	}
	return d.some(n, d.Over, d.nearest(n), &d.few)
}

// some is the parts of a node in boxes with only some of the engines, those in which the figure may be below upTo.
func (q *overSearch) some(n *overNode, o *Over, c *taylor.Cutting, few *taylor.Few) []overNode {
	if c.All == nil {
		q.floor = min(q.floor, q.upTo)
		return []overNode{}
	}
	cuts := []*taylor.Cut{c.All}
	if share := c.Share(); share > fewEngines {
		if kids := o.finer(n, q.upTo); kids != nil {
			return kids
		}
		if share > muchLess {
			cuts = c.Halves()
		}
	}
	var kids []overNode
	for _, cut := range cuts {
		q.cuts++
		m := *n
		m.wasWide = n.wide
		if m.cell = n.cell.some(&n.part, few.Wide(cut)); m.cell == nil {
			return nil
		}
		kids = append(kids, m)
	}
	q.floor = min(q.floor, q.upTo)
	return kids
}

// mayCut reports whether some of the engines of a node may be left out. It may not be done again where it was no gain: there the engines
// that remain make the bound poor.
func (q *overSearch) mayCut(n *overNode, s *taylor.Space) bool {
	gains := n.wasWide == 0 || n.wide < coarsely*n.wasWide
	return gains && s.Devs > 0 && q.cuts < mostCuts && n.cell.deep < deepestCut
}

// nearest finds the engines of a node in which its two pieces may be nearer than is sought.
func (d *pairOver) nearest(n *overNode) *taylor.Cutting {
	d.cut = taylor.NewCutting(d.space, d.disc, d.upTo)
	defer func() { d.cut = nil }()
	m := *n
	d.bound(&m)
	return d.cut
}

// some encloses a part of a cell with some of its engines.
func (c *cell) some(p *tube.Part, cut *taylor.Cut) *cell {
	for k := range c.tube.Space.Vars {
		if p.Half[k] == 0 {
			return nil
		}
	}
	f, ok := c.tube.Finer(c.box, p, c.in(), cut)
	if !ok {
		return nil
	}
	in := c.tube.Cut(c.box, &f.Box)
	return &cell{tube: c.tube, box: c.box, part: *p, anew: f, deep: c.deep + 1, cut: &in}
}

// uncut is deviations of the cell in those of its tube's box.
func (c *cell) uncut(dev []float64) []float64 {
	if c.cut != nil {
		for i := range dev {
			dev[i] = max(-1, min(1, c.cut.Mid[i]+c.cut.Half[i]*dev[i]))
		}
	}
	return dev
}

// narrowed is a form with some of the engines alone.
func (f *Form) narrowed(s *taylor.Space, cut *taylor.Cut) *Form {
	if f.drawn {
		return f
	}
	out := *f
	out.feature = make([]feature, len(f.feature))
	for i, g := range f.feature {
		g.stray = 0
		for k, to := range [3]*float64{&g.at.X, &g.at.Y, &g.r} {
			if g.move[k] == nil {
				continue
			}
			c := make([]float64, s.N)
			g.off[k] += s.Narrow(c, g.move[k], cut) + slip*math.Abs(c[0])
			*to += c[0]
			c[0] = 0
			g.stray += taylor.SizeOf(c) + g.off[k]
			g.move[k] = c
		}
		out.feature[i] = g
	}
	return &out
}

// exactly is how far apart two pieces are at most with some sizes at a place of a part, where that is gap to within slack. Where the slack
// hides too much, the engine is solved.
func (d *pairOver) exactly(n *overNode, tau *[taylor.MaxVars]float64, dev []float64, gap, slack float64) float64 {
	hi := gap + slack
	if d.lines != nil || slack < d.tolerance/4 || gap >= d.guess || gap-slack >= d.best.Near {
		return hi
	}
	d.guess = gap
	at, all := d.place(tau), d.few.Among(dev)
	s, ok := n.cell.tube.Stand(n.cell.in(), &at, all)
	if !ok {
		return hi
	}
	pa, offA, turnA := s.Placement(d.a.part)
	pb, offB, turnB := s.Placement(d.b.part)
	rel := plane.Placement{Origin: pb.Origin.Sub(pa.Origin).Against(pa.Dir), Dir: pb.Dir.Against(pa.Dir).Unit()}
	_, gap, _ = d.facing(n, &rel, dev)
	reach := d.a.reach + d.b.reach + d.a.hub.Len() + d.b.hub.Len()
	off := offA + offB + 2*(rel.Origin.Len()+reach)*(turnA+turnB) + 8*slip*(pa.Origin.Len()+pb.Origin.Len()+reach)
	for i, piece := range [2]int{n.ia, n.ib} {
		f := d.stands(n.cell).form[i]
		lost := 0.0
		for _, j := range f.pieces[piece].of {
			g := &f.feature[j]
			lost = max(lost, g.off[0]+g.off[1]+g.off[2])
		}
		off += lost
	}
	return min(hi, gap+off)
}
