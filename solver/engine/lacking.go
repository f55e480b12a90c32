package engine

import (
	"context"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/expr"
)

// Lack is a position at which a sum has no value although the parts are assembled.
type Lack struct {
	expr.Lack
	At solver.Position // the first such position: with the travels at rest, if there is one
	// Onward is whether a heading has no value from there on: nothing tells which way round it has gone.
	Onward bool
	Share  float64 // of the positions sampled, those without a value; 1 for all of them
}

// mostLacking bounds the number of positions at which sums are tried for a value, over all travel settings.
const mostLacking = 400_000

// Lacking looks for positions at which one of these sums has no value. It tries the turns that a table shows, at every
// travel setting that a study samples, rest first. It returns at most one Lack for each sum.
func (m *Engine) Lacking(ctx context.Context, sums []expr.ID) ([]Lack, error) {
	l := &lacking{m: m}
	for _, id := range sums {
		if id != expr.None && m.mayLack(id) {
			l.sums, l.evals = append(l.sums, id), append(l.evals, expr.NewEval(m.Values))
		}
	}
	if len(l.sums) == 0 {
		return nil, nil
	}
	l.found, l.gone = make([]*Lack, len(l.sums)), make([]int, len(l.sums))
	need := m.NeedsOf(l.sums...)
	settings, first := lookedAt(studied(m.Problem, l.sums...))
	turns := Thinned(m.Turns(), mostLacking/len(settings))
	for _, k := range FirstAhead(len(settings), first) {
		r, err := m.RunFor(ctx, settings[k], need)
		if err != nil {
			return nil, err
		}
		l.part(r)
		if err := l.look(ctx, r, turns); err != nil {
			return nil, err
		}
	}
	for i, id := range l.sums {
		for _, h := range m.HeadingsIn(id) {
			p, err := m.Meets(ctx, h)
			if err != nil {
				return nil, err
			}
			if p.Found {
				l.lacks(i, &Lack{Lack: expr.Lack{Node: h}, At: p.Position, Onward: true})
			}
		}
	}
	return l.list(), nil
}

// part looks at where headings are lost.
func (l *lacking) part(r *Run) {
	for i, id := range l.sums {
		for _, h := range l.m.HeadingsIn(id) {
			for _, p := range r.partings {
				if p.heading == h {
					l.lacks(i, &Lack{Lack: expr.Lack{Node: h, Jumps: p.jumps}, At: solver.Position{Turn: p.at, Travel: p.travel}, Onward: true})
				}
			}
		}
	}
}

// lacks takes note that sum i has no value at a position, since the points of a heading coincide.
func (l *lacking) lacks(i int, lack *Lack) {
	l.looked++
	lack.Sum = l.sums[i]
	if l.gone[i]++; l.earlier(i, lack.At) {
		l.found[i] = lack
	}
}

// earlier reports whether a position comes before the one found for sum i, or is the first.
func (l *lacking) earlier(i int, at solver.Position) bool {
	return l.found[i] == nil || SameSetting(l.found[i].At.Travel, at.Travel) && at.Turn < l.found[i].At.Turn
}

// lacking is what is known so far of sums that may lack a value.
type lacking struct {
	m      *Engine
	evals  []*expr.Eval // one for each, so that each keeps its plan
	s      *Station
	sums   []expr.ID
	found  []*Lack // for each sum, the first
	gone   []int   // number of positions without a value
	looked int
}

// look tries each of these turns (rad) at one setting, and the ends of the motion, since on a dead centre nothing has a rate.
func (l *lacking) look(ctx context.Context, r *Run, turns []float64) error {
	l.s = l.m.NewStation() // a station keeps to one setting
	ends := slices.Clone(turns)
	for _, s := range r.motion.Spans() {
		for _, t := range s {
			if t != r.From && t != r.To {
				ends = append(ends, t)
			}
		}
	}
	for _, t := range ends {
		if !r.Stand(t, l.s) {
			continue
		}
		l.looked++
		for i, id := range l.sums {
			if IsNumber(ValueOf(l.evals[i], id, l.s)) {
				continue
			}
			if at := (solver.Position{Turn: t, Travel: r.Travel}); l.earlier(i, at) {
				eval := expr.NewEval(l.m.Values)
				why := l.m.Values.Graph.LackOf(id, func(id expr.ID) float64 { return ValueOf(eval, id, l.s) })
				l.found[i] = &Lack{Lack: why, At: at}
			}
			l.gone[i]++
		}
		if err := ctx.Err(); err != nil {
			return err
		}
	}
	return nil
}

func (l *lacking) list() (list []Lack) {
	for i, f := range l.found {
		if f != nil {
			f.Share = float64(l.gone[i]) / float64(l.looked)
			list = append(list, *f)
		}
	}
	return list
}

// Thinned returns about most entries of a list, evenly spaced, with its first and its last.
func Thinned(list []float64, most int) []float64 {
	stride := (len(list) + max(most, 2) - 1) / max(most, 2)
	if stride <= 1 {
		return list
	}
	var out []float64
	for i := 0; i < len(list)-1; i += stride {
		out = append(out, list[i])
	}
	return append(out, list[len(list)-1])
}

// IsNumber reports whether v is neither NaN nor infinite.
func IsNumber(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// mayLack reports whether a sum contains an operation that has no value for some operands.
func (m *Engine) mayLack(id expr.ID) bool {
	may := func(op expr.Op) bool {
		switch op {
		case expr.Div, expr.Pow, expr.Sqrt, expr.Asin, expr.Acos, expr.Tan, expr.Round, expr.Rate, expr.Heading, expr.AtPlace:
			return true
		}
		return op.IsPlace()
	}
	if m.Values.Graph.Takes(id, may) {
		return true
	}
	return !IsNumber(m.Values.At(id)) && m.Values.Graph.Uses(id).Constant()
}
