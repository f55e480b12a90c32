package main

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"barover/render/drawing"
	"barover/render/report"
	"barover/sketch/assembled"
	"barover/sketch/syntax"
	"barover/solver"
)

func newSlopes(c *console) *cobra.Command {
	var v valueFlags
	var asJSON bool
	var over string
	var outs []string
	cmd := &cobra.Command{
		Use:   "slopes FILE MEASURE",
		Short: "What each dimension does to a measure: shifts, tilts or bends it",
		Long: `slopes says what a small change of each dimension does to a measure over the whole turn, or over the stroke that
--over names: by how much it shifts the line, tilts it and bends it. That tells which pivot of a parallel motion moves the
line aside and which makes it lean. Shift and tilt are those of the straight line that fits best; the bend is how far the
measure goes from that line. The change is 1/64 in, 0.1 mm or 0.1°; the crank is held and the travels are at rest.
-o draws the six dimensions that do most.`,
		Args: wants(2, 2, "a sketch and a measure"),
		ValidArgsFunction: func(cmd *cobra.Command, args []string, word string) ([]string, cobra.ShellCompDirective) {
			if len(args) == 0 {
				return completeSketch(cmd, args, word)
			}
			return measuresOf(args), cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			for _, o := range outs {
				if as := drawnAs(o); as == "" || as == "html" || as == "dxf" {
					return fmt.Errorf("-o %s: the name of a chart ends in .svg, .pdf or .png", o)
				}
			}
			e, err := v.open(args[0])
			if err != nil {
				return err
			}
			r, err := slopes(cmd.Context(), e, args[1], over, outs)
			if err == nil {
				err = c.warn(cmd.Context(), e)
			}
			return c.show(r, err, asJSON)
		},
	}
	v.add(cmd)
	cmd.Flags().StringVar(&over, "over", "", "the `measure` that is the stroke; the turn if left out")
	cmd.Flags().StringArrayVarP(&outs, "out", "o", nil, "draw the chart to this `file`, .svg, .pdf or .png; may be said again")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print the answer as one JSON object, with every digit")
	return cmd
}

// slopes finds what the dimensions do to a measure, over the turn or another measure, and draws the chart.
func slopes(ctx context.Context, e *assembled.Engine, measure, over string, outs []string) (*report.SlopesReport, error) {
	if err := spareAll(outs, e.Sketch); err != nil {
		return nil, err
	}
	of, err := measureNamed(e, measure)
	if err != nil {
		return nil, err
	}
	var against *solver.Measure
	if over != "" {
		if against, err = measureNamed(e, over); err != nil {
			return nil, err
		}
	}
	r, err := report.NewSlopesReport(ctx, e, of, against)
	if err != nil {
		return nil, assembled.InMessages(e.Sketch, err)
	}
	if len(outs) == 0 {
		return r, nil
	}
	return r, writePages(ctx, singlePage{r.Chart()}, outs, 0)
}

// singlePage is a single drawing as pages.
type singlePage struct{ d *drawing.Drawing }

func (p singlePage) Len() int                   { return 1 }
func (p singlePage) Sheet(int) *drawing.Drawing { return p.d }

// measureNamed finds a measure of the sketch.
func measureNamed(e *assembled.Engine, name string) (*solver.Measure, error) {
	var names []string
	for i := range e.Problem.Measures {
		if m := &e.Problem.Measures[i]; m.Name == name {
			return m, nil
		}
		names = append(names, e.Problem.Measures[i].Name)
	}
	otherwise := "the measures are " + strings.Join(names, ", ")
	if len(names) == 0 {
		otherwise = "the sketch has none; write measure NAME = E"
	}
	return nil, noSuch("measure", name, names, otherwise)
}

// measuresOf lists the measures of a sketch for completion.
func measuresOf(args []string) (names []string) {
	eachStatement(args, func(_ *syntax.File, s syntax.Statement) {
		if m, ok := s.(*syntax.Measure); ok && !slices.Contains(names, m.Name.Text) {
			names = append(names, m.Name.Text+"\t"+m.Note.Text)
		}
	})
	return names
}
