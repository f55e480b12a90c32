package linkage

import (
	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/position"
	"barover/solver/schedule"
)

// Cone is what some parts of a Linkage depend on. It is for one goroutine; Close returns its resources.
type Cone struct {
	*position.Cone
	l    *Linkage
	from *Motion // the motion that the cone is solved on at its turn; nil where it is not solved
}

const (
	// coneLeast is the number of places that a cone must leave out at least to be worthwhile.
	coneLeast = 60
	// coneShare is the greatest share of all places that it may include.
	coneShare = 0.6
)

// Cone returns what some parts depend on; nil where that is so much of the linkage that following the whole is faster.
func (l *Linkage) Cone(parts ...int) *Cone {
	n := len(l.web().Knots)
	if n < coneLeast {
		return nil
	}
	c := l.cones.Must()
	c.from = nil
	c.Aim(parts)
	if out := n - len(c.Knots); out < coneLeast || float64(len(c.Knots)) > coneShare*float64(n) {
		c.Close()
		return nil
	}
	return c
}

// Close returns the resources of a Cone. It may be nil.
func (c *Cone) Close() {
	if c != nil {
		c.l.cones.Put(c)
	}
}

// On is the motion of the cone's parts where the whole linkage moves as mo does.
func (c *Cone) On(mo *Motion) *Partly { return &Partly{mo, c} }

// Partly is the motion of the parts of a Cone. Where they cannot be solved apart from the rest it solves the whole.
type Partly struct {
	*Motion
	c *Cone
}

// At does what Motion.At does for the parts of the cone, and for the points that they need. Everything else in p is
// undefined.
func (m *Partly) At(turn float64, p *Pose) Status {
	if !m.c.stand(m.Motion, turn) {
		return m.Motion.At(turn, p)
	}
	m.c.pose(p)
	p.folded = m.foldedAt(p.Turn)
	for _, k := range m.c.Blocks {
		if m.c.E.OnDeadCentre(k) {
			return DeadCentre
		}
	}
	return Solved
}

// Speeds does what Motion.Speeds does for the points that the parts of the cone need.
func (m *Partly) Speeds(p *Pose, c *expr.Context) {
	cone := m.c
	if (cone.from != m.Motion || cone.E.Turn != p.Turn) && !cone.stand(m.Motion, p.Turn) {
		m.Motion.Speeds(p, c)
		return
	}
	cone.Velocity()
	c.DX, c.DY = sized(c.DX, len(cone.l.s.Point)), sized(c.DY, len(cone.l.s.Point))
	for _, i := range cone.Points {
		v := cone.V.Z[cone.l.s.Point[i]]
		c.DX[i], c.DY[i] = v.X, v.Y
	}
}

// Rates does what Motion.Rates does.
func (m *Partly) Rates(p *Pose, c *expr.Context) {
	var whole Pose
	m.Motion.At(p.Turn, &whole)
	m.Motion.Rates(&whole, c)
}

// stand solves the cone at a turn. It reports false where it cannot predict from its neighbours: beside change points,
// and where the whole has to be walked.
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
	e := c.E
	if at := mo.scalars(i); turn == mo.turn[i] {
		for _, s := range c.X {
			e.X[s] = at[s]
		}
	} else {
		c.between(mo, i, turn)
	}
	e.Set(turn, mo.travel)
	if _, ok := e.Solve(); !ok {
		return false
	}
	det := mo.dets(i)
	for _, k := range c.Blocks {
		if !(det[k]*e.Det[k] >= 0) {
			return false
		}
	}
	e.Complete()
	c.from = mo
	return true
}

// between does for the cone what Motion.between does.
func (c *Cone) between(mo *Motion, i int, turn float64) {
	first, w := mo.weights(i, turn)
	for _, s := range c.X {
		c.E.X[s] = 0
		for j, w := range w {
			if w != 0 {
				c.E.X[s] += w * mo.scalars(first + j)[s]
			}
		}
	}
}

// pose fills p with what a Cone knows.
func (c *Cone) pose(p *Pose) {
	s, z := c.l.s, c.E.Z
	p.Turn = c.E.Turn
	p.Travel = append(p.Travel[:0], c.E.Travel...)
	p.Point = sized(p.Point, len(s.Point))
	p.Part = sized(p.Part, len(s.Part))
	for _, i := range c.Points {
		p.Point[i] = z[s.Point[i]].Add(c.E.Scale.Origin)
	}
	for _, i := range c.Parts {
		p.Part[i] = plane.Placement{Dir: z[s.Part[i]]}
		if part := &s.Model.Parts[i]; part.Kind != schedule.Frame {
			p.Part[i].Origin = p.Point[part.P]
		}
	}
}
