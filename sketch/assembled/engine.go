// Package assembled puts a sketch and its machine together: an engine that can be turned over. It reads a sketch, builds
// the machine of it, asks it questions, also with other values of its dimensions, and turns the faults of the machine
// into messages with their place in the sketch. It words no answer: package report does that.
//
// A newcomer may add a way to ask the machine here; there is nothing to tune.
package assembled

import (
	"context"
	"errors"
	"math"

	"barover/sketch"
	"barover/sketch/quantity"
	"barover/sketch/syntax"
	"barover/solver"
	"barover/solver/expr"
	"barover/solver/linkage"
	"barover/solver/machine"
)

// Engine is a sketch that can be turned over: read, with its numbers put in, and assembled.
type Engine struct {
	*sketch.Sketch
	Machine *machine.Machine

	Wear  float64 // by how much every play is larger than written, mm; see Study
	Flags string  // the flags of the command line that choose values, as they were typed

	notes map[string]int // see Noted
}

// Assemble reads a sketch and puts the engine together. If the sketch cannot be used the error is syntax.Messages.
func Assemble(path string, o sketch.Options) (*Engine, error) {
	return AssembleRead(sketch.Load(path, o))
}

// AssembleRead puts together an engine whose sketch has been read.
func AssembleRead(sk *sketch.Sketch, messages []syntax.Message) (*Engine, error) {
	if len(messages) > 0 {
		return nil, syntax.Messages(messages)
	}
	m, err := machine.New(sk.Problem, sk.Values)
	if err != nil {
		return nil, InMessages(sk, err)
	}
	return &Engine{Sketch: sk, Machine: m}, nil
}

// Study answers all that the sketch asks, or only the checks, as o says. Most of the time goes into finding what mends a check
// that falls short.
func (e *Engine) Study(ctx context.Context, o machine.Options) (*solver.Result, error) {
	o.Next, o.Wear = e.nextSize, e.Wear
	return e.Machine.Study(ctx, o)
}

// InMessages turns an error that has the faults of a sketch in it into messages; other errors stay as they are.
func InMessages(sk *sketch.Sketch, err error) error {
	if faults, ok := errors.AsType[linkage.Faults](err); ok {
		return syntax.Messages(sk.Faults(faults))
	}
	return err
}

// nextSize finds the next size to which a dimension can be made: a size of its stock line, else a 64th of an inch or a
// hundredth of a millimetre.
func (e *Engine) nextSize(dim int, v float64, up bool) float64 {
	if stock := e.Dims[dim].Stock; len(stock) > 0 {
		return nextInStock(stock, v, up)
	}
	step := 0.01
	if e.Units.Inches {
		step = 25.4 / 64
	}
	const rounding = 1e-6
	switch {
	case !e.Dims[dim].Kind.Is(quantity.Length):
		return math.NaN()
	case up:
		return step * math.Ceil(v/step-rounding)
	}
	return step * math.Floor(v/step+rounding)
}

// Vary gives the solver the sketch with other values of its dimensions. If they make no engine the error is syntax.Messages.
func Vary(sk *sketch.Sketch) machine.Vary {
	return func(change map[int]float64) (*solver.Problem, *expr.Values, error) {
		p, v, messages := sk.With(change)
		if len(messages) > 0 {
			return nil, nil, syntax.Messages(messages)
		}
		return p, v, nil
	}
}

// Noted is how many checks have each note. A pair that several lines ask about counts once.
func (e *Engine) Noted() map[string]int {
	if e.notes == nil {
		e.notes = map[string]int{}
		type noted struct {
			note string
			of   solver.Subject
		}
		seen := map[noted]bool{}
		for i := range e.Problem.Checks {
			if n := (noted{e.Problem.Checks[i].Note, e.Problem.Subject(i)}); !seen[n] {
				seen[n] = true
				e.notes[n.note]++
			}
		}
	}
	return e.notes
}

// Asking is an engine whose checks are those of the sketch and, after them, the pairs that were tried without being
// asked for.
func (e *Engine) Asking(res *solver.Result) *Engine {
	if len(res.Aside) == 0 {
		return e
	}
	sk := *e.Sketch
	sk.Problem = res.Asked(e.Problem)
	return &Engine{Sketch: &sk, Machine: e.Machine, Flags: e.Flags}
}
