package outline

import (
	"math"

	"barover/solver/plane"
)

// chunk is a loop with discs taken away from it: material, or a hole.
type chunk struct {
	loop  []Edge
	bites []Bite
}

// cutLine marks an edge along which a region was cut, and which is on no line of its shapes.
const cutLine = -2

// knife is a line along which loops are cut: through p along the unit direction u.
type knife struct {
	p, u plane.Vec
	line int32 // the line of the shapes that it lies on, or cutLine
}

// turned returns the knife with its other side to the left.
func (k knife) turned() knife { return knife{k.p, k.u.Scale(-1), k.line} }

// side returns an operand that holds all of the loop left of the knife.
func (k knife) side(loop []Edge) []Edge {
	c, r := bound([][]Edge{loop})
	p := k.p.Add(k.u.Scale(c.Sub(k.p).Dot(k.u)))
	r = 2*r + math.Abs(c.Sub(p).Cross(k.u))
	x, y := k.u.Scale(r), k.u.Turned().Scale(2*r)
	a, b := p.Sub(x), p.Add(x)
	return []Edge{straight(a, b, k.line), straight(b, b.Add(y), cutLine), straight(b.Add(y), a.Add(y), cutLine), straight(a.Add(y), a, cutLine)}
}

// leftOf returns the part of a loop left of the knife.
func (k knife) leftOf(loop []Edge) ([][]Edge, error) {
	least, most := extremes(loop, k.u.Turned())
	at := k.p.Dot(k.u.Turned())
	if slack := joined * (most - least); least >= at-slack {
		return [][]Edge{loop}, nil
	} else if most <= at+slack {
		return nil, nil
	}
	return clip(loop, k.side(loop))
}

// extremes returns how far a loop reaches in the unit direction n and against it, from the origin.
func extremes(loop []Edge, n plane.Vec) (least, most float64) {
	least, most = math.Inf(1), math.Inf(-1)
	for i := range loop {
		e := &loop[i]
		x := e.A.Dot(n)
		least, most = math.Min(least, x), math.Max(most, x)
		if e.R == 0 {
			continue
		}
		x = e.C.Dot(n)
		if e.faces(n, 1) {
			most = math.Max(most, x+e.R)
		}
		if e.faces(n.Scale(-1), 1) {
			least = math.Min(least, x-e.R)
		}
	}
	return least, most
}

// withinDisc returns the part of a loop within a disc.
func withinDisc(loop []Edge, b *Bite) ([][]Edge, error) {
	return clip(loop, circle(b.C, b.R, b.Line))
}

// filledIn returns the loop with chords in place of its hollow arcs, and the discs of those arcs. Taken away from the
// area of the new loop, the discs leave that of the old, if the new one is convex. It reports false if an arc goes more
// than half round.
func filledIn(loop []Edge) (chunk, bool) {
	c := chunk{loop: make([]Edge, 0, len(loop))}
	for i := range loop {
		e := loop[i]
		if e.Turn < 0 {
			if e.Turn < -math.Pi {
				return c, false
			}
			c.bites = append(c.bites, Bite{e.C, e.R, e.Line})
			e = straight(e.A, e.B, cutLine)
		}
		c.loop = append(c.loop, e)
	}
	return c, true
}

// split cuts one loop into convex chunks: along the edges that meet at an inward corner, across hollow arcs that go far
// round, and along the chords of the others. Anything thinner than tol may be lost.
func split(loop []Edge, tol float64) ([]chunk, error) {
	var done []chunk
	todo := [][]Edge{loop}
	for cuts := 0; len(todo) > 0; cuts++ {
		if cuts > maxPieces {
			return nil, errPieces
		}
		l := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		if area(l) < 0 {
			continue
		}
		if c, ok := filledIn(l); ok && convex(c.loop, tol) {
			done = append(done, chunk{tight(c.loop), c.bites})
			continue
		}
		halves, err := cutUp(l, tol)
		if err != nil {
			return nil, err
		}
		todo = append(todo, halves...)
	}
	return done, nil
}

// cutUp cuts a loop that is not convex into two or more: where its form suggests it or, should that cut nothing off,
// across its middle.
func cutUp(l []Edge, tol float64) ([][]Edge, error) {
	k := cutAt(l, tol)
	for try := range 3 {
		left, err := k.leftOf(l)
		if err != nil {
			return nil, err
		}
		right, err := k.turned().leftOf(l)
		if err != nil {
			return nil, err
		}
		if len(left) > 0 && len(right) > 0 {
			return append(left, right...), nil
		}
		k = knife{middleOf(l), plane.Vec{X: float64(try), Y: float64(1 - try)}, cutLine}
	}
	return nil, errPieces
}

// cutAt chooses the line along which to cut a loop that is not convex.
func cutAt(loop []Edge, tol float64) knife {
	n := len(loop)
	var corners, hollow []int
	for i := range loop {
		if inward(&loop[(i+n-1)%n], &loop[i], tol) {
			corners = append(corners, i)
		}
		if loop[i].Turn < 0 {
			hollow = append(hollow, i)
		}
	}
	if len(corners) > 0 {
		i := corners[len(corners)/2]
		return alongEither(&loop[(i+n-1)%n], &loop[i])
	}
	if len(hollow) == 0 {
		return knife{middleOf(loop), plane.Vec{Y: 1}, cutLine}
	}
	e := &loop[hollow[len(hollow)/2]]
	if e.Turn < -2 {
		return knife{e.C, e.mid, cutLine}
	}
	return knife{e.A, e.B.Sub(e.A).Unit(), cutLine}
}

// alongEither returns the knife from the corner between e and f along a straight one of them, which continues from the
// corner into the material: along the longer, if both are straight.
func alongEither(e, f *Edge) knife {
	if e.R == 0 && (f.R != 0 || e.Length() >= f.Length()) {
		return knife{e.B, e.Tangent(e.B), e.Line}
	}
	k := knife{f.A, f.Tangent(f.A), cutLine}
	if f.R == 0 {
		k.line = f.Line
	}
	return k
}
