package main

import (
	"cmp"
	"context"
	"fmt"
	"path/filepath"
	"strconv"

	"github.com/spf13/cobra"

	"barover/render/sheet"
	"barover/solver"
)

// drawnIfAsked holds the flags of a drawing against one another before anything is solved.
func drawnIfAsked(cmd *cobra.Command, d *drawFlags, args []string) error {
	if len(d.out) > 0 {
		_, err := d.outputs(args[len(args)-1])
		return err
	}
	for _, flag := range []string{"at", "page"} {
		if cmd.Flags().Changed(flag) {
			return fmt.Errorf("--%s is for a drawing; name its file with -o", flag)
		}
	}
	return nil
}

// drawBoth writes the drawings of both engines that are asked for.
func (c *console) drawBoth(ctx context.Context, b *beforeAfter, d *drawFlags) error {
	if len(d.out) == 0 {
		return nil
	}
	if err := spareAll(d.out, b.before.Sketch, b.after.Sketch); err != nil {
		return err
	}
	book, err := b.book(ctx, d.at)
	if err != nil {
		return err
	}
	if _, err := strconv.Atoi(d.page); err != nil {
		return fmt.Errorf("--page %s: write a number from 1 to %d", d.page, book.Len())
	}
	page, err := d.pageOf(book)
	if err != nil {
		return err
	}
	if n := book.Note(); n != "" {
		fmt.Fprintf(c.err, "%s: %s\n", b.after.Path, n)
	}
	return writePages(ctx, book, d.out, page)
}

// book lays out the sheets of both engines.
func (b *beforeAfter) book(ctx context.Context, at string) (*sheet.Book, error) {
	place, err := b.place(at)
	if err != nil {
		return nil, err
	}
	o := b.after.sheetOptions(place)
	was, is := b.names()
	o.Values = "thin: " + was + "\nthick: " + is
	if b.report.two {
		o.File, o.Values = o.Values, valuesInWords(b.after.Sketch)
	}
	c := &sheet.Change{Before: sheet.Of(ctx, b.before.machine, b.found.Before), After: sheet.Of(ctx, b.after.machine, b.found.After),
		Was: was, Is: is, Dims: b.dims(), Checks: b.checks(), Sum: b.report.sentence()}
	return sheet.NewChangeBook(c, o), ctx.Err()
}

// names are what the two engines are called: their values if they are of one sketch, else their files, each with its
// folder where both have one name.
func (b *beforeAfter) names() (was, is string) {
	if !b.report.two {
		return b.report.Before.words, b.report.After.words
	}
	was, is = filepath.Base(b.before.Path), filepath.Base(b.after.Path)
	if was == is {
		was, is = withFolder(b.before.Path), withFolder(b.after.Path)
	}
	return was, is
}

// withFolder is a file's name with that of its folder, and nothing of where that lies.
func withFolder(path string) string {
	folder := filepath.Base(filepath.Dir(path))
	if folder == "." || folder == string(filepath.Separator) {
		return filepath.Base(path)
	}
	return folder + "/" + filepath.Base(path)
}

// place is the position drawn: the one asked for, or where the check that changed most is worst; first of those that fall
// short after the change, newly or still, then of those that are mended, then of all.
func (b *beforeAfter) place(asked string) (*solver.Position, error) {
	rep := newReport(b.after, b.found.After)
	if asked != "" {
		return b.after.chosen(rep, b.found.After, asked)
	}
	best := [3]*solver.Position{}
	for i := range b.found.Checks {
		d := &b.found.Checks[i]
		if a := &rep.Checks[d.After]; len(a.At) == 0 || a.still() {
			continue
		}
		k := 2
		switch d.Became {
		case solver.FallsShortNow, solver.StillShort:
			k = 0
		case solver.Mended:
			k = 1
		}
		if best[k] == nil {
			best[k] = &b.found.After.Findings[d.After].At
		}
	}
	if at := cmp.Or(best[0], best[1], best[2]); at != nil {
		return at, nil
	}
	return b.after.chosen(rep, b.found.After, "")
}

// dims are the changed dimensions as a sheet has them, those last that only one engine has.
func (b *beforeAfter) dims() (list []sheet.ChangedDim) {
	r := b.report
	for i := range r.Dims {
		if !r.Dims[i].Cause {
			continue
		}
		was, is, by, from := r.dimFigures(&r.Dims[i])
		list = append(list, sheet.ChangedDim{Name: r.Dims[i].Name, Was: was, Is: is, By: by, From: from})
	}
	for _, side := range []struct {
		e     *engine
		names []string
		came  bool
	}{{b.after, r.DimsCame, true}, {b.before, r.DimsWent, false}} {
		for _, d := range side.e.Dims {
			for _, name := range side.names {
				if d.Name != name {
					continue
				}
				c := sheet.ChangedDim{Name: name, Is: size(r.units, d.Value, d.Kind)}
				if !side.came {
					c.Was, c.Is = c.Is, ""
				}
				list = append(list, c)
			}
		}
	}
	return list
}

// checks are the checks that came out otherwise, the greatest change first, then those that only one engine asks.
func (b *beforeAfter) checks() (list []sheet.ChangedCheck) {
	r := b.report
	place := map[*checkChange]int{}
	for i := range r.Checks {
		place[&r.Checks[i]] = i
	}
	for _, d := range r.rows() {
		was, is, by := r.figures(d)
		f := &b.found.Checks[place[d]]
		list = append(list, sheet.ChangedCheck{Before: &b.found.Before.Findings[f.Before], After: &b.found.After.Findings[f.After],
			What: d.title, Became: d.became, Was: was, Is: is, By: by})
	}
	return append(list, b.oneSided()...)
}

// oneSided are the checks that only one of the two asks.
func (b *beforeAfter) oneSided() (list []sheet.ChangedCheck) {
	u := b.report.units
	read := func(e *engine, f *solver.Finding) string {
		a := reporter{e, u}.check(f)
		if a.apart() {
			return "apart"
		}
		return a.worst(u).read(u, a.kind)
	}
	for _, i := range b.found.Came {
		f := &b.found.After.Findings[i]
		list = append(list, sheet.ChangedCheck{After: f, What: reporter{b.after, u}.name(i).Named, Became: solver.Came, Is: read(b.after, f)})
	}
	for _, i := range b.found.Went {
		f := &b.found.Before.Findings[i]
		list = append(list, sheet.ChangedCheck{Before: f, What: reporter{b.before, u}.name(i).Named, Became: solver.Went, Was: read(b.before, f)})
	}
	return list
}
