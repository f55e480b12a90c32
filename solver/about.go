package solver

import "barover/solver/expr"

// About is a Problem that only some of its checks are asked of. These keep their numbers; of all else no more is left than what they
// go by, so that an engine is solved for them sooner.
func (p *Problem) About(checks []int) *Problem {
	q := *p
	q.Checks, q.Profiles = make([]Check, len(p.Checks)), nil
	q.Reaches, q.LeftOut, q.Pinned, q.Measures, q.Marks, q.Traces, q.Charts, q.Columns = nil, nil, nil, nil, nil, nil, nil, nil
	for i := range q.Checks {
		q.Checks[i] = Check{Kind: Keep, Stmt: p.Checks[i].Stmt, Sum: expr.None, AtLeast: expr.None, AtMost: expr.None}
	}
	number := map[int]int{}
	take := func(profile int) int {
		k, known := number[profile]
		if !known {
			k = len(q.Profiles)
			number[profile], q.Profiles = k, append(q.Profiles, p.Profiles[profile])
		}
		return k
	}
	for _, i := range checks {
		c := p.Checks[i]
		if c.Kind == Clear || c.Kind == Gap {
			c.A, c.B = take(c.A), take(c.B)
		}
		q.Checks[i] = c
	}
	return &q
}
