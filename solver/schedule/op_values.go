package schedule

import (
	"barover/solver/expr"
	"barover/solver/plane"
)

// Coefs holds the value of each coefficient by its node.
type Coefs []float64

// At returns the value of a coefficient; None is zero.
func (c Coefs) At(id expr.ID) float64 {
	if id == expr.None {
		return 0
	}
	return c[id]
}

// Signed returns v, or -v where back is set.
func Signed(v float64, back bool) float64 {
	if back {
		return -v
	}
	return v
}

// conj is the complex conjugate.
func conj(a plane.Vec) plane.Vec { return plane.Vec{X: a.X, Y: -a.Y} }

// One is the direction of the frame.
var One = plane.Vec{X: 1}

// Value computes the place that op makes.
func (op *Op) Value(c Coefs, z []plane.Vec, x []float64) plane.Vec {
	switch op.Kind {
	case OpAt:
		return z[op.P].Add(plane.Vec{X: c.At(op.A), Y: c.At(op.B)})
	case OpHeading:
		return plane.Polar(c.At(op.A) - c.At(op.B)).Scale(Signed(1, op.Back))
	case OpPolar:
		return z[op.P].Add(plane.Polar(c.At(op.B)).Scale(Signed(c.At(op.A), op.Back)))
	case OpRigid:
		return z[op.P].Add(plane.Vec{X: c.At(op.A), Y: c.At(op.B)}.Times(z[op.D]))
	case OpAim:
		return z[op.Q].Sub(z[op.P]).Times(plane.Polar(-c.At(op.B))).Scale(1 / c.At(op.A))
	case OpNorm:
		d := z[op.Q].Sub(z[op.P])
		return d.Times(plane.Polar(-c.At(op.B))).Scale(1 / d.Len())
	case OpSpun:
		k := plane.Polar(Signed(c.At(op.C), op.Back)).Scale(c.At(op.B) / c.At(op.A))
		return z[op.Q].Add(k.Times(z[op.P].Sub(z[op.Q])))
	case OpSlide:
		return z[op.P].Add(z[op.D].Scale(x[op.S]))
	}
	return plane.Vec{X: x[op.S], Y: x[op.S+1]}
}

// opSlopes is how the place of an Op changes. It moves by the complex product P·dP where its place P moves by dP, by A·dA
// where its coefficient A grows by dA, and so on. S belongs to the scalar of an OpSlide.
type opSlopes struct {
	P, Q, D    plane.Vec
	A, B, C, S plane.Vec
}

// Slopes differentiates every Op that is complex-linear in its places: all except OpNorm, see normTurn.
func (op *Op) Slopes(c Coefs, z []plane.Vec, x []float64) (s opSlopes) {
	switch op.Kind {
	case OpAt:
		s.P, s.A, s.B = One, One, One.Turned()
	case OpHeading:
		s.A = op.Value(c, z, x).Turned()
		s.B = s.A.Scale(-1)
	case OpPolar:
		u := plane.Polar(c.At(op.B)).Scale(Signed(1, op.Back))
		s.P, s.A, s.B = One, u, u.Turned().Scale(c.At(op.A))
	case OpRigid:
		s.P, s.D = One, plane.Vec{X: c.At(op.A), Y: c.At(op.B)}
		s.A, s.B = z[op.D], z[op.D].Turned()
	case OpAim:
		l := c.At(op.A)
		s.Q = plane.Polar(-c.At(op.B)).Scale(1 / l)
		s.P = s.Q.Scale(-1)
		v := z[op.Q].Sub(z[op.P]).Times(s.Q)
		s.A, s.B = v.Scale(-1/l), v.Turned().Scale(-1)
	case OpSpun:
		a, b := c.At(op.A), c.At(op.B)
		u := plane.Polar(Signed(c.At(op.C), op.Back))
		s.P = u.Scale(b / a)
		s.Q = One.Sub(s.P)
		v := z[op.P].Sub(z[op.Q])
		s.B = u.Times(v).Scale(1 / a)
		s.A = s.B.Scale(-b / a)
		s.C = s.B.Scale(Signed(b, op.Back)).Turned()
	case OpSlide:
		s.P, s.D, s.S = One, plane.Vec{X: x[op.S]}, z[op.D]
	}
	return s
}

// normTurn returns the arm of an OpNorm: its direction turns by arm·d where the distance between its ends changes by d.
func (op *Op) normTurn(z []plane.Vec) (arm plane.Vec) {
	d := z[op.Q].Sub(z[op.P])
	return d.Turned().Scale(1 / d.Dot(d))
}

// lean is a place that another is made from, Nowhere for none, and how the other moves with it: by the product k·dz.
type lean struct {
	p Place
	k plane.Vec
}

func (op *Op) leans(s *opSlopes) [3]lean { return [3]lean{{op.P, s.P}, {op.Q, s.Q}, {op.D, s.D}} }

// Tangent returns how fast the place of op moves when places move by dz, scalars by dx and coefficients by dc; dc may
// be nil for coefficients that stand still.
func (op *Op) Tangent(c Coefs, z []plane.Vec, x []float64, dc Coefs, dz []plane.Vec, dx []float64) plane.Vec {
	var t plane.Vec
	if op.Kind == OpFree {
		return plane.Vec{X: dx[op.S], Y: dx[op.S+1]}
	}
	if op.Kind == OpNorm {
		w := op.normTurn(z).Dot(dz[op.Q].Sub(dz[op.P]))
		if dc != nil {
			w -= dc.At(op.B)
		}
		return op.Value(c, z, x).Turned().Scale(w)
	}
	s := op.Slopes(c, z, x)
	for _, m := range op.leans(&s) {
		if m.p != Nowhere {
			t = t.Add(m.k.Times(dz[m.p]))
		}
	}
	if op.Kind == OpSlide {
		t = t.Add(s.S.Scale(dx[op.S]))
	}
	if dc != nil {
		t = t.Add(s.A.Scale(dc.At(op.A))).Add(s.B.Scale(dc.At(op.B))).Add(s.C.Scale(dc.At(op.C)))
	}
	return t
}

// Pull takes the derivative w of a result by the place of op back to the operands of op. cBar may be nil for coefficients
// that nobody asks about.
func (op *Op) Pull(c Coefs, z []plane.Vec, x []float64, w plane.Vec, zBar []plane.Vec, xBar []float64, cBar Coefs) {
	if op.Kind == OpFree {
		xBar[op.S] += w.X
		xBar[op.S+1] += w.Y
		return
	}
	if op.Kind == OpNorm {
		turn := op.Value(c, z, x).Turned().Dot(w)
		arm := op.normTurn(z).Scale(turn)
		zBar[op.Q] = zBar[op.Q].Add(arm)
		zBar[op.P] = zBar[op.P].Sub(arm)
		addCoef(cBar, op.B, -turn)
		return
	}
	s := op.Slopes(c, z, x)
	for _, m := range op.leans(&s) {
		if m.p != Nowhere {
			zBar[m.p] = zBar[m.p].Add(conj(m.k).Times(w))
		}
	}
	if op.Kind == OpSlide {
		xBar[op.S] += s.S.Dot(w)
	}
	addCoef(cBar, op.A, s.A.Dot(w))
	addCoef(cBar, op.B, s.B.Dot(w))
	addCoef(cBar, op.C, s.C.Dot(w))
}

func addCoef(cBar Coefs, id expr.ID, w float64) {
	if id != expr.None && cBar != nil {
		cBar[id] += w
	}
}
