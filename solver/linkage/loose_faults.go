package linkage

import (
	"math/rand/v2"
	"slices"
	"strconv"

	"barover/solver/position"
	"barover/solver/schedule"
)

// This file says where loose lengths leave something free.

// tooLoose says where loose lengths connect more than they can settle at once.
func tooLoose(s *schedule.Schedule) (faults Faults) {
	for i := range s.Steps {
		step := &s.Steps[i]
		free := len(step.Scalars) - len(step.Rows)
		if len(step.Loose) == 0 || free <= position.LooseMost {
			continue
		}
		f := &Fault{Kind: TooFew, Stmt: step.Loose[0].Stmt}
		f.Msg = strconv.Itoa(free) + " movements are tied together by loose lengths alone: at most " +
			strconv.Itoa(position.LooseMost) + " can be solved at once"
		for _, r := range step.Loose[1:] {
			f.Also = append(f.Also, r.Stmt)
		}
		faults = append(faults, f)
	}
	return faults
}

// unheld says what loose lengths leave free to move at the start.
func (l *Linkage) unheld() (faults Faults) {
	k := 0
	for i := range l.s.Steps {
		step := &l.s.Steps[i]
		if len(step.Scalars) == 0 {
			continue
		}
		if len(step.Loose) > 0 && l.start.Slack[k] {
			faults = append(faults, l.slackness(step)...)
		}
		k++
	}
	return faults
}

// slackness says whether a step with Loose rows is on a dead centre of theirs, or free everywhere.
func (l *Linkage) slackness(step *schedule.Step) Faults {
	e := l.start
	all := &schedule.Step{Ops: step.Ops, Scalars: step.Scalars, Rows: slices.Concat(step.Rows, step.Loose)}
	was := e.Scalars(step)
	defer e.Put(step, was)
	rnd := rand.New(rand.NewPCG(uint64(len(was)), 3))
	for range 3 {
		x := slices.Clone(was)
		for j, s := range step.Scalars {
			far := 0.1
			if !e.Schedule.Scalars[s].Direction {
				far *= e.Scale.Size
			}
			x[j] += far * (rnd.Float64() - 0.5)
		}
		e.Put(step, x)
		if _, moves := nullvectors(slopes(e, all), len(all.Rows), len(x)); len(moves) == 0 {
			e.Put(step, was)
			return l.stiffness(step)
		}
	}
	e.Put(step, was)
	if f := (&freedoms{s: l.s, e: e, step: all}).name(); len(f) > 0 {
		return f
	}
	return Faults{freeAtAll(l.s, all)}
}
