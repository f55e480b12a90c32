package spread

import (
	"context"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/expr"
	"barover/solver/machine"
)

// halves holds a Problem's checks, with those that have two limits divided in two, so that each has one limit and one
// worst case.
type halves struct {
	whole []int  // of each half: the check that it belongs to
	upper []bool // of each half: it is an upper limit
	same  []int  // of each half: the first that is the same question to the solver. Both ends of a loose length are one question
}

func split(p *solver.Problem) *halves {
	h := new(halves)
	add := func(i int, upper, again bool) {
		k := len(h.whole)
		if again {
			k--
		}
		h.whole, h.upper, h.same = append(h.whole, i), append(h.upper, upper), append(h.same, k)
	}
	for i := range p.Checks {
		c := &p.Checks[i]
		above, below := true, c.Kind == solver.Loose // a loose line has its play on both sides
		switch c.Kind {
		case solver.Gap, solver.Clear: // not to be below zero, where its lower side has no other limit
			below = c.AtMost != expr.None
		case solver.Keep:
			below = c.AtMost != expr.None
			above = c.AtLeast != expr.None || !below
		}
		if above {
			add(i, false, false)
		}
		if below {
			add(i, true, c.Kind == solver.Loose)
		}
	}
	return h
}

// of returns a Problem with the checks of p in halves.
func (h *halves) of(p *solver.Problem) *solver.Problem {
	out := *p
	out.Checks = make([]solver.Check, len(h.whole))
	for k, i := range h.whole {
		c := p.Checks[i]
		switch {
		case c.Kind == solver.Loose:
		case h.upper[k]:
			c.AtLeast = expr.None
		default:
			c.AtMost = expr.None
		}
		out.Checks[k] = c
	}
	return &out
}

// some answers some halves in m, in that order, and each question once. With bars, a figure that stays within its bar is
// reported roughly.
func (h *halves) some(ctx context.Context, m *machine.Machine, o machine.Options, list []int, bars []engine.Bar) (*solver.Result, error) {
	var ask, place []int
	var within []engine.Bar
	for n, k := range list {
		i := slices.Index(ask, h.same[k])
		if i < 0 {
			i = len(ask)
			ask, within = append(ask, h.same[k]), append(within, engine.Bar{Least: math.Inf(-1), Greatest: math.Inf(1)})
		}
		place = append(place, i)
		if bars != nil {
			b := &within[i]
			b.Least, b.Greatest = math.Max(b.Least, bars[n].Least), math.Min(b.Greatest, bars[n].Greatest)
		}
	}
	some := func() (*solver.Result, error) { return m.Some(ctx, o, ask) }
	if bars != nil {
		some = func() (*solver.Result, error) { return m.SomeBeside(ctx, o, ask, within) }
	}
	res, err := some()
	if err != nil {
		return nil, err
	}
	answers := res.Findings
	res.Findings = make([]solver.Finding, len(list))
	for i, k := range list {
		res.Findings[i] = answers[place[i]]
		res.Findings[i].Check = k
	}
	return res, nil
}

// room returns the margin of a half, and whether it holds. The room is infinite where there is nothing to measure, or no
// number.
func (h *halves) room(k int, p *solver.Problem, f *solver.Finding) (room float64, ok bool) {
	c, v := &p.Checks[k], f.Figure(h.upper[k])
	upper := h.upper[k] && (c.Kind == solver.Gap || c.Kind == solver.Clear) // below zero it belongs to the lower half
	if f.Apart || math.IsNaN(v) || c.Kind != solver.Loose && !upper {
		return p.Judge(f).Margin, f.OK
	}
	if room = f.AtMost - v; !h.upper[k] {
		room = f.AtMost + v
	}
	return room, upper && c.Suffices(room) || !upper && (f.OK || room >= 0)
}

// bar returns how far the figures of a half may go in an engine before its room is less than room. If room is infinite,
// no figure stays within the bar.
func (h *halves) bar(k int, m *machine.Machine, room float64) engine.Bar {
	c := &m.Problem.Checks[k]
	out := engine.Bar{Least: math.Inf(-1), Greatest: math.Inf(1)}
	switch {
	case c.Kind == solver.Loose:
		play := m.Values.At(m.Problem.Linkage.Equations[c.Equation].Play)
		if out.Least = room - play; h.upper[k] {
			out = engine.Bar{Least: math.Inf(-1), Greatest: play - room}
		}
	case h.upper[k]:
		out.Greatest = m.Values.At(c.AtMost) - room
	case c.AtLeast == expr.None:
		out.Least = room
	default:
		out.Least = m.Values.At(c.AtLeast) + room
	}
	return out
}
