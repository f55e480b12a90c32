package main

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"barover/render/sheet"
	"barover/solver"
	"barover/solver/machine"
)

func newDraw(c *console) *cobra.Command {
	var v valueFlags
	var d drawFlags
	cmd := &cobra.Command{
		Use:   "draw FILE",
		Short: "The engine in all its positions, as SVG, PDF or PNG",
		Long: `draw makes the sweep overlay: the engine drawn thick at one position and thin at others, what its parts sweep over,
each foul and the least clearance of each check; further pages have the tightest places, the widths across the engine,
and a page for each chart line of the sketch. Without -o it leaves FILE.svg and FILE.pdf beside the sketch.

It ends with status 1 if the engine cannot be assembled over part of the turn; whether the checks hold is told
by check.`,
		Args:              oneFile,
		ValidArgsFunction: completeSketch,
		RunE: func(cmd *cobra.Command, args []string) error {
			outs, err := d.outputs(args[0])
			if err != nil {
				return err
			}
			e, err := c.open(args[0], &v)
			if err != nil {
				return err
			}
			if err := spareAll(outs, e.Sketch); err != nil {
				return err
			}
			res, err := c.drawnAnswer(cmd.Context(), e, d.levers(outs))
			if err != nil {
				return err
			}
			book, page, err := d.sheets(cmd.Context(), e, res)
			if err != nil {
				return err
			}
			if n := book.Note(); n != "" {
				fmt.Fprintf(c.err, "%s: %s\n", e.Path, n)
			}
			if err := writePages(cmd.Context(), book, outs, page); err != nil {
				return err
			}
			c.wrote(outs)
			return endWith(statusOf(res.Broken))
		},
	}
	v.add(cmd)
	d.add(cmd)
	return cmd
}

// levers are wanted where a sheet is written that tells what mends a check: any but the overlay.
func (d *drawFlags) levers(outs []string) machine.LeverWish {
	if d.page != "1" || slices.ContainsFunc(outs, func(o string) bool { return drawnAs(o) == "pdf" }) {
		return machine.ShortLevers
	}
	return machine.NoLevers
}

// drawFlags say what is drawn and where to.
type drawFlags struct {
	out  []string
	at   string
	page string
}

// sheets lays out all the sheets of an engine, and finds which of them is asked for.
func (d *drawFlags) sheets(ctx context.Context, e *engine, res *solver.Result) (*sheet.Book, int, error) {
	book, err := e.book(ctx, res, *d)
	if err != nil {
		return nil, 0, err
	}
	page, err := d.pageOf(book)
	return book, page, err
}

// pageOf is the page that is asked for, counted from zero.
func (d *drawFlags) pageOf(b *sheet.Book) (int, error) {
	if i := b.Named(d.page); i >= 0 {
		return i, nil
	}
	n, err := strconv.Atoi(d.page)
	if err != nil {
		return 0, fmt.Errorf("--page %s: there is no chart %s; write a number, or the name of a chart", d.page, d.page)
	}
	if n < 1 || n > b.Len() {
		return 0, fmt.Errorf("--page %d: there are pages 1 to %d", n, b.Len())
	}
	return n - 1, nil
}

func (d *drawFlags) add(cmd *cobra.Command) {
	d.addPlaces(cmd, "the `position` of the turn that is drawn thick, degrees; the tightest place if left out",
		"which `page` an .svg or .png shows, by its number or the name of a chart; a .pdf has them all")
}

// addPlaces adds the flags with what two of them mean for a verb.
func (d *drawFlags) addPlaces(cmd *cobra.Command, at, page string) {
	f := cmd.Flags()
	f.StringArrayVarP(&d.out, "out", "o", nil, "write to this `file`, by its ending .svg, .pdf or .png; may be said again")
	f.StringVar(&d.at, "at", "", at)
	f.StringVar(&d.page, "page", "1", page)
	cobra.CheckErr(cmd.RegisterFlagCompletionFunc("out", func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return endings, cobra.ShellCompDirectiveFilterFileExt
	}))
}

// endings are those of the drawings that can be written.
var endings = []string{"svg", "pdf", "png"}

// outputs are the files to write for a sketch.
func (d *drawFlags) outputs(path string) ([]string, error) {
	if len(d.out) == 0 {
		stem := strings.TrimSuffix(path, ".motion")
		return []string{stem + ".svg", stem + ".pdf"}, nil
	}
	for _, o := range d.out {
		if drawnAs(o) == "" {
			return nil, fmt.Errorf("-o %s: a drawing's name ends in .svg, .pdf or .png", o)
		}
	}
	return d.out, distinct(d.out)
}
