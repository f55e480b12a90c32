package report

import (
	"cmp"
	"context"
	"path/filepath"

	"barover/render/report/figures"
	"barover/render/sheet"
	"barover/sketch/assembled"
	"barover/solver"
	"barover/solver/change"
	"barover/solver/machine"
)

// BeforeAfter is two engines with their differences, and the words about them.
type BeforeAfter struct {
	Before, After *assembled.Engine
	found         *change.Comparison
	Report        *CompareReport
	// Within has the clearances of After charted within those of all engines that the tolerances allow; nil for none.
	Within *machine.Envelopes
}

// Compare tells what differs between two engines: two of one sketch, or of two.
func Compare(before, after *assembled.Engine, found *change.Comparison, two, long bool) *BeforeAfter {
	r := newCompareReport(before, after, found)
	r.two, r.long = two, long
	return &BeforeAfter{Before: before, After: after, found: found, Report: r}
}

// Book lays out the sheets of both engines.
func (b *BeforeAfter) Book(ctx context.Context, look Look) (*sheet.Book, error) {
	place, err := b.place(look)
	if err != nil {
		return nil, err
	}
	o := SheetOptions(b.After, place, look)
	was, is := b.names()
	o.Values = "thin: " + was + "\nthick: " + is
	if b.Report.two {
		o.File, o.Values = o.Values, figures.InWords(b.After.Sketch)
	}
	before, after := sheet.Of(ctx, b.Before.Machine, b.found.Before), sheet.Of(ctx, b.After.Machine, b.found.After)
	before.Pick, after.Pick = look.Pick, look.Pick
	if b.Within != nil {
		after.Within(ctx, func() *machine.Envelopes { return b.Within }, "every engine")
	}
	c := &sheet.Change{Before: before, After: after,
		Was: was, Is: is, Dims: b.dims(), Checks: b.checks(), Sum: b.Report.sentence()}
	return sheet.NewChangeBook(c, o), ctx.Err()
}

// names are what the two engines are Called: their values if they are of one sketch, else their files, each with its
// folder where both have one name.
func (b *BeforeAfter) names() (was, is string) {
	if !b.Report.two {
		return b.Report.Before.words, b.Report.After.words
	}
	was, is = filepath.Base(b.Before.Path), filepath.Base(b.After.Path)
	if was == is {
		was, is = withFolder(b.Before.Path), withFolder(b.After.Path)
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
func (b *BeforeAfter) place(look Look) (*solver.Position, error) {
	rep := New(b.After, b.found.After)
	if look.At != "" {
		return chosenPlace(b.After, rep, b.found.After, look)
	}
	best := [3]*solver.Position{}
	for _, d := range b.found.Checks {
		if a := &rep.Checks[d.After]; len(a.At) == 0 || a.still() || !a.drawn(look.Pick) {
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
	return chosenPlace(b.After, rep, b.found.After, look)
}

// dims are the changed dimensions as a sheet has them, those last that only one engine has.
func (b *BeforeAfter) dims() (list []sheet.ChangedDim) {
	r := b.Report
	for i := range r.Dims {
		if !r.Dims[i].Cause {
			continue
		}
		was, is, by, from := r.dimFigures(&r.Dims[i])
		list = append(list, sheet.ChangedDim{Name: r.Dims[i].Name, Was: was, Is: is, By: by, From: from})
	}
	for _, side := range []struct {
		e     *assembled.Engine
		names []string
		came  bool
	}{{b.After, r.DimsCame, true}, {b.Before, r.DimsWent, false}} {
		for _, name := range side.names {
			d, _, _ := side.e.Dim(name)
			c := sheet.ChangedDim{Name: name, Is: Size(r.units, d.Value, d.Kind)}
			if !side.came {
				c.Was, c.Is = c.Is, ""
			}
			list = append(list, c)
		}
	}
	return list
}

// checks are the checks that came out otherwise, the greatest change first, then those that only one engine asks.
func (b *BeforeAfter) checks() (list []sheet.ChangedCheck) {
	r := b.Report
	place := map[*checkChange]int{}
	for i := range r.Checks {
		place[&r.Checks[i]] = i
	}
	for _, d := range r.rows() {
		was, is, by := r.figures(d)
		f := &b.found.Checks[place[d]]
		list = append(list, sheet.ChangedCheck{Before: &b.found.Before.Findings[f.Before], After: &b.found.After.Findings[f.After],
			What: d.Title, Became: d.became, Was: was, Is: is, By: by})
	}
	return append(list, b.oneSided()...)
}

// oneSided are the checks that only one of the two asks.
func (b *BeforeAfter) oneSided() (list []sheet.ChangedCheck) {
	u := b.Report.units
	read := func(e *assembled.Engine, f *solver.Finding) (what, figure string) {
		a := Reporter{e, u}.check(f)
		if a.apart() {
			return a.Named, "apart"
		}
		return a.Named, a.worst(u).Read(u, a.kind)
	}
	for _, i := range b.found.Came {
		c := sheet.ChangedCheck{After: &b.found.After.Findings[i], Became: solver.Came}
		c.What, c.Is = read(b.After, c.After)
		list = append(list, c)
	}
	for _, i := range b.found.Went {
		c := sheet.ChangedCheck{Before: &b.found.Before.Findings[i], Became: solver.Went}
		c.What, c.Was = read(b.Before, c.Before)
		list = append(list, c)
	}
	return list
}
