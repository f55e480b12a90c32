// Package machine answers a solver.Problem: it says what fouls, where and by how much, and proves it.
//
// The way of the data: machine (an engine with what is enclosed of its motion), survey (all that is asked, by looking at every
// setting), prove and exact (all of it, by enclosure), over_sizes, play and wear (of every engine that the drawing allows),
// gradient_at_extremes and levers (what each dimension does), study (the whole answer).
//
// Package engine knows what the engine does at one setting. This package knows no word of the language and draws nothing. A
// newcomer may safely change what is reported beside the checks (quarters, neighbours). Take care with prove, proved and
// fill_unproved: they decide what is called "proved", and a wrong "holds" begins there.
package machine

import (
	"sync"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/expr"
)

// Machine is an engine that answers what a Problem asks. It is not changed after New, so that many goroutines may share it.
type Machine struct {
	*engine.Engine

	enclosing sync.Mutex
	whyNot    solver.Why      // nothing is enclosed
	tubes     map[int]*proofs // by the budget
}

// New puts the dimensions v into p. The error is linkage.Faults where the sketch cannot be solved with them.
func New(p *solver.Problem, v *expr.Values) (*Machine, error) { return of(engine.New(p, v)) }

// With is the same Machine with other dimensions, assembled the same way as this one is.
func (m *Machine) With(v *expr.Values) (*Machine, error) { return of(m.Engine.With(v)) }

// Again is what New makes of the Machine's Problem with other dimensions, sooner: what these have nothing to do with is
// taken over. The turn and the travels must stay what they are.
func (m *Machine) Again(v *expr.Values) (*Machine, error) { return of(m.Engine.Again(v)) }

func of(e *engine.Engine, err error) (*Machine, error) {
	if err != nil {
		return nil, err
	}
	return &Machine{Engine: e}, nil
}
