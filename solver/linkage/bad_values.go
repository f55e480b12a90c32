package linkage

import (
	"fmt"
	"math"

	"barover/solver/expr"
	"barover/solver/schedule"
)

// valueCheck checks every number in a Model, at the start.
type valueCheck struct {
	m      *schedule.Model
	ev     *expr.Eval
	at     expr.Context
	faults Faults
}

// twoPoints is the help where one point is named twice.
const twoPoints = "name two different points"

// badValues finds values that cannot be a length, an angle or a place.
func badValues(m *schedule.Model, v *expr.Values, turnFrom float64, rest []float64) Faults {
	c := &valueCheck{m: m, ev: expr.NewEval(v), at: expr.Context{Turn: turnFrom, Travel: rest}}
	for i, p := range m.Points {
		if p.Kind == schedule.Found {
			continue // a hint that is not a number is ignored
		}
		c.number(p.U, p.Stmt, "point "+schedule.PointName(m, i))
		c.number(p.V, p.Stmt, "point "+schedule.PointName(m, i))
	}
	for _, l := range m.Lines {
		if l.Q < 0 {
			c.number(l.Heading, l.Stmt, "line "+l.Name)
		} else if l.P == l.Q {
			c.add(l.Stmt, fmt.Sprintf("line %s runs from %s to itself: it has no direction", l.Name, schedule.PointName(m, l.P)), twoPoints)
		}
	}
	for _, p := range m.Parts {
		c.part(p)
	}
	for _, a := range m.Arcs {
		c.positive(a.Radius, a.Stmt, "the radius of arc "+a.Name)
	}
	for _, e := range m.Equations {
		c.equation(e)
	}
	return c.faults
}

func (c *valueCheck) part(p schedule.Part) {
	switch p.Kind {
	case schedule.FromTo:
		c.number(p.Heading, p.Stmt, "part "+p.Name)
		if p.P == p.Q {
			c.add(p.Stmt, fmt.Sprintf("part %s runs from %s to itself: it has no direction", p.Name, schedule.PointName(c.m, p.P)), twoPoints)
		}
	case schedule.AtHeading:
		c.number(p.Heading, p.Stmt, "part "+p.Name)
	}
}

func (c *valueCheck) equation(e schedule.Equation) {
	what := schedule.SayEquation(c.m, e)
	switch e.Kind {
	case schedule.Length:
		if e.P == e.Q {
			c.add(e.Stmt, what+" measures from a point to itself", twoPoints)
			return
		}
		c.positive(e.V, e.Stmt, what)
		if e.Loose {
			c.positive(e.Play, e.Stmt, "the play of "+what)
		}
	case schedule.Heading:
		if e.P == e.Q {
			c.add(e.Stmt, what+" looks from a point to itself", twoPoints)
			return
		}
		c.number(e.V, e.Stmt, what)
	case schedule.Angle:
		if e.P == e.Q || e.R == e.Q {
			c.add(e.Stmt, what+" looks from a point to itself", twoPoints)
			return
		}
		c.number(e.V, e.Stmt, what)
	}
}

func (c *valueCheck) add(stmt int, msg, help string) {
	c.faults = append(c.faults, &Fault{Kind: BadValue, Stmt: stmt, Msg: msg, Help: help})
}

// value evaluates a coefficient that may use dimensions, turn and travels alone. It reports false where a fault was
// found. None is zero.
func (c *valueCheck) value(id expr.ID, stmt int, what string) (float64, bool) {
	if id == expr.None {
		return 0, true
	}
	g := c.ev.Values().Graph
	if g.Uses(id)&^(expr.UsesTurn|expr.UsesTravel) != 0 {
		c.add(stmt, what+" is measured from points: what holds points may use dimensions, turn and travels only", "write dimensions, the turn or a travel in the place of what is measured")
		return 0, false
	}
	v := c.ev.At(id, &c.at)
	if math.IsNaN(v) || math.IsInf(v, 0) {
		c.add(stmt, what+" has no value", "")
		why := g.LackOf(id, func(id expr.ID) float64 { return c.ev.At(id, &c.at) })
		c.faults[len(c.faults)-1].Lack = &Lack{Lack: why, Stmt: stmt, Turn: c.at.Turn, Moves: g.Uses(id)&expr.UsesTurn != 0}
		return v, false
	}
	return v, true
}

func (c *valueCheck) number(id expr.ID, stmt int, what string) { c.value(id, stmt, what) }

func (c *valueCheck) positive(id expr.ID, stmt int, what string) {
	v, ok := c.value(id, stmt, what)
	if ok && !(v > 0) {
		f := &Fault{Kind: BadValue, Stmt: stmt, Help: "keep it above 0 at every position, as in max(V, 0.1)"}
		f.Msg = what + f.length(" comes to {}: it must be more than 0", v)
		c.faults = append(c.faults, f)
	}
}
