package main

import (
	"context"
	"errors"

	"github.com/spf13/cobra"

	"barover/render/report"
	"barover/render/report/variants"
	"barover/sketch"
	"barover/sketch/assembled"
	"barover/solver"
	"barover/solver/change"
	"barover/solver/machine"
)

func newCompare(c *console) *cobra.Command {
	var v valueFlags
	var d drawFlags
	var asJSON, long bool
	cmd := &cobra.Command{
		Use:   "compare FILE | compare OLD NEW",
		Short: "What a change moved: drawn against now, or two sketches",
		Long: `compare solves the engine before and after a change. It lists each check that came out differently, what it was
and is, and which dimension caused that. The share of a changed dimension is what it does alone; "together" is the
rest, so that the shares add up to the whole change. Checks that fall short now or are mended come first, then those that
lost most of their room. Other checks that hold with room are only counted, and marks are shown with the ranges at rest;
--long shows all.

Dimensions that follow from changed ones are listed apart, each with the profiles and parts that are written with it:
they have a new size.

With one FILE, compare sets the sketch as drawn, its dim lines alone, against the sketch as it stands, made and planned
values included, or against the --case and --set that are given. With two, it sets one sketch against another, such as
two versions of one; --case and --set then go for both.

With one FILE and several --case, each case is a column beside the sketch as it stands, so that you can weigh ways out
against one another. --case A,B makes one column of two cases together.

-o also draws both engines on one sheet, before in thin lines and after in thick ones. What changed is named where it is
and in a table. A .pdf has further pages with the changed places enlarged, and the strip across the engine where bands or
gaps changed. The engines are drawn where the check that matters most is worst: a check that falls short after the change,
else one that is mended, else the one that changed most. --at puts them elsewhere, with the travels at rest.

It ends with status 0 if everything holds after the change, with every case, and 1 if something falls short then.`,
		Args:              wants(1, 2, "one FILE, or OLD and NEW"),
		ValidArgsFunction: completeSketch,
		RunE: func(cmd *cobra.Command, args []string) error {
			return c.runCompare(cmd, args, &v, &d, asJSON, long)
		},
	}
	v.add(cmd)
	d.addPlaces(cmd, "the `position` of the turn that is drawn, degrees; where the most changed check is worst if left out",
		"which `page` an .svg or .png shows, by its number; a .pdf has them all")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print the answers as one JSON object, with every digit")
	cmd.Flags().BoolVar(&long, "long", false, "list every check that came out differently, also those that hold with room, and marks at every travel setting")
	return cmd
}

// runCompare compares, draws if that is asked for, and prints.
func (c *console) runCompare(cmd *cobra.Command, args []string, v *valueFlags, d *drawFlags, asJSON, long bool) error {
	if err := drawnIfAsked(cmd, d, args); err != nil {
		return err
	}
	if len(args) == 1 && len(v.cases) > 1 {
		if len(d.out) > 0 {
			return errors.New("a drawing shows two engines: name one --case with -o, or several as NAME,NAME")
		}
		r, err := c.columns(cmd.Context(), args[0], v)
		return c.show(r, err, asJSON)
	}
	b, err := c.compare(cmd.Context(), args, v, long)
	if err != nil {
		return err
	}
	if err := c.drawBoth(cmd.Context(), b, d); err != nil {
		return err
	}
	c.wrote(d.out)
	return c.show(b.Report, nil, asJSON)
}

// columns reads and solves a sketch as it stands and with each case.
func (c *console) columns(ctx context.Context, path string, v *valueFlags) (*variants.Columns, error) {
	var engines []*assembled.Engine
	var results []*solver.Result
	for _, name := range append([]string{""}, v.cases...) {
		one := *v
		one.cases = nil
		if name != "" {
			one.cases = []string{name}
		}
		e, err := one.open(path)
		if err != nil {
			return nil, err
		}
		res, err := c.answer(ctx, e, machine.Options{Checks: true})
		if err != nil {
			return nil, err
		}
		engines, results = append(engines, e), append(results, res)
	}
	return variants.ColumnsOf(engines, results), nil
}

// compare reads and solves the two engines: of one sketch the first has its dim lines alone.
func (c *console) compare(ctx context.Context, args []string, v *valueFlags, long bool) (*report.BeforeAfter, error) {
	after, err := v.open(args[len(args)-1])
	if err != nil {
		return nil, err
	}
	var before *assembled.Engine
	if len(args) == 2 {
		before, err = v.open(args[0])
	} else {
		before, err = assembled.AssembleRead(after.Again(sketch.Options{AsDrawn: true}))
	}
	if err != nil {
		return nil, err
	}
	b, err := c.compared(ctx, before, after, len(args) == 2, long)
	if err == nil {
		err = c.warn(ctx, after)
	}
	return b, err
}

// compared solves two engines: of two sketches, or of one.
func (c *console) compared(ctx context.Context, before, after *assembled.Engine, two, long bool) (*report.BeforeAfter, error) {
	found, err := solve(c, after, func(p *progress) (*change.Comparison, error) {
		found, err := change.Compare(ctx, report.EngineOf(before), report.EngineOf(after), p.options())
		if u, ok := errors.AsType[*change.Unusable](err); ok && u.Old {
			err = assembled.InMessages(before.Sketch, err)
		}
		return found, err
	})
	if err != nil {
		return nil, err
	}
	return report.Compare(before, after, found, two, long), nil
}
