package main

import (
	"context"

	"github.com/spf13/cobra"

	"barover/render/report"
	"barover/sketch"
	"barover/sketch/assembled"
	"barover/solver/change"
)

func newLedger(c *console) *cobra.Command {
	var v valueFlags
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "ledger FILE",
		Short: "Each dimension: drawn, asked, made, and what the difference moves",
		Long: `ledger lists every dimension of the sketch: as drawn, as planned, as the rest of the engine asks for it now, and as
made. It says by how much the finished part differs from what is asked, and what that difference moves: the engine is
solved again with the part as it is asked for. What does most harm comes first.

A dimension that was made before the others it follows from were changed has to be made again. A dimension that is not
made yet gets a new size. It is listed under "Follow others", with the change that it follows from, its value as drawn and
its value now (those of --case and --set included), and the profiles and parts that are written with it.`,
		Args:              oneFile,
		ValidArgsFunction: completeSketch,
		RunE: func(cmd *cobra.Command, args []string) error {
			e, err := v.open(args[0])
			if err != nil {
				return err
			}
			r, err := c.ledger(cmd.Context(), e)
			return c.show(r, err, asJSON)
		},
	}
	v.add(cmd)
	cmd.Flags().BoolVar(&asJSON, "json", false, "print the ledger as one JSON object, with every digit")
	return cmd
}

// ledger solves the engine with each part as it is asked for.
func (c *console) ledger(ctx context.Context, e *assembled.Engine) (*report.LedgerReport, error) {
	var asked []change.Asked
	for i := range e.Dims {
		if d := &e.Dims[i]; d.Source == sketch.FromMade && report.Differs(d) {
			asked = append(asked, change.Asked{Dim: i, Asked: d.Asked})
		}
	}
	return solved(ctx, c, e, func(p *progress) (*report.LedgerReport, error) {
		entries, res, err := change.Ledger(ctx, report.EngineOf(e), asked, p.options())
		if err != nil {
			return nil, err
		}
		return report.NewLedgerReport(e, entries, res), nil
	})
}
