package main

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"barover/cmd/barover/replace"
	"barover/render/report/variants"

	"barover/sketch/assembled"
	"barover/sketch/source"
	"barover/sketch/syntax"
	"barover/solver/mend"
)

// mendFlags are the flags of mend beside those that every verb has.
type mendFlags struct {
	valueFlags
	with, without, remake []string
	most                  int
	json, md, write       bool
	draw                  drawFlags
}

func newMend(c *console) *cobra.Command {
	var f mendFlags
	cmd := &cobra.Command{
		Use:   "mend FILE",
		Short: "The fewest changes with which everything holds",
		Long: `mend looks for ways out where something falls short: the smallest sets of changes of dimensions with which every check
holds, over the whole turn and every travel. Each way is proved as check proves it. The best comes first: fewest dimensions,
then fewest parts, smallest changes, most room.

Sizes are those of a dimension's stock line. Without one they are 64ths of an inch, tenths of a millimetre or tenths of a
degree, and finer only where none of these serves. What is made stays, unless --remake names it or nothing else serves; mend
then says what must be made again. Dimensions that follow from others change only where --with names them or nothing else
serves.

--write puts the ways into the sketch as cases, after the cases it has. -o draws the engine before and after the best of
them, as compare does.

Where mend finds no way it names checks that pull against one another. An interrupt prints what was found so far.

It ends with status 0 if there is a way, or if everything holds already, and with 1 if not.`,
		Args:              oneForm(&f.json, &f.md),
		ValidArgsFunction: completeSketch,
		RunE: func(cmd *cobra.Command, args []string) error {
			return c.runMend(cmd, args[0], &f)
		},
	}
	f.add(cmd)
	cmd.Flags().StringSliceVar(&f.with, "with", nil, "change these `dimensions` alone")
	cmd.Flags().StringSliceVar(&f.without, "without", nil, "leave these `dimensions` alone")
	cmd.Flags().StringSliceVar(&f.remake, "remake", nil, "these `dimensions` may change although they are made")
	cmd.Flags().IntVar(&f.most, "most", 5, "show at most so many ways")
	cmd.Flags().BoolVar(&f.json, "json", false, "print the ways as one JSON object, with every digit")
	cmd.Flags().BoolVar(&f.write, "write", false, "write the ways into the sketch, as cases")
	f.draw.page = "1"
	f.draw.addOut(cmd)
	f.draw.paper.add(cmd)
	cmd.Flags().BoolVar(&f.md, "md", false, "print the ways as Markdown")
	for _, name := range []string{"with", "without", "remake"} {
		offer(cmd, name, cobra.ShellCompDirectiveNoFileComp, namesOfDims)
	}
	return cmd
}

// runMend looks for ways out and prints them.
func (c *console) runMend(cmd *cobra.Command, path string, f *mendFlags) error {
	ctx := cmd.Context()
	if _, err := f.draw.outputs(path); err != nil {
		return err
	}
	if f.write && (f.as != "" || len(f.cases)+len(f.set) > 0) {
		return errors.New("--write is for the sketch as it stands: leave out --as, --case and --set, since with them the cases would mean something else")
	}
	if f.most < 1 {
		return fmt.Errorf("--most takes a whole number from 1, not %d", f.most)
	}
	e, err := f.open(path)
	if err != nil {
		return err
	}
	q := mend.Query{Problem: e.Problem, Vary: assembled.Vary(e.Sketch), Most: f.most, Dims: variants.MendDims(e)}
	for _, list := range []struct {
		flag  string
		names []string
		to    *[]int
	}{{"with", f.with, &q.With}, {"without", f.without, &q.Without}, {"remake", f.remake, &q.Remake}} {
		if *list.to, err = dimsNamed(e, list.flag, list.names); err != nil {
			return err
		}
	}
	a, err := solved(ctx, c, e, func(p *progress) (*mend.Answer, error) { return mend.Mend(ctx, q, p.options()) })
	if err != nil {
		return err
	}
	r := variants.Mended(e, a)
	if a.Stopped && len(a.Ways) == 0 {
		return context.Canceled
	}
	return c.giveMend(ctx, e, r, f)
}

// dimsNamed are the numbers of the dimensions that a flag names.
func dimsNamed(e *assembled.Engine, flag string, names []string) (list []int, err error) {
	for _, name := range names {
		_, n, ok := e.Dim(strings.TrimSpace(name))
		if !ok {
			return nil, fmt.Errorf("--%s %s: %s has no dimension of that name%s", flag, name, e.Path, variants.NearestDim(e.Sketch, name))
		}
		if !slices.Contains(list, n) {
			list = append(list, n)
		}
	}
	return list, nil
}

// giveMend writes, draws and prints the ways.
func (c *console) giveMend(ctx context.Context, e *assembled.Engine, r *variants.Mending, f *mendFlags) error {
	if len(r.Ways) > 0 && len(f.draw.out) > 0 {
		if err := c.drawWith(ctx, e, &f.valueFlags, &f.draw, r.Set(), nil); err != nil { // the engine before and after the best way
			return err
		}
	}
	if len(r.Ways) > 0 && f.write {
		if err := writeCases(ctx, e, r.Cases()); err != nil {
			return err
		}
		r.Written = true
	}
	if f.md {
		return c.print(r.Markdown(), r.Status())
	}
	return c.show(r, nil, f.json)
}

// writeCases puts lines into the sketch.
func writeCases(ctx context.Context, e *assembled.Engine, lines []string) error {
	text, err := source.ReadFile(e.Path)
	if err != nil {
		return syntax.Messages{source.Unread(e.Path, err)}
	}
	with, messages := syntax.AfterCases(e.Path, string(text), lines)
	if len(messages) > 0 {
		return syntax.Messages(messages)
	}
	return replace.File(ctx, e.Path, []byte(with))
}
