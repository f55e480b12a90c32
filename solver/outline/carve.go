package outline

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"barover/solver/plane"
)

// errPieces says why a region cannot be covered.
var errPieces = errors.New("the outline is too involved: it falls into too many pieces")

// carver covers a region with convex pieces.
type carver struct {
	tol  float64 // anything thinner is a seam
	done []chunk
}

// carve adds what is left of the convex chunk c after the convex holes are taken away.
//
// Beside each edge of a convex hole is a convex share of the material: all of it beyond that edge. These shares overlap
// one another, which keeps them large. Holes that are apart are first separated by a line, so that there are few.
func (v *carver) carve(c chunk, holes []chunk) error {
	if len(v.done) > maxPieces {
		return errPieces
	}
	holes = v.biting(&c, holes)
	if len(holes) == 0 {
		v.done = append(v.done, c)
		return nil
	}
	if k, ok := v.parting(holes); ok {
		return v.parted(c, holes, k)
	}
	h, rest := holes[0], holes[1:]
	for i := range h.loop {
		if err := v.beyond(c, &h.loop[i], rest); err != nil {
			return err
		}
	}
	for i := range h.bites { // material within the hole
		loops, err := withinDisc(c.loop, &h.bites[i])
		if err != nil {
			return err
		}
		if err := v.all(loops, c.bites, rest); err != nil {
			return err
		}
	}
	return nil
}

// beyond carves the part of c outside the edge e of a hole.
func (v *carver) beyond(c chunk, e *Edge, rest []chunk) error {
	k := knife{e.A, e.A.Sub(e.B).Unit(), cutLine}
	if e.R == 0 {
		k.line = e.Line
	}
	loops, err := k.leftOf(c.loop)
	if err != nil {
		return err
	}
	bites := c.bites
	if e.R != 0 {
		bites = append(bites[:len(bites):len(bites)], Bite{e.C, e.R, e.Line})
	}
	return v.all(loops, bites, rest)
}

// parted carves the parts of c on either side of the knife.
func (v *carver) parted(c chunk, holes []chunk, k knife) error {
	for _, way := range [2]knife{k, k.turned()} {
		loops, err := way.leftOf(c.loop)
		if err != nil {
			return err
		}
		if err := v.all(loops, c.bites, holes); err != nil {
			return err
		}
	}
	return nil
}

// all carves each of the loops.
func (v *carver) all(loops [][]Edge, bites []Bite, holes []chunk) error {
	for _, l := range loops {
		if err := v.carve(chunk{l, bites}, holes); err != nil {
			return err
		}
	}
	return nil
}

// biting returns the holes that take something away from c. Whole discs among them become bites of c.
func (v *carver) biting(c *chunk, holes []chunk) []chunk {
	var out []chunk
	p := newPiece(c.loop, nil)
	for _, h := range holes {
		q := newPiece(h.loop, nil)
		if s := stand(&p, &q, &plane.Fixed); !(s.d < -v.tol) {
			continue
		}
		if len(h.loop) == 1 && len(h.bites) == 0 {
			e := &h.loop[0]
			c.bites = append(c.bites[:len(c.bites):len(c.bites)], Bite{e.C, e.R, e.Line})
			continue
		}
		out = append(out, h)
	}
	return out
}

// parting returns a line between two of the holes, if any two are apart.
func (v *carver) parting(holes []chunk) (k knife, ok bool) {
	for i := range holes {
		a := newPiece(holes[i].loop, nil)
		for j := range i {
			b := newPiece(holes[j].loop, nil)
			if s := stand(&a, &b, &plane.Fixed); s.d >= -v.tol {
				x, y, _, _ := s.witness(&a, &b, &plane.Fixed)
				return knife{x.Add(y).Scale(0.5), s.n.Turned(), cutLine}, true
			}
		}
	}
	return k, false
}

// oneBite cuts c so that no share of it has more than one bite. Each disc gets the places where its power is least; the
// power is the square of the distance from its centre minus that of its radius. No other disc takes more away there.
func (v *carver) oneBite(c chunk) ([]chunk, error) {
	bites := v.distinct(c)
	if len(bites) < 2 {
		return []chunk{{c.loop, bites}}, nil
	}
	var out []chunk
	for i := range bites {
		cell := [][]Edge{c.loop}
		for _, other := range nearestFirst(bites, i) {
			k := radical(&bites[i], &other)
			var next [][]Edge
			for _, l := range cell {
				loops, err := k.leftOf(l)
				if err != nil {
					return nil, err
				}
				next = append(next, loops...)
			}
			cell = next
		}
		for _, l := range cell {
			s := chunk{loop: l, bites: bites[i : i+1 : i+1]}
			s.bites = v.distinct(s)
			out = append(out, s)
		}
	}
	return out, nil
}

// nearestFirst returns the bites other than number i, nearest first: these leave little for the others to cut.
func nearestFirst(bites []Bite, i int) []Bite {
	others := append(slices.Clone(bites[:i]), bites[i+1:]...)
	far := func(b Bite) float64 { return sq(b.C.Sub(bites[i].C)) }
	slices.SortStableFunc(others, func(a, b Bite) int { return cmp.Compare(far(a), far(b)) })
	return others
}

// distinct returns the bites of c that take something away which no other does.
func (v *carver) distinct(c chunk) []Bite {
	var out []Bite
	p := newPiece(c.loop, nil)
	for i, b := range c.bites {
		q := newPiece([]Edge{whole(b.C, b.R, b.Line)}, nil)
		keep := stand(&p, &q, &plane.Fixed).d < -v.tol
		for j, o := range c.bites {
			d := o.C.Sub(b.C).Len() + b.R - o.R // how far it reaches beyond the other
			if i != j && (d < -v.tol || math.Abs(d) <= v.tol && j < i) {
				keep = false
			}
		}
		if keep {
			out = append(out, b)
		}
	}
	return out
}

// whole returns a circle as one edge.
func whole(c plane.Vec, r float64, line int32) Edge {
	a := c.Add(plane.Vec{X: r})
	return arc(a, a, c, r, 2*math.Pi, line)
}

// radical returns the line, a's side to its left, on which two discs have equal power.
func radical(a, b *Bite) knife {
	d := b.C.Sub(a.C)
	l := d.Len()
	n := d.Scale(1 / l)
	x := (l + (a.R-b.R)*(a.R+b.R)/l) / 2
	return knife{a.C.Add(n.Scale(x)), n.Turned(), cutLine}
}
