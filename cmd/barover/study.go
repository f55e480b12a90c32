package main

import (
	"context"
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"barover/sketch"
	"barover/sketch/syntax"
	"barover/solver"
	"barover/solver/linkage"
	"barover/solver/machine"
)

// valueFlags choose which values count, and what a sketch may read, for every verb that solves.
type valueFlags struct {
	as    string
	cases []string
	set   []string

	anywhere bool
}

func (v *valueFlags) add(cmd *cobra.Command) {
	f := cmd.Flags()
	f.StringVar(&v.as, "as", "", `"drawn" takes the dim lines alone, without made and plan`)
	f.StringArrayVar(&v.cases, "case", nil, "take in the what-if of this `name`; may be said again, for other dimensions")
	f.StringArrayVar(&v.set, "set", nil, "give a dimension another value, as `DIM=V`; may be said again")
	f.BoolVar(&v.anywhere, "anywhere", false, "let the sketch use files from anywhere, not only from its own folder or version control")
	completeValues(cmd)
}

// options are the flags as the reader of sketches wants them.
func (v *valueFlags) options() (sketch.Options, error) {
	if v.as != "" && v.as != "drawn" {
		return sketch.Options{}, errors.New(`--as takes "drawn" and nothing else`)
	}
	for _, c := range v.cases {
		for name := range strings.SplitSeq(c, ",") {
			if strings.TrimSpace(name) == "" {
				return sketch.Options{}, fmt.Errorf("--case %q: a name is missing; write --case NAME, and commas between several", c)
			}
		}
	}
	return sketch.Options{AsDrawn: v.as == "drawn", Case: strings.Join(v.cases, ","), Set: v.set, Anywhere: v.anywhere}, nil
}

// typed is the flags as they are typed, each with a blank before it.
func (v *valueFlags) typed() (flags string) {
	if v.as != "" {
		flags += " --as " + typed(v.as)
	}
	for _, name := range v.cases {
		flags += " --case " + typed(name)
	}
	for _, set := range v.set {
		flags += " --set " + typed(set)
	}
	return flags
}

// typed is a word of a command line as it is typed: in quotes where a shell would part or change it.
func typed(word string) string {
	plain := func(r rune) bool {
		return 'a' <= r && r <= 'z' || 'A' <= r && r <= 'Z' || '0' <= r && r <= '9' || strings.ContainsRune("_-./:=,+", r)
	}
	switch {
	case word != "" && strings.IndexFunc(word, func(r rune) bool { return !plain(r) }) < 0:
		return word
	case !strings.ContainsAny(word, "\"$`!\\"):
		return `"` + word + `"`
	}
	return "'" + strings.ReplaceAll(word, "'", `'\''`) + "'"
}

// engine is a sketch that can be turned over: read, with its numbers put in, and assembled.
type engine struct {
	*sketch.Sketch
	machine *machine.Machine
	notes   map[string]int // see noted
	flags   string         // those of the command line that choose values, as they are typed
}

// assemble reads a sketch and puts the engine together. Where it cannot be used there are messages; the engine then has
// no machine, but it has files, which can be watched while they are mended.
func assemble(path string, o sketch.Options) (*engine, []syntax.Message, error) {
	return assembleRead(sketch.Load(path, o))
}

// assembleRead puts together an engine whose sketch has been read.
func assembleRead(sk *sketch.Sketch, messages []syntax.Message) (*engine, []syntax.Message, error) {
	e := &engine{Sketch: sk}
	if len(messages) > 0 {
		return e, messages, nil
	}
	var err error
	e.machine, err = machine.New(sk.Problem, sk.Values)
	messages, err = inMessages(sk, err)
	return e, messages, err
}

// study answers what the sketch asks. The checks take their time: p tells how far they are.
func (e *engine) study(ctx context.Context, p *progress, levers machine.LeverWish) (*solver.Result, []syntax.Message, error) {
	defer p.end()
	res, err := e.machine.Study(ctx, machine.Options{Progress: p.step, Levers: levers, Next: e.nextSize})
	messages, err := inMessages(e.Sketch, err)
	return res, messages, err
}

// drawnStudy answers what a drawing shows: the checks, without marks and measures. The charts ask for theirs. What mends a
// check takes longer than all the rest.
func (e *engine) drawnStudy(ctx context.Context, p *progress, levers machine.LeverWish) (*solver.Result, []syntax.Message, error) {
	defer p.end()
	res, err := e.machine.Study(ctx, machine.Options{Progress: p.step, Checks: true, Levers: levers})
	messages, err := inMessages(e.Sketch, err)
	return res, messages, err
}

// inMessages takes the faults of a sketch out of an error.
func inMessages(sk *sketch.Sketch, err error) ([]syntax.Message, error) {
	var faults linkage.Faults
	if errors.As(err, &faults) {
		return sk.Faults(faults), nil
	}
	return nil, err
}

// open assembles an engine for a verb, and tells why if it cannot be.
func (c *console) open(path string, v *valueFlags) (*engine, error) {
	o, err := v.options()
	if err != nil {
		return nil, err
	}
	e, messages, err := assemble(path, o)
	if err := c.tell(messages, err); err != nil {
		return nil, err
	}
	e.flags = v.typed()
	return e, nil
}

// answer studies an engine for a verb, and tells why if it cannot be.
func (c *console) answer(ctx context.Context, e *engine, levers machine.LeverWish) (*solver.Result, error) {
	res, messages, err := e.study(ctx, c.newProgress(filepath.Base(e.Path)), levers)
	if err := c.tell(messages, err); err != nil {
		return nil, err
	}
	return res, nil
}

// drawnAnswer is answer for a drawing.
func (c *console) drawnAnswer(ctx context.Context, e *engine, levers machine.LeverWish) (*solver.Result, error) {
	res, messages, err := e.drawnStudy(ctx, c.newProgress(filepath.Base(e.Path)), levers)
	if err := c.tell(messages, err); err != nil {
		return nil, err
	}
	return res, nil
}

// tell prints messages; with any, the sketch cannot be used.
func (c *console) tell(messages []syntax.Message, err error) error {
	if err != nil || len(messages) == 0 {
		return err
	}
	if err := syntax.Print(c.err, messages); err != nil {
		return err
	}
	return ending(unusable)
}

// statusOf is what a verb ends with that does not judge the checks: parts of the turn may still not assemble.
func statusOf(res []linkage.Broken) int {
	if len(res) > 0 {
		return fallsShort
	}
	return allHolds
}

// nextSize finds the next size that a dimension may be made to: of those that its stock line names, else a 64th of an inch, or a
// hundredth of a millimetre.
func (e *engine) nextSize(dim int, v float64, up bool) float64 {
	if stock := e.Dims[dim].Stock; len(stock) > 0 {
		return sketch.NextInStock(stock, v, up)
	}
	step := 0.01
	if e.Units.Inches {
		step = 25.4 / 64
	}
	const rounding = 1e-6
	switch {
	case !e.Dims[dim].Kind.Is(sketch.Length):
		return math.NaN()
	case up:
		return step * math.Ceil(v/step-rounding)
	}
	return step * math.Floor(v/step+rounding)
}
