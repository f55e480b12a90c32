package main

import (
	"context"
	"fmt"

	"barover/render/report/variants"
	"barover/sketch"
	"barover/sketch/assembled"
	"barover/solver/seek"
)

// worn reads the sketch and finds how far every play may grow.
func (c *console) worn(ctx context.Context, path string, f *seekFlags) (*variants.Worn, error) {
	if f.from != "" || f.to != "" || f.check != "" {
		return nil, fmt.Errorf("--wear is about every play and every clear line: leave out --from, --to and --for")
	}
	e, err := f.open(path)
	if err != nil {
		return nil, err
	}
	a, err := solved(ctx, c, e, func(p *progress) (*seek.Wear, error) { return seek.Worn(ctx, e.Machine, p.options()) })
	if err != nil {
		return nil, err
	}
	return variants.NewWorn(e, a), nil
}

// wearOf reads the figure of --wear as a length in the units of the sketch.
func wearOf(e *assembled.Engine, word string) (float64, error) {
	if word == "" {
		return 0, nil
	}
	v, err := sketch.LengthIn(e.Units, word)
	switch {
	case err != nil:
		return 0, fmt.Errorf("--wear %s: %w", word, err)
	case !(v >= 0) || v > 1e6:
		return 0, fmt.Errorf("--wear %s: write the length by which pins wear, 0 or more", word)
	}
	return v, nil
}
