package position

import (
	"math"
	"slices"

	"barover/solver/expr"
	"barover/solver/schedule"
)

// In a sketch of many parts two of them depend on few of the others. A question about those two at many positions need
// not solve the whole each time: a cone follows only the ops, blocks, coefficients and re-checks that the two depend on.

// Cone is what some parts depend on. It is for one goroutine.
type Cone struct {
	E      *State   // which runs p
	full   *Program // that of the whole
	web    *Web
	V      *Speed
	whole  [2]*expr.Tape // the tapes of the whole program, whose registers those of p use
	all    *expr.Tape
	p      Program // the whole, cut down
	Knots  []int32 // of the web, in order
	marked []bool  // of each knot of the web
	Parts  []int
	Points []int // those that the parts need
	X      []int // the scalars of its blocks
	Blocks []int
	list   []int32    // room to sort in
	sums   [2][]int32 // of each of the tapes, the places of its coefficients
	driven []expr.ID
}

// NewCone makes an empty cone; Aim sets it to some parts.
func NewCone(s *schedule.Schedule, p *Program, scale Scale, w *Web) *Cone {
	e := NewState(s, p, scale)
	return &Cone{E: e, full: p, web: w, V: NewSpeed(e), whole: e.tapes, all: e.all, marked: make([]bool, len(w.Knots))}
}

// Aim sets a cone to some parts.
func (c *Cone) Aim(parts []int) {
	for _, k := range c.Knots {
		c.marked[k] = false
	}
	c.Knots, c.Points = c.Knots[:0], c.Points[:0]
	c.Parts = append(c.Parts[:0], parts...)
	for _, i := range parts {
		c.want(i)
	}
	w := c.web
	for i := 0; i < len(c.Knots); i++ {
		for _, k := range w.Knots[c.Knots[i]].from {
			c.mark(k)
		}
	}
	slices.Sort(c.Knots)
	c.cutDown(w)
	c.drive(w)
	c.E.Program = &c.p
}

// want adds what a part needs.
func (c *Cone) want(i int) {
	m := c.E.Schedule.Model
	part := &m.Parts[i]
	c.take(c.E.Schedule.Part[i])
	switch part.Kind {
	case schedule.Frame:
		return
	case schedule.FromTo:
		c.Points = append(c.Points, part.Q)
	case schedule.AlongLine:
		if line := &m.Lines[part.Line]; line.Q >= 0 {
			c.Points = append(c.Points, line.P, line.Q)
		}
	}
	c.Points = append(c.Points, part.P)
	for _, p := range c.Points {
		c.take(c.E.Schedule.Point[p])
	}
}

func (c *Cone) take(z schedule.Place) {
	if k := c.web.Of[z]; k >= 0 {
		c.mark(k)
	}
}

func (c *Cone) mark(knot int32) {
	if !c.marked[knot] {
		c.marked[knot] = true
		c.Knots = append(c.Knots, knot)
	}
}

// cutDown makes the program of the cone.
func (c *Cone) cutDown(w *Web) {
	all, p := c.full, c.p
	c.p = *all
	c.p.moves = picked(p.moves[:0], all.moves, c.gather(w, func(k *knot) []int32 { return k.moves }))
	c.p.rest = picked(p.rest[:0], all.rest, c.gather(w, func(k *knot) []int32 { return k.rest }))
	c.p.checks = p.checks[:0]
	c.X, c.Blocks = c.X[:0], c.Blocks[:0]
	for _, i := range c.Knots {
		k := &w.Knots[i]
		if k.step != nil {
			c.X = append(c.X, k.step.Scalars...)
			c.Blocks = append(c.Blocks, k.step.Block)
		}
		for _, j := range k.checks {
			if c.holds(w, all.checks[j].row) {
				c.p.checks = append(c.p.checks, all.checks[j])
			}
		}
	}
}

// gather lists something of all knots in order, each once.
func (c *Cone) gather(w *Web, of func(k *knot) []int32) []int32 {
	c.list = c.list[:0]
	for _, i := range c.Knots {
		c.list = append(c.list, of(&w.Knots[i])...)
	}
	slices.Sort(c.list)
	c.list = slices.Compact(c.list)
	return c.list
}

func picked[T any](to, from []T, places []int32) []T {
	for _, i := range places {
		to = append(to, from[i])
	}
	return to
}

// holds reports whether everything that a row looks at is in the cone, or does not move.
func (c *Cone) holds(w *Web, r *schedule.Row) bool {
	for _, z := range r.Places() {
		if z != schedule.Nowhere && w.Of[z] >= 0 && !c.marked[w.Of[z]] {
			return false
		}
	}
	return true
}

// drive reduces the tapes of the cone to the coefficients that it needs.
func (c *Cone) drive(w *Web) {
	c.driven = c.driven[:0]
	for t := range c.sums {
		c.sums[t] = c.sums[t][:0]
	}
	need := c.gather(w, func(k *knot) []int32 { return k.coefs })
	for _, i := range need {
		c.driven = append(c.driven, c.full.Driven[i])
		t := w.tapes[i]
		c.sums[t.tape] = append(c.sums[t.tape], t.in)
	}
	c.p.Driven = c.driven
	e := c.E
	if e.all == c.all {
		e.tapes, e.all = [2]*expr.Tape{new(expr.Tape), new(expr.Tape)}, new(expr.Tape)
	}
	c.whole[0].Part(e.tapes[0], c.sums[0])
	c.whole[1].Part(e.tapes[1], c.sums[1])
	c.all.Part(e.all, need)
	for i := range e.still {
		e.still[i] = math.NaN()
	}
}

// Velocity does for the cone what State.Velocity does, by the turn.
func (c *Cone) Velocity() {
	e, v := c.E, c.V
	e.drives(v, 1, nil)
	w := c.web
	for _, i := range c.Knots {
		if k := &w.Knots[i]; k.step != nil {
			e.blockVelocity(k.step, v)
		} else {
			v.Z[k.op.Z] = k.op.Tangent(e.C, e.Z, e.X, v.C, v.Z, v.X)
		}
	}
}
