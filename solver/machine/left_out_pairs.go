package machine

import (
	"context"
	"math"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/linkage"
	"barover/solver/outline"
)

// Parts that are pinned to one another are round their pin by design, and a check of all pairs leaves them out. But a
// crank is pinned to the whole frame where the shaft runs in it, and its web may well dip into the bed. So what lies
// round the pin is separated from the rest. The rest is tried like any check, but reported apart.

// fills is the share of a hole's radius from which a part round its pin fills the hole, as a journal fills its bearing. A
// web that swings in a window of the frame is far thinner about the shaft than the window is wide.
const fills = 0.75

// aside checks the pinned pairs that may come near one another away from their pins. It also lists the pairs that share a band
// and are taken for a pin and its eye.
func (m *Machine) aside(ctx context.Context, o Options) ([]solver.Aside, []solver.Pinned, error) {
	list, round, err := m.mayMeet(ctx)
	if len(list) == 0 || err != nil {
		return nil, round, err
	}
	p := (&solver.Result{Aside: list}).Asked(m.Problem)
	p.Plays = nil // away from the pins that they share, the distance is reported as drawn
	n := &Machine{Engine: m.Asking(p)}
	if err := n.shareProofs(ctx, m, o); err != nil {
		return nil, nil, err
	}
	var a engine.Asked
	for i := range list {
		a.Checks = append(a.Checks, len(m.Problem.Checks)+i)
	}
	found, _, _, err := n.answer(ctx, o.unworn(), a)
	if err != nil {
		return nil, nil, err
	}
	for i := range list {
		list[i].Finding = found[i]
	}
	return list, round, nil
}

// shareProofs lets m use the motion that another Machine has enclosed, which does not depend on the checks.
func (m *Machine) shareProofs(ctx context.Context, of *Machine, o Options) error {
	p, err := of.enclosed(ctx, o)
	if p != nil {
		mine := newProofs(m)
		mine.ask, mine.tubes, mine.unproved = p.ask, p.tubes, p.unproved
		mine.prover, mine.provers.New = p.prover, p.provers.New
		m.tubes = map[int]*proofs{o.Budget: mine}
	} else if !o.Sampled {
		m.tubes, m.whyNot = map[int]*proofs{o.Budget: nil}, of.reason(o)
	}
	return err
}

// mayMeet lists the pinned pairs that may meet: neither the bands nor the radii about their pin keep them apart, and they
// are not round the pin by design. If several checks ask about a pair, it takes the strictest.
func (m *Machine) mayMeet(ctx context.Context) (list []solver.Aside, round []solver.Pinned, err error) {
	place := make(map[[2]int]int)
	for i := range m.Problem.Pinned {
		c := &m.Problem.Pinned[i]
		by := m.Wanted(&c.Check)
		if math.IsNaN(by) || math.IsInf(by, 0) {
			return nil, nil, linkage.Faults{{Kind: linkage.BadValue, Stmt: c.Check.Stmt, Msg: "what is asked has no value"}}
		}
		pair := [2]int{min(c.Check.A, c.Check.B), max(c.Check.A, c.Check.B)}
		k, again := place[pair]
		switch {
		case m.BandsApart(c.Check.A, c.Check.B):
		case again && by <= m.Wanted(&list[k].Check):
		case again:
			list[k] = solver.Aside{Check: c.Check, Pins: c.Pins}
		default:
			place[pair] = len(list)
			list = append(list, solver.Aside{Check: c.Check, Pins: c.Pins})
		}
	}
	return m.awayFromPins(ctx, list)
}

// awayFromPins splits the pairs. left are those that may meet away from their pins. round are those of the others that share a
// band as they stand and are both of metal at the pin.
func (m *Machine) awayFromPins(ctx context.Context, list []solver.Aside) (left []solver.Aside, round []solver.Pinned, err error) {
	if len(list) == 0 {
		return nil, nil, nil
	}
	pose, status, err := m.Pose(ctx, m.Problem.Turn.From, engine.RestSetting(m.Problem.Travels))
	if err != nil {
		return nil, nil, err
	}
	about := func(profile, pin int) outline.About {
		return m.Regions[profile].About(pose.Part[m.Problem.Profiles[profile].Part].In(pose.Point[pin]))
	}
	for _, a := range list {
		known := false
		for _, pin := range a.Pins {
			if status > linkage.DeadCentre {
				break
			}
			x, y := about(a.Check.A, pin), about(a.Check.B, pin)
			if !known && solid(&x) && solid(&y) && m.shareBand(a.Check.A, a.Check.B) {
				round = append(round, solver.Pinned{Check: a.Check, Pins: []int{pin}})
			}
			known = known || roundPin(&x, &y) || ringsApart(&x, &y) >= m.Wanted(&a.Check)
		}
		if !known {
			left = append(left, a)
		}
	}
	return left, round, nil
}

// shareBand reports whether two profiles lie in one band as they stand, whatever their sideplay.
func (m *Machine) shareBand(a, b int) bool {
	x, y := &m.Bands[a], &m.Bands[b]
	return math.Min(x.To, y.To)-math.Max(x.From, y.From) > engine.Touch
}

// roundPin reports whether both are round a pin: both of metal, or both with a hole for it, or one in the other's hole
// and filling it.
func roundPin(a, b *outline.About) bool {
	switch in := solid(a); {
	case in == solid(b):
		return in || a.Within && b.Within
	case in:
		a, b = b, a
	}
	return a.Within && b.Edge >= fills*a.Edge
}

// solid reports whether a pin stands in the metal of a part, or on its edge.
func solid(x *outline.About) bool { return x.Material || x.Edge <= engine.Touch }

// ringsApart returns the distance, mm, between the rings that two outlines sweep about a place that both turn about. It
// is exact: at every turn both outlines stay in their rings.
func ringsApart(a, b *outline.About) float64 {
	inner := func(x *outline.About) float64 {
		if x.Material {
			return 0
		}
		return x.Edge
	}
	return math.Max(inner(a)-b.Farthest, inner(b)-a.Farthest)
}
