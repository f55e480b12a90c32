package schedule

import (
	"math"

	"barover/solver/plane"
)

// arms returns the two vectors of a row whose cross product should be zero.
func (r *Row) arms(c Coefs, z []plane.Vec) (a, d plane.Vec) {
	switch r.Kind {
	case RowLine:
		return z[r.D], z[r.P].Sub(z[r.Q])
	case RowChord:
		return z[r.R].Sub(z[r.Q]), z[r.P].Sub(z[r.Q])
	case RowHeading:
		return plane.Polar(c.At(r.V)), z[r.Q].Sub(z[r.P])
	case RowAngle:
		return plane.Polar(c.At(r.V)).Times(z[r.P].Sub(z[r.Q])), z[r.R].Sub(z[r.Q])
	case RowAim:
		return plane.Polar(c.At(r.V)).Times(z[r.D]), z[r.Q].Sub(z[r.P])
	}
	return plane.Vec{}, plane.Vec{}
}

// Value computes the figure that should be zero, in the unit of the row's kind.
func (r *Row) Value(c Coefs, z []plane.Vec) float64 {
	switch r.Kind {
	case RowLength:
		d, l := z[r.P].Sub(z[r.Q]), c.At(r.V)
		return (d.Dot(d) - l*l) / (2 * l)
	case RowLoose:
		return r.Miss(c, z) / c.At(r.Play)
	case RowUnit:
		return (z[r.D].Dot(z[r.D]) - 1) / 2
	case RowX:
		return z[r.P].X - r.Op.Value(c, z, nil).X
	case RowY:
		return z[r.P].Y - r.Op.Value(c, z, nil).Y
	}
	a, d := r.arms(c, z)
	return a.Cross(d)
}

// Directed reports whether the row asks for a direction, so that its arms must point the same way.
func (r *Row) Directed() bool {
	return r.Kind == RowHeading || r.Kind == RowAngle || r.Kind == RowAim
}

// Miss is by how much the row is not met: mm, or rad for a heading or an angle. It is NaN for an arm of no length.
func (r *Row) Miss(c Coefs, z []plane.Vec) float64 {
	switch r.Kind {
	case RowLength, RowLoose:
		return z[r.P].Sub(z[r.Q]).Len() - c.At(r.V)
	case RowHeading, RowAngle:
		a, d := r.arms(c, z)
		return math.Atan2(a.Cross(d), a.Dot(d))
	case RowChord:
		a, d := r.arms(c, z)
		return a.Cross(d) / a.Len()
	}
	return r.Value(c, z)
}

// Off is the residual in mm, for every kind of row. For directions it is how far the end of the second arm is beside the
// first. size is the size of the sketch, for rows without a length of their own.
func (r *Row) Off(c Coefs, z []plane.Vec, size float64) float64 {
	switch r.Kind {
	case RowUnit:
		return size * r.Value(c, z)
	case RowChord, RowAngle:
		a, d := r.arms(c, z)
		return a.Cross(d) / a.Len()
	case RowX, RowY:
		if r.Op.Kind == OpHeading {
			return size * r.Value(c, z)
		}
	}
	return r.Value(c, z)
}

// rowSlopes is how the value of a row changes: by the dot product P·dP where its place P moves by dP, and by V·dV.
type rowSlopes struct {
	P, Q, R, D plane.Vec
	V, Play    float64
}

// slopes differentiates every row except RowX and RowY.
func (r *Row) slopes(c Coefs, z []plane.Vec) (s rowSlopes) {
	switch r.Kind {
	case RowLength:
		d, l := z[r.P].Sub(z[r.Q]), c.At(r.V)
		s.P = d.Scale(1 / l)
		s.Q = s.P.Scale(-1)
		s.V = -(d.Dot(d) + l*l) / (2 * l * l)
		return s
	case RowLoose:
		d, play := z[r.P].Sub(z[r.Q]), c.At(r.Play)
		s.P = d.Unit().Scale(1 / play)
		s.Q = s.P.Scale(-1)
		s.V = -1 / play
		s.Play = -(d.Len() - c.At(r.V)) / (play * play)
		return s
	case RowUnit:
		s.D = z[r.D]
		return s
	}
	a, d := r.arms(c, z)
	byA, byD := d.Turned().Scale(-1), a.Turned()
	switch r.Kind {
	case RowLine:
		s.D, s.P, s.Q = byA, byD, byD.Scale(-1)
	case RowChord:
		s.R, s.P = byA, byD
		s.Q = byA.Add(byD).Scale(-1)
	case RowHeading:
		s.Q, s.P, s.V = byD, byD.Scale(-1), -a.Dot(d)
	case RowAngle:
		s.P, s.R, s.V = byA.Times(plane.Polar(-c.At(r.V))), byD, -a.Dot(d)
		s.Q = s.P.Add(s.R).Scale(-1)
	case RowAim:
		s.D, s.Q, s.P, s.V = byA.Times(plane.Polar(-c.At(r.V))), byD, byD.Scale(-1), -a.Dot(d)
	}
	return s
}

func (r *Row) leans(s *rowSlopes) [4]lean {
	return [4]lean{{r.P, s.P}, {r.Q, s.Q}, {r.R, s.R}, {r.D, s.D}}
}

// Part is 1 for the real, i for the imaginary part of an op row.
func (r *Row) Part() plane.Vec {
	if r.Kind == RowY {
		return plane.Vec{Y: 1}
	}
	return One
}

// Tangent returns how fast the value of the row changes when places move by dz and coefficients by dc, which may be nil.
func (r *Row) Tangent(c Coefs, z []plane.Vec, dc Coefs, dz []plane.Vec) float64 {
	if r.Op != nil {
		return dz[r.P].Sub(r.Op.Tangent(c, z, nil, dc, dz, nil)).Dot(r.Part())
	}
	s := r.slopes(c, z)
	t := 0.0
	for _, m := range r.leans(&s) {
		if m.p != Nowhere {
			t += m.k.Dot(dz[m.p])
		}
	}
	if dc != nil {
		t += s.V*dc.At(r.V) + s.Play*dc.At(r.Play)
	}
	return t
}

// Pull takes the derivative w of a result by the value of the row back to its places and coefficients.
func (r *Row) Pull(c Coefs, z []plane.Vec, w float64, zBar []plane.Vec, cBar Coefs) {
	if r.Op != nil {
		zBar[r.P] = zBar[r.P].Add(r.Part().Scale(w))
		r.Op.Pull(c, z, nil, r.Part().Scale(-w), zBar, nil, cBar)
		return
	}
	s := r.slopes(c, z)
	for _, m := range r.leans(&s) {
		if m.p != Nowhere {
			zBar[m.p] = zBar[m.p].Add(m.k.Scale(w))
		}
	}
	addCoef(cBar, r.V, s.V*w)
	addCoef(cBar, r.Play, s.Play*w)
}

// Weight is the factor that brings the value of a row to mm.
func (r *Row) Weight(c Coefs, z []plane.Vec, size float64) float64 {
	switch r.Kind {
	case RowUnit:
		return size
	case RowChord, RowAngle:
		a, _ := r.arms(c, z)
		return 1 / a.Len()
	}
	return 1
}

// Ahead reports whether a row that asks for a direction points that way and not the opposite one, and whether a length is
// one.
func (r *Row) Ahead(c Coefs, z []plane.Vec) bool {
	switch {
	case r.Directed():
		a, d := r.arms(c, z)
		return a.Dot(d) > 0
	case r.Kind == RowLength:
		return c.At(r.V) > 0
	}
	return true
}
