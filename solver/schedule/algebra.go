package schedule

import "barover/solver/expr"

// Algebra is a kind of figure that places can be made of: N is a real number of that kind, and V is a place, one complex
// number. Taylor models and derivatives by the turn are such kinds. For plain numbers Op.Value and Row.Value do the same
// faster.
type Algebra[N, V any] interface {
	Number(v float64) N
	Coef(id expr.ID, without float64) N // a coefficient; without replaces None
	Scalar(s int) N
	Point(z Place) V     // the origin of the frame for Nowhere
	Direction(z Place) V // the direction of the frame for Nowhere

	Add(a, b N) N
	Sub(a, b N) N
	Mul(a, b N) N
	Div(a, b N) N
	Root(a N) N

	Complex(x, y N) V
	Parts(a V) (x, y N)
	Polar(heading N) V
	Conj(a V) V
	Plus(a, b V) V
	Minus(a, b V) V
	Times(a, b V) V // the complex product
	Scaled(a V, k N) V
}

// sums computes ops and rows with a kind of figure.
type sums[N, V any] struct{ Algebra[N, V] }

// MadeBy is the place that op makes.
func MadeBy[N, V any](kind Algebra[N, V], op *Op) V {
	k := sums[N, V]{kind}
	switch op.Kind {
	case OpAt:
		return k.Plus(k.Point(op.P), k.Complex(k.Coef(op.A, 0), k.Coef(op.B, 0)))
	case OpHeading:
		u := k.Polar(k.Sub(k.Coef(op.A, 0), k.Coef(op.B, 0)))
		if op.Back {
			return k.Scaled(u, k.Number(-1))
		}
		return u
	case OpPolar:
		arm := k.Scaled(k.turned(op.B), k.Coef(op.A, 0))
		if op.Back {
			return k.Minus(k.Point(op.P), arm)
		}
		return k.Plus(k.Point(op.P), arm)
	case OpRigid:
		return k.Plus(k.Point(op.P), k.Times(k.Complex(k.Coef(op.A, 0), k.Coef(op.B, 0)), k.Direction(op.D)))
	case OpAim, OpNorm:
		way := k.Times(k.from(op.P, op.Q), k.Conj(k.turned(op.B)))
		if op.Kind == OpAim {
			return k.over(way, k.Coef(op.A, 1))
		}
		return k.over(way, k.Root(k.dot(way, way)))
	case OpSpun:
		u := k.turned(op.C)
		if op.Back {
			u = k.Conj(u)
		}
		u = k.Scaled(u, k.Div(k.Coef(op.B, 1), k.Coef(op.A, 1)))
		return k.Plus(k.Point(op.Q), k.Times(u, k.from(op.Q, op.P)))
	case OpSlide:
		return k.Plus(k.Point(op.P), k.Scaled(k.Direction(op.D), k.Scalar(op.S)))
	}
	return k.Complex(k.Scalar(op.S), k.Scalar(op.S+1))
}

// AskedBy is the value of a row, which should be zero.
func AskedBy[N, V any](kind Algebra[N, V], r *Row) N {
	k := sums[N, V]{kind}
	switch r.Kind {
	case RowLength:
		d, v := k.from(r.Q, r.P), k.Coef(r.V, 0)
		return k.Div(k.Sub(k.dot(d, d), k.Mul(v, v)), k.Mul(k.Number(2), v))
	case RowLoose:
		d := k.from(r.Q, r.P)
		return k.Div(k.Sub(k.Root(k.dot(d, d)), k.Coef(r.V, 0)), k.Coef(r.Play, 1))
	case RowUnit:
		d := k.Direction(r.D)
		return k.Mul(k.Sub(k.dot(d, d), k.Number(1)), k.Number(0.5))
	case RowX, RowY:
		x, y := k.Parts(k.Minus(k.Point(r.Op.Z), MadeBy(kind, r.Op)))
		if r.Kind == RowX {
			return x
		}
		return y
	}
	a, d := k.arms(r)
	return k.cross(a, d)
}

// AheadBy is the dot product of the arms of a row that asks a direction: above zero where they point the same way.
func AheadBy[N, V any](kind Algebra[N, V], r *Row) N {
	k := sums[N, V]{kind}
	a, d := k.arms(r)
	return k.dot(a, d)
}

// arms does what Row.arms does.
func (k sums[N, V]) arms(r *Row) (a, d V) {
	switch r.Kind {
	case RowLine:
		return k.Direction(r.D), k.from(r.Q, r.P)
	case RowChord:
		return k.from(r.Q, r.R), k.from(r.Q, r.P)
	case RowAngle:
		return k.Times(k.turned(r.V), k.from(r.Q, r.P)), k.from(r.Q, r.R)
	case RowAim:
		return k.Times(k.turned(r.V), k.Direction(r.D)), k.from(r.P, r.Q)
	}
	return k.turned(r.V), k.from(r.P, r.Q)
}

// from is the vector from P to Q.
func (k sums[N, V]) from(p, q Place) V { return k.Minus(k.Point(q), k.Point(p)) }

// turned is e^{i·angle}; 1 for an angle that was left out.
func (k sums[N, V]) turned(angle expr.ID) V {
	if angle == expr.None {
		return k.Complex(k.Number(1), k.Number(0))
	}
	return k.Polar(k.Coef(angle, 0))
}

func (k sums[N, V]) over(a V, l N) V {
	x, y := k.Parts(a)
	return k.Complex(k.Div(x, l), k.Div(y, l))
}

// dot is the real part of a's conjugate times b, cross the imaginary part.
func (k sums[N, V]) dot(a, b V) N {
	ax, ay := k.Parts(a)
	bx, by := k.Parts(b)
	return k.Add(k.Mul(ax, bx), k.Mul(ay, by))
}

func (k sums[N, V]) cross(a, b V) N {
	ax, ay := k.Parts(a)
	bx, by := k.Parts(b)
	return k.Sub(k.Mul(ax, by), k.Mul(ay, bx))
}
