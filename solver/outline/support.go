package outline

import "barover/solver/expr"

// reaching makes sums of how far outlines reach in the unit direction u.
type reaching struct {
	g      *expr.Graph
	ux, uy expr.ID
	best   expr.ID
}

// Support is the support function of shapes: how far they reach in the unit direction u from the origin of their part, as
// a sum of g, mm. It is expr.None where there are only holes, which do not count. u is given as sums.
func Support(g *expr.Graph, shapes []Shape, ux, uy expr.ID) expr.ID {
	r := &reaching{g: g, ux: ux, uy: uy, best: expr.None}
	for i := range shapes {
		if s := &shapes[i]; !s.Hole {
			r.shape(s)
		}
	}
	return r.best
}

func (r *reaching) offer(far expr.ID) {
	if r.best == expr.None {
		r.best = far
		return
	}
	r.best = r.g.Binary(expr.Max, r.best, far)
}

// to is how far along u a place is.
func (r *reaching) to(x, y expr.ID) expr.ID {
	return r.g.Add(r.g.Mul(x, r.ux), r.g.Mul(y, r.uy))
}

func (r *reaching) corner(p Place) { r.offer(r.to(p.X, p.Y)) }

func (r *reaching) shape(s *Shape) {
	g := r.g
	half := func(id expr.ID) expr.ID { return g.Div(id, g.Const(2)) }
	switch s.Kind {
	case Disc:
		r.offer(g.Add(r.to(s.P[0].X, s.P[0].Y), half(s.W[0])))
	case Box:
		for _, x := range [2]expr.ID{s.P[0].X, s.P[1].X} {
			for _, y := range [2]expr.ID{s.P[0].Y, s.P[1].Y} {
				r.corner(Place{X: x, Y: y})
			}
		}
	case Strip:
		dx, dy := g.Sub(s.P[1].X, s.P[0].X), g.Sub(s.P[1].Y, s.P[0].Y)
		long := g.Binary(expr.Hypot, dx, dy)
		dx, dy = g.Div(dx, long), g.Div(dy, long)
		for i, p := range s.P {
			k := half(s.W[i])
			nx, ny := g.Mul(dy, k), g.Mul(dx, k)
			r.corner(Place{X: g.Sub(p.X, nx), Y: g.Add(p.Y, ny)})
			r.corner(Place{X: g.Add(p.X, nx), Y: g.Sub(p.Y, ny)})
			if s.Round {
				mx, my := dx, dy
				if i == 0 {
					mx, my = g.Unary(expr.Neg, dx), g.Unary(expr.Neg, dy)
				}
				r.arc(p, k, mx, my, g.Const(0), g.Const(1))
			}
		}
	case Path:
		from := s.P[0]
		r.corner(from)
		for _, st := range s.Steps {
			if st.Radius != expr.None {
				r.bow(from, st)
			}
			r.corner(st.To)
			from = st.To
		}
	}
}

// bow offers the arc of a path.
func (r *reaching) bow(from Place, st Step) {
	g := r.g
	dx, dy := g.Sub(st.To.X, from.X), g.Sub(st.To.Y, from.Y)
	chord := g.Binary(expr.Hypot, dx, dy)
	half := g.Div(chord, g.Const(2))
	rest := g.Binary(expr.Max, g.Const(0), g.Sub(g.Mul(st.Radius, st.Radius), g.Mul(half, half)))
	back := g.Unary(expr.Sqrt, rest)
	mx, my := g.Div(dy, chord), g.Unary(expr.Neg, g.Div(dx, chord)) // to the right of the way, where an arc to the left bulges
	if !st.Left {
		mx, my = g.Unary(expr.Neg, mx), g.Unary(expr.Neg, my)
	}
	sin, cos := g.Binary(expr.Min, g.Const(1), g.Div(half, st.Radius)), g.Div(back, st.Radius) // of half its sweep, the short way
	if st.Long {
		back = g.Unary(expr.Neg, back)
	}
	mid := func(a, b expr.ID) expr.ID { return g.Div(g.Add(a, b), g.Const(2)) }
	c := Place{X: g.Sub(mid(from.X, st.To.X), g.Mul(mx, back)), Y: g.Sub(mid(from.Y, st.To.Y), g.Mul(my, back))}
	if !st.Long {
		r.arc(c, st.Radius, mx, my, cos, sin)
		return
	}
	// In two halves, each no more than half a circle. The half sweep of each is (π - σ)/2 with the σ of the short way.
	root := func(v expr.ID) expr.ID {
		return g.Unary(expr.Sqrt, g.Div(g.Binary(expr.Max, g.Const(0), v), g.Const(2)))
	}
	qs, qc := root(g.Add(g.Const(1), cos)), root(g.Sub(g.Const(1), cos))
	for _, side := range [2]float64{1, -1} {
		s := g.Mul(g.Const(side), qs)
		r.arc(c, st.Radius, g.Sub(g.Mul(mx, qc), g.Mul(my, s)), g.Add(g.Mul(my, qc), g.Mul(mx, s)), qc, qs)
	}
}

// arc offers an arc about c. Its middle is in the unit direction m from c, and its half sweep σ is at most a quarter
// turn, given by its cosine and sine. With φ the angle between u and m, the arc reaches r beyond c where φ is less than
// σ. Where φ is larger, the nearer end reaches farthest, or the other half of a longer arc. The expression used for the
// arc there is at most r·cos(φ - σ), and has no root, which could not be enclosed where it touches zero.
func (r *reaching) arc(c Place, radius, mx, my, cos, sin expr.ID) {
	g := r.g
	zero, one := g.Const(0), g.Const(1)
	ahead := r.to(mx, my)                                                           // cos φ
	aside := g.Unary(expr.Abs, g.Sub(g.Mul(mx, r.uy), g.Mul(my, r.ux)))             // sin φ
	beyond := g.Binary(expr.Max, zero, g.Sub(g.Mul(aside, cos), g.Mul(ahead, sin))) // sin(φ - σ)
	behind := g.Binary(expr.Min, zero, g.Add(g.Mul(ahead, cos), g.Mul(aside, sin))) // cos(φ - σ) where that is below zero
	share := g.Add(g.Sub(one, beyond), g.Mul(g.Const(2), behind))
	r.offer(g.Add(r.to(c.X, c.Y), g.Mul(radius, share)))
}
