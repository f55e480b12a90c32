package main

import (
	"bufio"

	"github.com/spf13/cobra"

	"barover/render/report"
	"barover/render/report/figures"
	"barover/sketch/assembled"
	"barover/sketch/syntax"
)

func newTable(c *console) *cobra.Command {
	var v valueFlags
	var at string
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "table FILE",
		Short: "Every measure at every position, as CSV",
		Long: `table prints a row for each position of the turn at each travel setting, and in it the turn, each travel and each
measure of the sketch with every digit. Where the parts cannot be assembled the measures are left empty, and
the status is 1. A measure without a value somewhere is left empty there, and is told of on standard error.`,
		Args:              oneFile,
		ValidArgsFunction: completeSketch,
		RunE: func(cmd *cobra.Command, args []string) error {
			e, err := c.open(args[0], &v)
			if err != nil {
				return err
			}
			turns := e.Machine.Turns()
			if cmd.Flags().Changed("at") {
				if turns, err = figures.TurnsAsked(e.Problem.Turn, at); err != nil {
					return err
				}
			}
			w := bufio.NewWriter(c.out)
			t := figures.NewTableWriter(e, w, asJSON)
			broken, err := e.Machine.Table(cmd.Context(), turns, t.Row)
			if messages, err := assembled.InMessages(e.Sketch, err); err != nil || len(messages) > 0 {
				return c.tell(messages, err)
			}
			if err := t.End(); err != nil {
				return err
			}
			if err := w.Flush(); err != nil {
				return err
			}
			empty, err := report.Empty(cmd.Context(), e)
			if err != nil {
				return err
			}
			if err := syntax.Print(c.err, empty); err != nil {
				return err
			}
			return endWith(report.StatusOf(broken))
		},
	}
	v.add(cmd)
	cmd.Flags().StringVar(&at, "at", "", "only at these `positions` of the turn, degrees: 0,62.5,90")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print the rows as JSON, an object each")
	return cmd
}
