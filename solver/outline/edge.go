package outline

import (
	"math"

	"barover/solver/plane"
)

// Edge is a straight line or a circular arc from A to B, mm in the axes of the part. The material is to its left.
type Edge struct {
	A, B plane.Vec
	C    plane.Vec // centre of an arc
	R    float64   // radius of an arc; 0 for a straight line
	Turn float64   // the angle an arc sweeps about its centre, rad: > 0 anticlockwise, bulging outward; 2π when A is B
	Line int32     // the line or circle of the shapes that it is on: a number known to its Region; < 0 where a piece was cut off

	mid   plane.Vec // of an arc: unit direction from C to its middle
	cos   float64   // of an arc: cosine of half its sweep; -2 for a whole circle
	hub   plane.Vec // centre and radius of a circle round it
	reach float64
}

// straight returns the edge from a to b.
func straight(a, b plane.Vec, line int32) Edge {
	e := Edge{A: a, B: b, Line: line}
	e.hub = a.Add(b).Scale(0.5)
	e.reach = b.Sub(a).Len() / 2
	return e
}

// arc returns the arc about c from a to b that sweeps by turn.
func arc(a, b, c plane.Vec, r, turn float64, line int32) Edge {
	e := Edge{A: a, B: b, C: c, R: r, Turn: turn, Line: line}
	half := math.Abs(turn) / 2
	e.mid = a.Sub(c).Times(plane.Polar(turn / 2)).Unit()
	e.cos = math.Cos(half)
	if half > math.Pi-almostWhole {
		e.cos = -2
	}
	e.hub, e.reach = c, r
	if half < math.Pi/2 {
		e.hub = c.Add(e.mid.Scale(r * e.cos))
		e.reach = r * math.Sin(half)
	}
	return e
}

// circle returns the two halves of a whole circle, anticlockwise.
func circle(c plane.Vec, r float64, line int32) []Edge {
	a, b := c.Add(plane.Vec{X: r}), c.Sub(plane.Vec{X: r})
	return []Edge{arc(a, b, c, r, math.Pi, line), arc(b, a, c, r, math.Pi, line)}
}

// Length is the length along the edge, mm.
func (e *Edge) Length() float64 {
	if e.R == 0 {
		return e.B.Sub(e.A).Len()
	}
	return e.R * math.Abs(e.Turn)
}

// At returns the place at the share t of the way from A to B.
func (e *Edge) At(t float64) plane.Vec {
	switch {
	case t <= 0:
		return e.A
	case t >= 1:
		return e.B
	case e.R == 0:
		return e.A.Add(e.B.Sub(e.A).Scale(t))
	}
	return e.C.Add(e.mid.Scale(e.R).Times(plane.Polar((t - 0.5) * e.Turn)))
}

// Tangent returns the unit direction along the edge at the place p on it.
func (e *Edge) Tangent(p plane.Vec) plane.Vec {
	if e.R == 0 {
		return e.B.Sub(e.A).Unit()
	}
	d := p.Sub(e.C).Unit().Turned()
	if e.Turn < 0 {
		return d.Scale(-1)
	}
	return d
}

// Normal returns the unit direction out of the material at the place p on the edge.
func (e *Edge) Normal(p plane.Vec) plane.Vec { return e.Tangent(p).Turned().Scale(-1) }

// faces reports whether the direction d, of any length l > 0, points from the centre to the arc.
func (e *Edge) faces(d plane.Vec, l float64) bool { return d.Dot(e.mid) >= e.cos*l }

// share returns where along the edge the place p on it is, 0 to 1.
func (e *Edge) share(p plane.Vec) float64 {
	if e.R == 0 {
		d := e.B.Sub(e.A)
		return p.Sub(e.A).Dot(d) / d.Dot(d)
	}
	d := p.Sub(e.C)
	return 0.5 + math.Atan2(e.mid.Cross(d), e.mid.Dot(d))/e.Turn
}

// nearest returns the place of the edge nearest to p.
func (e *Edge) nearest(p plane.Vec) plane.Vec {
	if e.R == 0 {
		d := e.B.Sub(e.A)
		t := p.Sub(e.A).Dot(d)
		l := d.Dot(d)
		switch {
		case !(t > 0):
			return e.A
		case t >= l:
			return e.B
		}
		return e.A.Add(d.Scale(t / l))
	}
	d := p.Sub(e.C)
	if l := d.Len(); l > 0 && e.faces(d, l) {
		return e.C.Add(d.Scale(e.R / l))
	}
	if sq(p.Sub(e.A)) <= sq(p.Sub(e.B)) {
		return e.A
	}
	return e.B
}

// part returns the piece of the edge between the shares s and t, whose ends are the places a and b.
func (e *Edge) part(s, t float64, a, b plane.Vec) Edge {
	if e.R == 0 {
		return straight(a, b, e.Line)
	}
	turn := (t - s) * e.Turn
	f := arc(a, b, e.C, e.R, turn, e.Line)
	f.mid = e.mid.Times(plane.Polar(((s+t)/2 - 0.5) * e.Turn))
	return f
}

// reversed returns the edge in the opposite direction.
func (e *Edge) reversed() Edge {
	f := *e
	f.A, f.B, f.Turn = e.B, e.A, -e.Turn
	return f
}

// moved returns the edge in the frame, of a part placed at p.
func (e *Edge) moved(p plane.Placement) Edge {
	f := *e
	f.A, f.B, f.hub = p.Out(e.A), p.Out(e.B), p.Out(e.hub)
	if e.R != 0 {
		f.C, f.mid = p.Out(e.C), e.mid.Times(p.Dir)
	}
	return f
}

// sq returns |a|².
func sq(a plane.Vec) float64 { return a.X*a.X + a.Y*a.Y }

// area returns the area inside a loop, mm²: > 0 anticlockwise.
func area(loop []Edge) float64 {
	if len(loop) == 0 {
		return 0
	}
	o := loop[0].A // near the loop, so that little is lost by differences
	sum := 0.0
	for i := range loop {
		e := &loop[i]
		sum += e.A.Sub(o).Cross(e.B.Sub(o))
		if e.R != 0 {
			sum += e.R * e.R * (e.Turn - math.Sin(e.Turn))
		}
	}
	return sum / 2
}
