package main

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"barover/render/report"
	"barover/sketch"
	"barover/sketch/assembled"
	"barover/sketch/syntax"
	"barover/solver"
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

// options are the flags in the form that the reader of sketches takes.
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

// with returns the options with more values of dimensions, each written as --set takes it.
func (v *valueFlags) with(set ...string) (sketch.Options, error) {
	o, err := v.options()
	named := func(s string) string {
		name, _, _ := strings.Cut(s, "=")
		return strings.TrimSpace(name)
	}
	o.Set = append(slices.DeleteFunc(slices.Clone(o.Set), func(s string) bool {
		return slices.ContainsFunc(set, func(other string) bool { return named(other) == named(s) })
	}), set...)
	return o, err
}

// typed is the flags as they were typed, each with a blank before it.
func (v *valueFlags) typed() (flags string) {
	if v.as != "" {
		flags += " --as " + report.Typed(v.as)
	}
	for _, name := range v.cases {
		flags += " --case " + report.Typed(name)
	}
	for _, set := range v.set {
		flags += " --set " + report.Typed(set)
	}
	if v.anywhere {
		flags += " --anywhere"
	}
	return flags
}

// open assembles an engine for a verb.
func (v *valueFlags) open(path string) (*assembled.Engine, error) {
	o, err := v.options()
	if err != nil {
		return nil, err
	}
	e, err := assembled.Assemble(path, o)
	if err != nil {
		return nil, err
	}
	e.Flags = v.typed()
	return e, nil
}

// solve does a piece of work on an engine while its progress is shown.
func solve[T any](c *console, e *assembled.Engine, work func(*progress) (T, error)) (T, error) {
	p := c.newProgress(filepath.Base(e.Path))
	defer p.end()
	a, err := work(p)
	return a, assembled.InMessages(e.Sketch, err)
}

// solved is solve for a verb whose answer is about the engine as the sketch has it. It warns of what may be meant otherwise.
func solved[T any](ctx context.Context, c *console, e *assembled.Engine, work func(*progress) (T, error)) (T, error) {
	a, err := solve(c, e, work)
	if err == nil {
		err = c.warn(ctx, e)
	}
	return a, err
}

// warn prints the warnings about a sketch, unless the user stopped the verb.
func (c *console) warn(ctx context.Context, e *assembled.Engine) error {
	warnings, err := report.Warnings(ctx, e)
	switch {
	case ctx.Err() != nil:
		return nil
	case err != nil:
		return assembled.InMessages(e.Sketch, err)
	}
	return syntax.Print(c.err, warnings)
}

// answer studies an engine for a verb: all that the sketch asks, or for a drawing only the checks.
func (c *console) answer(ctx context.Context, e *assembled.Engine, o machine.Options) (*solver.Result, error) {
	return solved(ctx, c, e, func(p *progress) (*solver.Result, error) {
		o.Progress = p.step
		return e.Study(ctx, o)
	})
}
