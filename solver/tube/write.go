package tube

import (
	"barover/solver/expr"

	"barover/solver/schedule"
	"barover/solver/taylor"
)

// writer puts the steps of a Schedule on a tape.
type writer struct {
	*taylor.Builder
	plan   *Plan
	sums   taylor.Compiler
	failed bool
}

// sum returns the slot of a coefficient; without stands for one that was left out.
func (w *writer) sum(id expr.ID, without float64) taylor.Slot {
	if id == expr.None {
		return w.Number(without)
	}
	s, err := w.sums.Sum(id)
	if err != nil {
		w.failed = true
		return w.Number(without)
	}
	return s
}

// turned returns e^{i·angle}, 1 for an angle that was left out.
func (w *writer) turned(angle expr.ID) pair {
	if angle == expr.None {
		return pair{w.Number(1), w.Number(0)}
	}
	a := w.sum(angle, 0)
	return pair{w.Cos(a), w.Sin(a)}
}

// stands reports whether a step can be enclosed: nothing in it is loose, every coefficient can be enclosed, and so could
// every place that it rests on. It puts the coefficients on the tape.
func (w *writer) stands(s *schedule.Step) bool {
	made := map[schedule.Place]bool{}
	rests := func(places ...schedule.Place) bool {
		for _, z := range places {
			if z >= 0 && !made[z] && w.plan.place[z].x == none {
				return false
			}
		}
		return true
	}
	ok := len(s.Loose) == 0
	for i := range s.Ops {
		o := &s.Ops[i]
		ok = ok && rests(o.P, o.Q, o.D)
		made[o.Z] = true
	}
	for i := range s.Rows {
		r := &s.Rows[i]
		ok = ok && rests(r.P, r.Q, r.R, r.D) && (r.Op == nil || rests(r.Op.P, r.Op.Q, r.Op.D, r.Op.Z))
	}
	if !ok {
		return false
	}
	w.failed = false
	w.coefficients(s)
	return !w.failed
}

// forget keeps what was put on the tape from a slot on, in no step, from being shared.
func (w *writer) forget(from slot) {
	w.Fence(from)
	w.sums.Forget()
}

func (w *writer) step(s *schedule.Step) step {
	t := step{from: *s, scalars: s.Scalars}
	t.unknowns = w.Mark()
	for _, k := range s.Scalars {
		w.plan.scalar[k] = w.Input()
	}
	t.ops = w.Mark()
	for i := range s.Ops {
		w.plan.place[s.Ops[i].Z] = w.op(&s.Ops[i])
	}
	t.rows = w.Mark()
	for i := range s.Rows {
		t.row = append(t.row, w.row(&s.Rows[i]))
	}
	t.slopes = w.Mark()
	for _, k := range s.Scalars {
		t.column = append(t.column, len(t.slope))
		for i, f := range t.row {
			d := w.Slope(f, w.plan.scalar[k])
			if v, ok := w.Value(d); !ok || v != 0 {
				t.slope = append(t.slope, entry{i, d})
			}
		}
	}
	t.column = append(t.column, len(t.slope))
	t.asks = w.Mark()
	w.Fence(t.rows)
	t.positive = w.asks(s)
	t.end = w.Mark()
	return t
}

// coefficients puts every coefficient of a step on the tape before its unknowns, so that each is worked out once.
func (w *writer) coefficients(s *schedule.Step) {
	for i := range s.Ops {
		o := &s.Ops[i]
		switch o.Kind {
		case schedule.OpHeading:
			w.heading(o)
		case schedule.OpPolar, schedule.OpAim, schedule.OpNorm:
			w.sum(o.A, 0)
			w.turned(o.B)
		case schedule.OpSpun:
			w.sum(o.A, 0)
			w.sum(o.B, 0)
			w.turned(o.C)
		default:
			w.sum(o.A, 0)
			w.sum(o.B, 0)
		}
	}
	for i := range s.Rows {
		switch r := &s.Rows[i]; r.Kind {
		case schedule.RowHeading, schedule.RowAngle, schedule.RowAim:
			w.turned(r.V)
		default:
			w.sum(r.V, 0)
		}
	}
}

// heading returns the direction e^{i(A − B)}.
func (w *writer) heading(o *schedule.Op) pair {
	a := w.Sub(w.sum(o.A, 0), w.sum(o.B, 0))
	return pair{w.Cos(a), w.Sin(a)}
}

// put returns a place of the Schedule; the frame's for Nowhere.
func (w *writer) at(z schedule.Place, frame pair) pair {
	if z < 0 {
		return frame
	}
	return w.plan.place[z]
}

func (w *writer) point(z schedule.Place) pair { return w.at(z, pair{w.Number(0), w.Number(0)}) }

func (w *writer) dir(z schedule.Place) pair { return w.at(z, pair{w.Number(1), w.Number(0)}) }

func (w *writer) add(a, b pair) pair { return pair{w.Add(a.x, b.x), w.Add(a.y, b.y)} }

func (w *writer) sub(a, b pair) pair { return pair{w.Sub(a.x, b.x), w.Sub(a.y, b.y)} }

func (w *writer) scaled(a pair, k taylor.Slot) pair { return pair{w.Mul(a.x, k), w.Mul(a.y, k)} }

// times returns a·b as complex numbers.
func (w *writer) times(a, b pair) pair {
	return pair{w.Sub(w.Mul(a.x, b.x), w.Mul(a.y, b.y)), w.Add(w.Mul(a.x, b.y), w.Mul(a.y, b.x))}
}

func (w *writer) conj(a pair) pair { return pair{a.x, w.Neg(a.y)} }

func (w *writer) cross(a, b pair) taylor.Slot { return w.Sub(w.Mul(a.x, b.y), w.Mul(a.y, b.x)) }

func (w *writer) dot(a, b pair) taylor.Slot { return w.Add(w.Mul(a.x, b.x), w.Mul(a.y, b.y)) }

// op returns what an Op makes.
func (w *writer) op(o *schedule.Op) pair {
	switch o.Kind {
	case schedule.OpAt:
		return pair{w.sum(o.A, 0), w.sum(o.B, 0)}
	case schedule.OpHeading:
		return w.heading(o)
	case schedule.OpPolar:
		r := w.scaled(w.turned(o.B), w.sum(o.A, 0))
		if o.Back {
			return w.sub(w.point(o.P), r)
		}
		return w.add(w.point(o.P), r)
	case schedule.OpRigid:
		return w.add(w.point(o.P), w.times(pair{w.sum(o.A, 0), w.sum(o.B, 0)}, w.dir(o.D)))
	case schedule.OpAim, schedule.OpNorm:
		way := w.times(w.sub(w.point(o.Q), w.point(o.P)), w.conj(w.turned(o.B)))
		l := w.sum(o.A, 1)
		if o.Kind == schedule.OpNorm {
			l = w.Sqrt(w.dot(way, way))
		}
		return pair{w.Div(way.x, l), w.Div(way.y, l)}
	case schedule.OpSpun:
		c := w.turned(o.C)
		if o.Back {
			c = w.conj(c)
		}
		c = w.scaled(c, w.Div(w.sum(o.B, 1), w.sum(o.A, 1)))
		return w.add(w.point(o.Q), w.times(c, w.sub(w.point(o.P), w.point(o.Q))))
	case schedule.OpSlide:
		return w.add(w.point(o.P), w.scaled(w.dir(o.D), w.plan.scalar[o.S]))
	case schedule.OpFree:
		return pair{w.plan.scalar[o.S], w.plan.scalar[o.S+1]}
	}
	w.failed = true
	return pair{w.Number(0), w.Number(0)}
}

// row returns what a Row wants to be zero.
func (w *writer) row(r *schedule.Row) taylor.Slot {
	switch r.Kind {
	case schedule.RowLength:
		d, v := w.sub(w.point(r.P), w.point(r.Q)), w.sum(r.V, 0)
		return w.Div(w.Sub(w.dot(d, d), w.Mul(v, v)), w.Mul(w.Number(2), v))
	case schedule.RowLine:
		return w.cross(w.dir(r.D), w.sub(w.point(r.P), w.point(r.Q)))
	case schedule.RowChord:
		return w.cross(w.sub(w.point(r.R), w.point(r.Q)), w.sub(w.point(r.P), w.point(r.Q)))
	case schedule.RowHeading, schedule.RowAngle, schedule.RowAim:
		return w.cross(w.sides(r))
	case schedule.RowUnit:
		d := w.dir(r.D)
		return w.scaled(pair{w.Sub(w.dot(d, d), w.Number(1)), w.Number(0)}, w.Number(0.5)).x
	case schedule.RowX, schedule.RowY:
		z := w.sub(w.point(r.Op.Z), w.op(r.Op))
		if r.Kind == schedule.RowX {
			return z.x
		}
		return z.y
	}
	w.failed = true
	return w.Number(0)
}

// sides returns the two directions that a RowHeading, RowAngle or RowAim wants to be the same.
func (w *writer) sides(r *schedule.Row) (a, b pair) {
	switch r.Kind {
	case schedule.RowAngle:
		return w.times(w.turned(r.V), w.sub(w.point(r.P), w.point(r.Q))), w.sub(w.point(r.R), w.point(r.Q))
	case schedule.RowAim:
		return w.times(w.turned(r.V), w.dir(r.D)), w.sub(w.point(r.Q), w.point(r.P))
	}
	return w.turned(r.V), w.sub(w.point(r.Q), w.point(r.P))
}

// asks puts what must stay above zero on the tape, from the unknowns' last radii.
func (w *writer) asks(s *schedule.Step) (positive []taylor.Slot) {
	for i := range s.Rows {
		switch r := &s.Rows[i]; r.Kind {
		case schedule.RowHeading, schedule.RowAngle, schedule.RowAim:
			positive = append(positive, w.dot(w.sides(r)))
		}
	}
	for i := range s.Ops {
		if o := &s.Ops[i]; o.Kind == schedule.OpSlide && o.Ahead {
			positive = append(positive, w.plan.scalar[o.S])
		}
	}
	return positive
}
