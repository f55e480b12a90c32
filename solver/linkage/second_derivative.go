package linkage

import (
	"math"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// jet is a place that moves, with its first and second derivative by the turn.
type jet [3]plane.Vec

func (a jet) add(b jet) jet { return jet{a[0].Add(b[0]), a[1].Add(b[1]), a[2].Add(b[2])} }
func (a jet) sub(b jet) jet { return jet{a[0].Sub(b[0]), a[1].Sub(b[1]), a[2].Sub(b[2])} }

// times is the complex product.
func (a jet) times(b jet) jet {
	return jet{a[0].Times(b[0]), a[1].Times(b[0]).Add(a[0].Times(b[1])),
		a[2].Times(b[0]).Add(a[1].Times(b[1]).Scale(2)).Add(a[0].Times(b[2]))}
}

// scale multiplies by a number that moves.
func (a jet) scale(k [3]float64) jet {
	return jet{a[0].Scale(k[0]), a[1].Scale(k[0]).Add(a[0].Scale(k[1])),
		a[2].Scale(k[0]).Add(a[1].Scale(2 * k[1])).Add(a[0].Scale(k[2]))}
}

// dot is the dot product, a number that moves.
func (a jet) dot(b jet) [3]float64 {
	return [3]float64{a[0].Dot(b[0]), a[1].Dot(b[0]) + a[0].Dot(b[1]), a[2].Dot(b[0]) + 2*a[1].Dot(b[1]) + a[0].Dot(b[2])}
}

// polarJet is the direction of a heading that moves.
func polarJet(h [3]float64) jet {
	u := plane.Polar(h[0])
	n := u.Turned()
	return jet{u, n.Scale(h[1]), n.Scale(h[2]).Sub(u.Scale(h[1] * h[1]))}
}

// power is k^p of a number that moves.
func power(k [3]float64, p float64) [3]float64 {
	f := math.Pow(k[0], p)
	g := p * f / k[0]
	return [3]float64{f, g * k[1], g*k[2] + (p-1)*g/k[0]*k[1]*k[1]}
}

func negated(k [3]float64) [3]float64 { return [3]float64{-k[0], -k[1], -k[2]} }

func (b *bender) coef(e *workspace, id expr.ID) [3]float64 {
	return [3]float64{e.c.At(id), b.v.c.At(id), b.c.At(id)}
}

// complex is the place u + iv of two coefficients.
func (b *bender) complex(e *workspace, u, v expr.ID) jet {
	x, y := b.coef(e, u), b.coef(e, v)
	return jet{{X: x[0], Y: y[0]}, {X: x[1], Y: y[1]}, {X: x[2], Y: y[2]}}
}

func (b *bender) at(e *workspace, z schedule.Place) jet { return jet{e.z[z], b.v.z[z], b.z[z]} }

// op returns the second derivative of the place that op makes.
func (b *bender) op(e *workspace, op *schedule.Op) plane.Vec {
	back := [3]float64{schedule.Signed(1, op.Back)}
	switch op.Kind {
	case schedule.OpAt:
		return b.complex(e, op.A, op.B)[2]
	case schedule.OpHeading:
		h, own := b.coef(e, op.A), b.coef(e, op.B)
		return polarJet([3]float64{h[0] - own[0], h[1] - own[1], h[2] - own[2]}).scale(back)[2]
	case schedule.OpPolar:
		return b.at(e, op.P).add(polarJet(b.coef(e, op.B)).scale(b.coef(e, op.A)).scale(back))[2]
	case schedule.OpRigid:
		return b.at(e, op.P).add(b.complex(e, op.A, op.B).times(b.at(e, op.D)))[2]
	case schedule.OpAim, schedule.OpNorm:
		d := b.at(e, op.Q).sub(b.at(e, op.P))
		l := power(d.dot(d), -0.5)
		if op.Kind == schedule.OpAim {
			l = power(b.coef(e, op.A), -1)
		}
		return d.times(polarJet(negated(b.coef(e, op.B)))).scale(l)[2]
	case schedule.OpSpun:
		c := b.coef(e, op.C)
		if op.Back {
			c = negated(c)
		}
		k := polarJet(c).scale(b.coef(e, op.B)).scale(power(b.coef(e, op.A), -1))
		return b.at(e, op.Q).add(k.times(b.at(e, op.P).sub(b.at(e, op.Q))))[2]
	case schedule.OpSlide:
		s := [3]float64{e.x[op.S], b.v.x[op.S], b.x[op.S]}
		return b.at(e, op.P).add(b.at(e, op.D).scale(s))[2]
	}
	return plane.Vec{X: b.x[op.S], Y: b.x[op.S+1]}
}

// row returns the second derivative of a row's value.
func (b *bender) row(e *workspace, r *schedule.Row) float64 {
	switch r.Kind {
	case schedule.RowLength:
		d, l := b.at(e, r.P).sub(b.at(e, r.Q)), b.coef(e, r.V)
		// (d² − l²) / 2l = d²/2l − l/2
		q, i := d.dot(d), power(l, -1)
		return (q[2]*i[0]+2*q[1]*i[1]+q[0]*i[2])/2 - l[2]/2
	case schedule.RowLoose:
		d, l, i := b.at(e, r.P).sub(b.at(e, r.Q)), b.coef(e, r.V), power(b.coef(e, r.Play), -1)
		m := power(d.dot(d), 0.5)
		for k := range m {
			m[k] -= l[k]
		}
		return m[2]*i[0] + 2*m[1]*i[1] + m[0]*i[2]
	case schedule.RowUnit:
		d := b.at(e, r.D)
		return d.dot(d)[2] / 2
	case schedule.RowX, schedule.RowY:
		return b.z[r.P].Sub(b.op(e, r.Op)).Dot(r.Part())
	}
	a, d := b.arms(e, r)
	return a.dot(jet{d[0].Turned(), d[1].Turned(), d[2].Turned()})[2] * -1
}

// arms does for jets what Row.arms does for places.
func (b *bender) arms(e *workspace, r *schedule.Row) (a, d jet) {
	switch r.Kind {
	case schedule.RowLine:
		return b.at(e, r.D), b.at(e, r.P).sub(b.at(e, r.Q))
	case schedule.RowChord:
		return b.at(e, r.R).sub(b.at(e, r.Q)), b.at(e, r.P).sub(b.at(e, r.Q))
	case schedule.RowHeading:
		return polarJet(b.coef(e, r.V)), b.at(e, r.Q).sub(b.at(e, r.P))
	case schedule.RowAngle:
		return polarJet(b.coef(e, r.V)).times(b.at(e, r.P).sub(b.at(e, r.Q))), b.at(e, r.R).sub(b.at(e, r.Q))
	}
	return polarJet(b.coef(e, r.V)).times(b.at(e, r.D)), b.at(e, r.Q).sub(b.at(e, r.P))
}
