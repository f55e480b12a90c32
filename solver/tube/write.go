package tube

import (
	"slices"

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

// newWriter returns a writer for a Plan that has nothing on its tape yet.
func newWriter(s *schedule.Schedule, v *expr.Values, sizes []Size) *writer {
	p := &Plan{Schedule: s, Values: v, Sizes: sizes, scalar: slices.Repeat([]slot{none}, len(s.Scalars)),
		place: slices.Repeat([]pair{{none, none}}, s.Places)}
	b := taylor.NewBuilder()
	return &writer{Builder: b, plan: p, sums: taylor.Compiler{Builder: b, Values: v, Sizes: p.Params()}}
}

// stands reports whether a step can be enclosed: nothing in it is loose, every coefficient can be enclosed, and so could
// every place that it depends on. It puts the coefficients on the tape.
func (w *writer) stands(s *schedule.Step) bool {
	made := map[schedule.Place]bool{}
	rests := func(places ...schedule.Place) bool {
		return !slices.ContainsFunc(places, func(z schedule.Place) bool {
			return z >= 0 && z != w.plan.Schedule.Ground && !made[z] && w.plan.place[z].x == none
		})
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

// forget keeps what was put on the tape from a slot on, without a step, from being shared.
func (w *writer) forget(from slot) {
	w.Abandon(from)
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
		w.plan.place[s.Ops[i].Z] = schedule.MadeBy[taylor.Slot, pair](w, &s.Ops[i])
	}
	t.rows = w.Mark()
	for i := range s.Rows {
		t.row = append(t.row, schedule.AskedBy[taylor.Slot, pair](w, &s.Rows[i]))
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

// coefficients puts every coefficient of a step on the tape before its unknowns, so that each is computed once.
func (w *writer) coefficients(s *schedule.Step) {
	for i := range s.Ops {
		o := &s.Ops[i]
		switch o.Kind {
		case schedule.OpHeading:
			w.Polar(w.Sub(w.Coef(o.A, 0), w.Coef(o.B, 0)))
		case schedule.OpPolar, schedule.OpAim, schedule.OpNorm:
			w.Coef(o.A, 0)
			w.turned(o.B)
		case schedule.OpSpun:
			w.Coef(o.A, 0)
			w.Coef(o.B, 0)
			w.turned(o.C)
		default:
			w.Coef(o.A, 0)
			w.Coef(o.B, 0)
		}
	}
	for i := range s.Rows {
		switch r := &s.Rows[i]; r.Kind {
		case schedule.RowHeading, schedule.RowAngle, schedule.RowAim:
			w.turned(r.V)
		default:
			w.Coef(r.V, 0)
		}
	}
}

// turned puts on the tape a direction that has a coefficient as its heading.
func (w *writer) turned(heading expr.ID) {
	if heading != expr.None {
		w.Polar(w.Coef(heading, 0))
	}
}

// The writer makes places and rows of slots on its tape: it is a schedule.Algebra.

// Coef returns the slot of a coefficient; without is the value of one that was left out.
func (w *writer) Coef(id expr.ID, without float64) taylor.Slot {
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

func (w *writer) Scalar(s int) taylor.Slot { return w.plan.scalar[s] }

func (w *writer) Point(z schedule.Place) pair {
	if z < 0 || z == w.plan.Schedule.Ground {
		return pair{w.Number(0), w.Number(0)}
	}
	return w.plan.place[z]
}

func (w *writer) Direction(z schedule.Place) pair {
	if z < 0 {
		return pair{w.Number(1), w.Number(0)}
	}
	return w.plan.place[z]
}

func (w *writer) Root(a taylor.Slot) taylor.Slot { return w.Sqrt(a) }

func (w *writer) Complex(x, y taylor.Slot) pair     { return pair{x, y} }
func (w *writer) Parts(a pair) (x, y taylor.Slot)   { return a.x, a.y }
func (w *writer) Polar(heading taylor.Slot) pair    { return pair{w.Cos(heading), w.Sin(heading)} }
func (w *writer) Conj(a pair) pair                  { return pair{a.x, w.Neg(a.y)} }
func (w *writer) Plus(a, b pair) pair               { return pair{w.Add(a.x, b.x), w.Add(a.y, b.y)} }
func (w *writer) Minus(a, b pair) pair              { return pair{w.Sub(a.x, b.x), w.Sub(a.y, b.y)} }
func (w *writer) Scaled(a pair, k taylor.Slot) pair { return pair{w.Mul(a.x, k), w.Mul(a.y, k)} }

func (w *writer) Times(a, b pair) pair {
	return pair{w.Sub(w.Mul(a.x, b.x), w.Mul(a.y, b.y)), w.Add(w.Mul(a.x, b.y), w.Mul(a.y, b.x))}
}

// asks puts what must stay above zero on the tape, from the unknowns' last radii.
func (w *writer) asks(s *schedule.Step) (positive []taylor.Slot) {
	for i := range s.Rows {
		switch r := &s.Rows[i]; r.Kind {
		case schedule.RowHeading, schedule.RowAngle, schedule.RowAim:
			positive = append(positive, schedule.AheadBy[taylor.Slot, pair](w, r))
		case schedule.RowLength:
			positive = w.moving(positive, r.V)
		}
	}
	for i := range s.Ops {
		o := &s.Ops[i]
		if o.Kind == schedule.OpSlide && o.Ahead {
			positive = append(positive, w.plan.scalar[o.S])
		}
		for _, e := range w.plan.Schedule.Met[o.Z] {
			if m := &w.plan.Schedule.Model.Equations[e]; m.Kind == schedule.Length {
				positive = w.moving(positive, m.V)
			}
		}
	}
	return positive
}

// moving adds a length to what must stay above zero, unless it is constant: below zero it would put its point on the
// other side of where it is measured from.
func (w *writer) moving(positive []taylor.Slot, length expr.ID) []taylor.Slot {
	s := w.Coef(length, 0)
	if _, still := w.Value(s); still {
		return positive
	}
	return append(positive, s)
}
