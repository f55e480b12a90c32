package main

import (
	"context"
	"errors"

	"barover/render/report/variants"
	"barover/sketch/assembled"
	"barover/solver/spread"
)

// drawSpread draws the engine as it stands, and the worst engine of the check that the tolerances bring nearest to its
// limit, in one frame. What is worse is enlarged, beside its clearance over the turn in both.
func (c *console) drawSpread(ctx context.Context, e *assembled.Engine, r *variants.Spread, f *spreadFlags) error {
	set := r.WorstSet()
	if len(set) == 0 {
		return errors.New("no tolerance makes a check worse, so there is no worst engine to draw: leave out -o")
	}
	q, err := f.ask(e)
	if err != nil {
		return err
	}
	within, err := spread.Envelopes(ctx, q)
	if err != nil {
		return err
	}
	return c.drawWith(ctx, e, &f.valueFlags, &f.draw, set, within)
}
