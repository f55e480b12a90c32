package main

import (
	"context"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"barover/render/report/variants"
	"barover/sketch"
	"barover/sketch/assembled"
	"barover/solver/seek"
)

// seekFlags are the flags of seek beside those that every verb has.
type seekFlags struct {
	valueFlags
	from, to, check string
	json, wear      bool
	draw            drawFlags
}

func newSeek(c *console) *cobra.Command {
	var f seekFlags
	cmd := &cobra.Command{
		Use:   "seek FILE DIM [DIM] | FILE --wear",
		Short: "The values of one dimension, or two, with which all holds",
		Long: `seek finds every range of values of one dimension with which all checks hold, and which check stops it at either
end. Other dimensions stay as they are, except those that follow from this one.

Without --from and --to it looks over half the value either way, or a twentieth of the engine if that is more (30
degrees of an angle), on the same side of zero. The ends are found to a millionth, and proved where a check can be
proved. Between the values that it tries, nothing is proved.

With two dimensions it maps both: cells in which everything is proved to hold with every pair of values, cells in which
something is proved to fall short with every pair, and cells left open between them. --from V,V and --to V,V set its
limits. The map shows what stops it on each side, and the place with most room. -o draws it.

With --wear it finds how far every play may grow before a clear line falls short, and which line that is. It prints two
figures: up to the first all is proved to hold, and at the second an engine was solved that falls short. Where the sketch
writes no play, every pin wears.

It ends with status 0 if everything holds with the dimensions as they are, 1 if something falls short.`,
		Args: func(cmd *cobra.Command, args []string) error {
			if f.wear && len(args) == 1 || !f.wear && (len(args) == 2 || len(args) == 3) {
				return nil
			}
			return fmt.Errorf("seek takes a FILE and one DIM or two: barover %s", cmd.Use)
		},
		ValidArgsFunction: completeSeek,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) != 3 && len(f.draw.out) > 0 {
				return errors.New("-o draws the map of two dimensions: name both")
			}
			var r shown
			var err error
			switch {
			case f.wear:
				r, err = c.worn(cmd.Context(), args[0], &f)
			case len(args) == 3:
				r, err = c.seekTwo(cmd.Context(), args[0], [2]string{args[1], args[2]}, &f)
			default:
				r, err = c.seek(cmd.Context(), args[0], args[1], &f)
			}
			return c.show(r, err, f.json)
		},
	}
	f.add(cmd)
	f.draw.page = "1"
	f.draw.addOut(cmd)
	cmd.Flags().StringVar(&f.from, "from", "", "the least `value` to look at, written as in the sketch")
	cmd.Flags().StringVar(&f.to, "to", "", "the greatest `value` to look at")
	cmd.Flags().StringVar(&f.check, "for", "", "look at this `check` alone: its note, \"clear conrod frame\", \"keep over_run\", \"line 40\"; at all its pairs where it has several")
	cmd.Flags().BoolVar(&f.wear, "wear", false, "find how far every play may grow, instead of the values of a dimension")
	cmd.Flags().BoolVar(&f.json, "json", false, "print the ranges as one JSON object, with every digit")
	offer(cmd, "for", cobra.ShellCompDirectiveNoFileComp, checksOf)
	return cmd
}

// completeSeek offers sketches, then the dimensions of the one that was named.
func completeSeek(cmd *cobra.Command, args []string, word string) ([]string, cobra.ShellCompDirective) {
	if len(args) == 0 {
		return completeSketch(cmd, args, word)
	}
	return namesOfDims(args[:1]), cobra.ShellCompDirectiveNoFileComp
}

// seek reads the sketch and looks for the ranges.
func (c *console) seek(ctx context.Context, path, dim string, f *seekFlags) (*variants.Sought, error) {
	e, err := f.open(path)
	if err != nil {
		return nil, err
	}
	n, err := dimNamed(e, dim)
	if err != nil {
		return nil, err
	}
	d := &e.Dims[n]
	q := seek.Query{Problem: e.Problem, Vary: assembled.Vary(e.Sketch), Dim: n, Now: d.Value}
	q.From, q.To = seek.Limits(variants.SeekKind(d.Kind), d.Value, e.Machine.Size)
	if err := f.limits(e, d, &q); err != nil {
		return nil, err
	}
	if q.Checks, err = variants.ChecksMeant(e, f.check); err != nil {
		return nil, err
	}
	a, err := solved(ctx, c, e, func(p *progress) (*seek.Answer, error) { return seek.Seek(ctx, q, p.options()) })
	if err != nil {
		return nil, err
	}
	return variants.NewSought(ctx, e, d, f.check, f.from != "" || f.to != "", q, a)
}

// dimNamed is the number of a dimension.
func dimNamed(e *assembled.Engine, name string) (int, error) {
	_, n, ok := e.Dim(name)
	if !ok {
		return -1, fmt.Errorf("%s has no dimension %s%s", e.Path, name, variants.NearestDim(e.Sketch, name))
	}
	return n, nil
}

// limits puts the values of --from and --to in the place of the usual ones.
func (f *seekFlags) limits(e *assembled.Engine, d *sketch.Dim, q *seek.Query) error {
	for _, end := range []struct {
		flag, word string
		to         *float64
	}{{"from", f.from, &q.From}, {"to", f.to, &q.To}} {
		if end.word == "" {
			continue
		}
		v, err := f.value(e, d, end.word)
		if err != nil {
			return fmt.Errorf("--%s %s: %w", end.flag, end.word, err)
		}
		*end.to = v
	}
	if !(q.From < q.To) {
		return fmt.Errorf("there is nothing from %s to %s: give the lesser value with --from, the greater with --to",
			e.Units.Value(q.From, d.Kind), e.Units.Value(q.To, d.Kind))
	}
	return nil
}

// value reads a value of a dimension as --set does.
func (f *seekFlags) value(e *assembled.Engine, d *sketch.Dim, word string) (float64, error) {
	o, err := f.with(d.Name + "=" + word)
	if err != nil {
		return 0, err
	}
	sk, messages := e.Again(o)
	if len(messages) > 0 {
		return 0, fmt.Errorf("%s", messages[0].Text)
	}
	set, _, _ := sk.Dim(d.Name)
	return set.Value, nil
}
