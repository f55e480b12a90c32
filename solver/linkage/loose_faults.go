package linkage

import (
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
	for k := range l.p.Blocks {
		step := l.p.Blocks[k].Step
		if len(step.Loose) > 0 && l.start.Slack[k] {
			faults = append(faults, l.slackness(step)...)
		}
	}
	return faults
}

// slackness says whether a step with Loose rows is on a dead centre of theirs, or free everywhere.
func (l *Linkage) slackness(step *schedule.Step) Faults {
	e := l.start
	all := step.Tight()
	moves := func() bool {
		_, moves := nullvectors(slopes(e, all), len(all.Rows), len(all.Scalars))
		return len(moves) > 0
	}
	if !besides(e, step, 3, moves) {
		return l.stiffness(step)
	}
	if f := (&freedoms{s: l.s, v: l.v, e: e, step: all}).name(); len(f) > 0 {
		return f
	}
	return Faults{freeAtAll(l.s, all)}
}
