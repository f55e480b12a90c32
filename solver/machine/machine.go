// Package machine answers a solver.Problem: it says what fouls, where and by how much, and proves it.
//
// The way of the data: machine (an engine with what is enclosed of its motion), survey (samples of all that is asked, at
// every setting), prove and exact (all of it, by enclosure), over_sizes, play and wear (for every engine that the drawing
// allows), gradient_at_extremes and levers (the effect of each dimension), study (the whole answer).
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

// Machine is an engine that answers a Problem. It does not change after New, so many goroutines may share it.
type Machine struct {
	*engine.Engine

	enclosing sync.Mutex
	whyNot    solver.Why      // why nothing is enclosed
	tubes     map[int]*proofs // by budget
}

// New puts the dimensions v into p. The error is linkage.Faults where the sketch cannot be solved with them.
func New(p *solver.Problem, v *expr.Values) (*Machine, error) { return of(engine.New(p, v)) }

// With returns the same Machine with other dimensions, assembled in the same way.
func (m *Machine) With(v *expr.Values) (*Machine, error) { return of(m.Engine.With(v)) }

// Again returns what New makes of the Machine's Problem with other dimensions, but faster: it keeps what does not depend
// on them. The turn and the travels must stay the same.
func (m *Machine) Again(v *expr.Values) (*Machine, error) { return of(m.Engine.Again(v)) }

// About returns the Machine of solver.Problem.About.
func (m *Machine) About(checks []int) (*Machine, error) { return of(m.Engine.About(checks)) }

func of(e *engine.Engine, err error) (*Machine, error) {
	if err != nil {
		return nil, err
	}
	return &Machine{Engine: e}, nil
}
