package outline

import (
	"math"
	"slices"

	"barover/solver/plane"
)

// cover finds convex pieces that are within the region and cover it. Where every outer loop is convex, they are what its
// holes leave of it. Otherwise each shape is covered alone, as far as later holes leave it, which gives fewer and larger
// pieces than cutting up the union. If the path of a shape encloses an empty place, only the union can be used.
func (r *Region) cover(shapes []Shape, operands [][]Edge) error {
	v := carver{tol: sliver * r.Radius}
	plain, err := plainLoops(operands)
	if err != nil {
		return err
	}
	if plain == nil || r.bulging(v.tol) {
		err = r.carveLoops(&v)
	} else {
		err = carveShapes(&v, shapes, plain)
	}
	if err != nil {
		return err
	}
	for _, c := range v.done {
		cells, err := v.oneBite(c)
		if err != nil {
			return err
		}
		for _, s := range cells {
			r.addPiece(s, v.tol)
		}
	}
	r.dropHidden(v.tol)
	return nil
}

// addPiece adds a chunk, unless its bite leaves nothing of it.
func (r *Region) addPiece(c chunk, tol float64) {
	var bite *Bite
	if len(c.bites) > 0 {
		bite = &c.bites[0]
	}
	p := newPiece(c.loop, bite)
	if bite != nil && farthest(p.Loop, bite.C) <= bite.R+tol {
		return
	}
	r.Pieces = append(r.Pieces, p)
}

// bulging reports whether every outer loop is convex.
func (r *Region) bulging(tol float64) bool {
	return !slices.ContainsFunc(r.Loops, func(l []Edge) bool { return area(l) > 0 && !convex(l, tol) })
}

// carveLoops covers each outer loop, without the holes directly within it.
func (r *Region) carveLoops(v *carver) error {
	holes := make(map[int][]chunk)
	for _, h := range r.Loops {
		if area(h) > 0 {
			continue
		}
		parts, err := split(turnedOver(h), v.tol)
		if err != nil {
			return err
		}
		in := r.around(h)
		holes[in] = append(holes[in], parts...)
	}
	for i, l := range r.Loops {
		if area(l) < 0 {
			continue
		}
		parts, err := split(l, v.tol)
		if err != nil {
			return err
		}
		for _, c := range parts {
			if err := v.carve(c, holes[i]); err != nil {
				return err
			}
		}
	}
	return nil
}

// turnedOver returns a loop in the opposite direction.
func turnedOver(loop []Edge) []Edge {
	out := make([]Edge, 0, len(loop))
	for i := len(loop) - 1; i >= 0; i-- {
		out = append(out, loop[i].reversed())
	}
	return out
}

// around returns which outer loop is directly round a hole: the smallest of those that it is in.
func (r *Region) around(hole []Edge) int {
	best, least := -1, math.Inf(1)
	for i, l := range r.Loops {
		a := area(l)
		if a <= 0 || a >= least {
			continue
		}
		if inLoop(l, hole) {
			best, least = i, a
		}
	}
	return best
}

// inLoop reports whether a hole is in an outer loop that it does not cross. A place of the hole that is not also on the
// loop decides.
func inLoop(l, hole []Edge) bool {
	m, far := hole[0].A, -1.0
	for i := range hole {
		for _, p := range [2]plane.Vec{hole[i].A, hole[i].At(0.5)} {
			d := math.Inf(1)
			for k := range l {
				d = math.Min(d, sq(l[k].nearest(p).Sub(p)))
			}
			if d > far {
				m, far = p, d
			}
		}
	}
	sum := 0.0
	for k := range l {
		sum += subtended(&l[k], m)
	}
	return math.Round(sum/(2*math.Pi)) != 0
}

// plainLoops returns the loops of each shape alone, if all are outer ones; nil if not.
func plainLoops(operands [][]Edge) ([][][]Edge, error) {
	var plain [][][]Edge
	for i := range operands {
		loops, err := combine(operands[i:i+1], func(in []bool) bool { return in[0] })
		if err != nil {
			return nil, err
		}
		for _, l := range loops {
			if area(l) < 0 {
				return nil, nil
			}
		}
		plain = append(plain, loops)
	}
	return plain, nil
}

// carveShapes covers each shape alone, as far as later holes leave it.
func carveShapes(v *carver, shapes []Shape, plain [][][]Edge) error {
	chunks := make([][]chunk, len(shapes))
	for i := range shapes {
		for _, l := range plain[i] {
			parts, err := split(l, v.tol)
			if err != nil {
				return err
			}
			chunks[i] = append(chunks[i], parts...)
		}
	}
	var holes []chunk
	for i := len(shapes) - 1; i >= 0; i-- {
		if shapes[i].Hole {
			holes = append(holes, chunks[i]...)
			continue
		}
		for _, c := range chunks[i] {
			if err := v.carve(c, holes); err != nil {
				return err
			}
		}
	}
	return nil
}
