package main

import (
	"bufio"
	"cmp"
	"context"
	"errors"

	"github.com/spf13/cobra"

	"barover/render/report"
	"barover/render/report/figures"
	"barover/sketch/assembled"
	"barover/sketch/syntax"
)

func newTable(c *console) *cobra.Command {
	var v valueFlags
	var at string
	var asJSON, settings, ends, asMarkdown bool
	cmd := &cobra.Command{
		Use:   "table FILE",
		Short: "Every measure at every position, as CSV",
		Long: `table prints one row for each position of the turn at each travel setting. A row has the turn, each travel and each
measure of the sketch, with every digit. Where the parts cannot be assembled the measures are left empty, and
the status is 1. A measure that has no value somewhere is left empty there, and is named on standard error.

With --settings it prints what the setting lines of the sketch ask for: one row for each notch of a reverser, front and
back side by side with their difference, ranges at rest. --ends adds each range at either end.`,
		Args:              oneFile,
		ValidArgsFunction: completeSketch,
		RunE: func(cmd *cobra.Command, args []string) error {
			e, err := v.open(args[0])
			if err != nil {
				return err
			}
			if settings {
				return c.settings(cmd.Context(), e, ends, asMarkdown, asJSON)
			}
			if ends || asMarkdown {
				return errors.New("--ends and --md go with --settings")
			}
			turns := e.Machine.Turns()
			if cmd.Flags().Changed("at") {
				if turns, err = figures.TurnsAsked(e.Problem.Turn, at); err != nil {
					return err
				}
			}
			return c.table(cmd.Context(), e, turns, asJSON)
		},
	}
	v.add(cmd)
	cmd.Flags().StringVar(&at, "at", "", "only at these `positions` of the turn, degrees: 0,62.5,90")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print the rows as JSON, one object for each; with --settings one object for all")
	cmd.Flags().BoolVar(&settings, "settings", false, "the table of the setting lines: a row for each notch")
	cmd.Flags().BoolVar(&ends, "ends", false, "with --settings: also with each range at either end")
	cmd.Flags().BoolVar(&asMarkdown, "md", false, "with --settings: in Markdown")
	return cmd
}

// table prints the measures at some positions.
func (c *console) table(ctx context.Context, e *assembled.Engine, turns []float64, asJSON bool) error {
	w := bufio.NewWriter(c.out)
	t := figures.NewTableWriter(e, w, asJSON)
	broken, err := e.Machine.Table(ctx, turns, t.Row)
	if err != nil {
		return assembled.InMessages(e.Sketch, err)
	}
	if err := cmp.Or(t.End(), w.Flush()); err != nil {
		return err
	}
	empty, err := report.Empty(ctx, e)
	if err != nil {
		return err
	}
	if err := cmp.Or(syntax.Print(c.err, empty), c.warn(ctx, e)); err != nil {
		return err
	}
	return endWith(report.StatusOf(len(broken) == 0))
}

// settings prints the table of settings.
func (c *console) settings(ctx context.Context, e *assembled.Engine, ends, asMarkdown, asJSON bool) error {
	if len(e.Problem.Columns) == 0 {
		return errors.New("the sketch has no setting line; write setting NAME = E, or E, E for front and back")
	}
	r, err := report.NewSettingsReport(ctx, e, ends)
	if err != nil {
		return assembled.InMessages(e.Sketch, err)
	}
	if err := c.warn(ctx, e); err != nil {
		return err
	}
	if asMarkdown {
		return c.print(r.Markdown(), r.Status())
	}
	return c.show(r, nil, asJSON)
}
