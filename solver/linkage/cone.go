package linkage

import (
	"math"
	"slices"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// In a sketch of many parts two of them stand on few of the others. Who asks about those two at many positions need not
// solve the whole at each: a Cone follows only the ops, blocks, coefficients and re-checks that the two stand on.

// Cone is what some parts of a Linkage stand on. It is for one goroutine; Close gives back what it holds.
type Cone struct {
	l      *Linkage
	e      *workspace // which runs p
	v      *speed
	whole  [2]*expr.Tape // the tapes of the whole program, in the registers of which those of p work
	all    *expr.Tape
	p      program // that of the Linkage, cut down
	knots  []int32 // of the web, in order
	marked []bool  // of each knot of the web
	parts  []int
	points []int // those that the parts go by
	x      []int // the scalars of its blocks
	blocks []int
	from   *Motion    // on which e stands at its turn; nil where it does not
	list   []int32    // room to sort in
	sums   [2][]int32 // of each of the tapes, the places of its coefficients
	driven []expr.ID
}

func (l *Linkage) newCone() *Cone {
	e := newWorkspace(l.s, l.p, l.start.scale)
	return &Cone{l: l, e: e, v: newSpeed(e), whole: e.tapes, all: e.all, marked: make([]bool, len(l.web().knots))}
}

const (
	// coneLeast is how many places outside it, at the least, a cone must leave out to be worth its while.
	coneLeast = 60
	// coneShare is the most of all places, as a share, that it may take in.
	coneShare = 0.6
)

// Cone returns what some parts stand on; nil where that is so much of the linkage that it is quicker to follow the whole.
func (l *Linkage) Cone(parts ...int) *Cone {
	n := len(l.web().knots)
	if n < coneLeast {
		return nil
	}
	c := l.cones.Must()
	c.aim(parts)
	if out := n - len(c.knots); out < coneLeast || float64(len(c.knots)) > coneShare*float64(n) {
		c.Close()
		return nil
	}
	return c
}

// Close gives back what a Cone holds. It may be nil.
func (c *Cone) Close() {
	if c != nil {
		c.l.cones.Put(c)
	}
}

// aim turns a cone to some parts.
func (c *Cone) aim(parts []int) {
	for _, k := range c.knots {
		c.marked[k] = false
	}
	c.knots, c.points, c.from = c.knots[:0], c.points[:0], nil
	c.parts = append(c.parts[:0], parts...)
	for _, i := range parts {
		c.want(i)
	}
	w := c.l.web()
	for i := 0; i < len(c.knots); i++ {
		for _, k := range w.knots[c.knots[i]].from {
			c.mark(k)
		}
	}
	slices.Sort(c.knots)
	c.cutDown(w)
	c.drive(w)
	c.e.p = &c.p
}

// want takes in what a part goes by.
func (c *Cone) want(i int) {
	m := c.l.s.Model
	part := &m.Parts[i]
	c.take(c.l.s.Part[i])
	switch part.Kind {
	case schedule.Frame:
		return
	case schedule.FromTo:
		c.points = append(c.points, part.Q)
	case schedule.AlongLine:
		if line := &m.Lines[part.Line]; line.Q >= 0 {
			c.points = append(c.points, line.P, line.Q)
		}
	}
	c.points = append(c.points, part.P)
	for _, p := range c.points {
		c.take(c.l.s.Point[p])
	}
}

func (c *Cone) take(z schedule.Place) {
	if k := c.l.web().of[z]; k >= 0 {
		c.mark(k)
	}
}

func (c *Cone) mark(knot int32) {
	if !c.marked[knot] {
		c.marked[knot] = true
		c.knots = append(c.knots, knot)
	}
}

// cutDown makes the program of the cone.
func (c *Cone) cutDown(w *web) {
	all, p := c.l.p, c.p
	c.p = *all
	c.p.moves = picked(p.moves[:0], all.moves, c.gather(w, func(k *knot) []int32 { return k.moves }))
	c.p.rest = picked(p.rest[:0], all.rest, c.gather(w, func(k *knot) []int32 { return k.rest }))
	c.p.checks = p.checks[:0]
	c.x, c.blocks = c.x[:0], c.blocks[:0]
	for _, i := range c.knots {
		k := &w.knots[i]
		if k.step != nil {
			c.x = append(c.x, k.step.Scalars...)
			c.blocks = append(c.blocks, k.block)
		}
		for _, j := range k.checks {
			if c.holds(w, all.checks[j].row) {
				c.p.checks = append(c.p.checks, all.checks[j])
			}
		}
	}
}

// gather lists something of all knots in order, each once.
func (c *Cone) gather(w *web, of func(k *knot) []int32) []int32 {
	c.list = c.list[:0]
	for _, i := range c.knots {
		c.list = append(c.list, of(&w.knots[i])...)
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

// holds reports whether all that a row looks at is in the cone, or stands still.
func (c *Cone) holds(w *web, r *schedule.Row) bool {
	for _, z := range r.Places() {
		if z != schedule.Nowhere && w.of[z] >= 0 && !c.marked[w.of[z]] {
			return false
		}
	}
	return true
}

// drive leaves the tapes of the cone with the coefficients that it needs.
func (c *Cone) drive(w *web) {
	c.driven = c.driven[:0]
	for t := range c.sums {
		c.sums[t] = c.sums[t][:0]
	}
	need := c.gather(w, func(k *knot) []int32 { return k.coefs })
	for _, i := range need {
		c.driven = append(c.driven, c.l.p.driven[i])
		t := w.tapes[i]
		c.sums[t.tape] = append(c.sums[t.tape], t.in)
	}
	c.p.driven = c.driven
	e := c.e
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

// On is the motion of the cone's parts where the whole linkage goes as mo does.
func (c *Cone) On(mo *Motion) *Partly { return &Partly{mo, c} }

// Partly is the motion of the parts of a Cone. Where it cannot tell them apart from the rest it solves the whole.
type Partly struct {
	*Motion
	c *Cone
}

// At does what Motion.At does for the parts of the cone, and for the points that they go by. Nothing is to be made of what
// else is in p.
func (m *Partly) At(turn float64, p *Pose) Status {
	if !m.c.stand(m.Motion, turn) {
		return m.Motion.At(turn, p)
	}
	m.c.pose(p)
	for _, k := range m.c.blocks {
		if m.c.e.onDeadCentre(k) {
			return DeadCentre
		}
	}
	return Solved
}

// Speeds does what Motion.Speeds does for the points that the parts of the cone go by.
func (m *Partly) Speeds(p *Pose, c *expr.Context) {
	cone := m.c
	if (cone.from != m.Motion || cone.e.turn != p.Turn) && !cone.stand(m.Motion, p.Turn) {
		m.Motion.Speeds(p, c)
		return
	}
	cone.velocity()
	c.DX, c.DY = long(c.DX, len(cone.l.s.Point)), long(c.DY, len(cone.l.s.Point))
	for _, i := range cone.points {
		v := cone.v.z[cone.l.s.Point[i]]
		c.DX[i], c.DY[i] = v.X, v.Y
	}
}

// Rates does what Motion.Rates does.
func (m *Partly) Rates(p *Pose, c *expr.Context) {
	var whole Pose
	m.Motion.At(p.Turn, &whole)
	m.Motion.Rates(&whole, c)
}

// stand solves the cone at a turn. It reports false where the way there is not plain: beside change points, and where
// the whole has to be walked.
func (c *Cone) stand(mo *Motion, turn float64) bool {
	c.from = nil
	turn = mo.rounded(turn)
	i, ok := mo.before(turn)
	if !ok || mo.changeAt(turn) != nil {
		return false
	}
	if side, _ := mo.beside(i, turn); side != nil {
		return false
	}
	e := c.e
	if at := mo.scalars(i); turn == mo.turn[i] {
		for _, s := range c.x {
			e.x[s] = at[s]
		}
	} else {
		c.between(mo, i, turn)
	}
	e.set(turn, mo.travel)
	if _, ok := e.solve(); !ok {
		return false
	}
	det := mo.dets(i)
	for _, k := range c.blocks {
		if !(det[k]*e.det[k] >= 0) {
			return false
		}
	}
	e.complete()
	c.from = mo
	return true
}

// between does for the cone what Motion.between does.
func (c *Cone) between(mo *Motion, i int, turn float64) {
	first, w := mo.weights(i, turn)
	for _, s := range c.x {
		c.e.x[s] = 0
		for j, w := range w {
			if w != 0 {
				c.e.x[s] += w * mo.scalars(first + j)[s]
			}
		}
	}
}

// pose fills p with what a Cone knows.
func (c *Cone) pose(p *Pose) {
	s, z := c.l.s, c.e.z
	p.Turn = c.e.turn
	p.Travel = append(p.Travel[:0], c.e.travel...)
	p.Point = sized(p.Point, len(s.Point))
	p.Part = sizedPlacements(p.Part, len(s.Part))
	for _, i := range c.points {
		p.Point[i] = z[s.Point[i]].Add(c.e.scale.origin)
	}
	for _, i := range c.parts {
		p.Part[i] = plane.Placement{Dir: z[s.Part[i]]}
		if part := &s.Model.Parts[i]; part.Kind != schedule.Frame {
			p.Part[i].Origin = p.Point[part.P]
		}
	}
}

// velocity does for the cone what workspace.velocity does, by the turn.
func (c *Cone) velocity() {
	e, v := c.e, c.v
	e.drives(v, 1, nil)
	w := c.l.web()
	for _, i := range c.knots {
		if k := &w.knots[i]; k.step != nil {
			e.blockVelocity(k.step, v, e.room[k.block])
		} else {
			v.z[k.op.Z] = k.op.Tangent(e.c, e.z, e.x, v.c, v.z, v.x)
		}
	}
}
