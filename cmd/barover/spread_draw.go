package main

import (
	"context"
	"errors"
	"slices"
	"strings"

	"barover/render/report/variants"
	"barover/sketch/assembled"
)

// drawSpread draws the engine as it stands and the worst engine of the check that its tolerances bring nearest to its limit, in one frame: what
// is worse stands enlarged beside its clearance over the turn in both.
func (c *console) drawSpread(ctx context.Context, e *assembled.Engine, r *variants.Spread, f *spreadFlags) error {
	set := r.WorstSet()
	if len(set) == 0 {
		return errors.New("no tolerance makes a check worse: there is no worst engine to draw")
	}
	o, err := f.options()
	if err != nil {
		return err
	}
	changed := map[string]bool{}
	for _, s := range set {
		name, _, _ := strings.Cut(s, "=")
		changed[name] = true
	}
	o.Set = append(slices.DeleteFunc(slices.Clone(o.Set), func(s string) bool {
		name, _, _ := strings.Cut(s, "=")
		return changed[strings.TrimSpace(name)]
	}), set...)
	worst, messages, err := assembled.AssembleRead(e.Again(o))
	if err := c.tell(messages, err); err != nil {
		return err
	}
	b, err := c.compared(ctx, e, worst, false, false)
	if err != nil {
		return err
	}
	if err := c.drawBoth(ctx, b, &f.draw); err != nil {
		return err
	}
	c.wrote(f.draw.out)
	return nil
}
