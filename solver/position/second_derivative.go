package position

import (
	"math"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// A place that moves is a jet: its value with its first and second derivative by the turn. So is a number that moves.
type (
	jet    [3]plane.Vec
	number [3]float64
)

// jets makes places and rows of moving operands, with the second derivatives as far as they are known.
type jets struct {
	b *Acceleration
	e *State
}

// op returns the second derivative of the place that op makes.
func (b *Acceleration) op(e *State, op *schedule.Op) plane.Vec {
	return schedule.MadeBy[number, jet](jets{b, e}, op)[2]
}

// row returns the second derivative of a row's value.
func (b *Acceleration) row(e *State, r *schedule.Row) float64 {
	return schedule.AskedBy[number, jet](jets{b, e}, r)[2]
}

func (j jets) Number(v float64) number { return number{v} }

func (j jets) Coef(id expr.ID, without float64) number {
	if id == expr.None {
		return number{without}
	}
	return number{j.e.C[id], j.b.Speed.C.At(id), j.b.c.At(id)}
}

func (j jets) Scalar(s int) number { return number{j.e.X[s], j.b.Speed.X[s], j.b.x[s]} }

func (j jets) Point(z schedule.Place) jet {
	if z == schedule.Nowhere {
		return jet{}
	}
	return jet{j.e.Z[z], j.b.Speed.Z[z], j.b.Z[z]}
}

func (j jets) Direction(z schedule.Place) jet {
	if z == schedule.Nowhere {
		return jet{schedule.One}
	}
	return j.Point(z)
}

func (jets) Add(a, b number) number { return number{a[0] + b[0], a[1] + b[1], a[2] + b[2]} }
func (jets) Sub(a, b number) number { return number{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }

func (jets) Mul(a, b number) number {
	return number{a[0] * b[0], a[1]*b[0] + a[0]*b[1], a[2]*b[0] + 2*a[1]*b[1] + a[0]*b[2]}
}

func (j jets) Div(a, b number) number { return j.Mul(a, power(b, -1)) }

func (jets) Root(a number) number { return power(a, 0.5) }

// power is k^p of a number that moves.
func power(k number, p float64) number {
	f := math.Pow(k[0], p)
	g := p * f / k[0]
	return number{f, g * k[1], g*k[2] + (p-1)*g/k[0]*k[1]*k[1]}
}

func (jets) Complex(x, y number) jet {
	return jet{{X: x[0], Y: y[0]}, {X: x[1], Y: y[1]}, {X: x[2], Y: y[2]}}
}

func (jets) Parts(a jet) (x, y number) {
	return number{a[0].X, a[1].X, a[2].X}, number{a[0].Y, a[1].Y, a[2].Y}
}

func (jets) Polar(h number) jet {
	u := plane.Polar(h[0])
	n := u.Turned()
	return jet{u, n.Scale(h[1]), n.Scale(h[2]).Sub(u.Scale(h[1] * h[1]))}
}

func (jets) Conj(a jet) jet {
	for k := range a {
		a[k].Y = -a[k].Y
	}
	return a
}

func (jets) Plus(a, b jet) jet  { return jet{a[0].Add(b[0]), a[1].Add(b[1]), a[2].Add(b[2])} }
func (jets) Minus(a, b jet) jet { return jet{a[0].Sub(b[0]), a[1].Sub(b[1]), a[2].Sub(b[2])} }

func (jets) Times(a, b jet) jet {
	return jet{a[0].Times(b[0]), a[1].Times(b[0]).Add(a[0].Times(b[1])),
		a[2].Times(b[0]).Add(a[1].Times(b[1]).Scale(2)).Add(a[0].Times(b[2]))}
}

func (jets) Scaled(a jet, k number) jet {
	return jet{a[0].Scale(k[0]), a[1].Scale(k[0]).Add(a[0].Scale(k[1])),
		a[2].Scale(k[0]).Add(a[1].Scale(2 * k[1])).Add(a[0].Scale(k[2]))}
}
