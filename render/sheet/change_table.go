package sheet

import (
	"barover/render/office"
	"barover/solver"
)

// changeColumns are those of the table of what changed.
var changeColumns = []office.Column{{Head: ""}, {Head: "what changed", Most: true}, {Head: "asked"}, {Head: "before", End: true}, {Head: "after", End: true},
	{Head: "by", End: true}, {Head: ""}}

// rows are the changes: the dimensions; the checks, those that do not hold now first; and last what only one of the two
// engines has.
func (b *both) rows() (rows []office.Row) {
	var alone []office.Row
	for i := range b.Dims {
		r := office.Row{Cells: b.Dims[i].cells()}
		if b.Dims[i].Was != "" && b.Dims[i].Is != "" {
			rows = append(rows, r)
		} else {
			alone = append(alone, r)
		}
	}
	var ranks [4][]office.Row
	for i := range b.Checks {
		c := &b.Checks[i]
		k := c.rank()
		if k == 1 { // mended checks keep the order of the change
			k = 2
		}
		ranks[k] = append(ranks[k], office.Row{Bad: k == 0,
			Cells: []string{c.sign(), c.What, b.asked(c), dashed(c.Was), dashed(c.Is), c.By, b.word(c) + c.sure()}})
	}
	for _, r := range ranks {
		rows = append(rows, r...)
	}
	return append(rows, alone...)
}

// cells is the row of a dimension.
func (d *ChangedDim) cells() []string {
	sign, from := "", d.From
	switch {
	case d.Was == "":
		sign, from = signs[solver.Came], solver.Came.String()
	case d.Is == "":
		sign, from = signs[solver.Went], solver.Went.String()
	}
	return []string{sign, "dim " + d.Name, "", dashed(d.Was), dashed(d.Is), d.By, from}
}

// dashed is a figure, or a dash where there is none.
func dashed(s string) string {
	if s == "" {
		return "–"
	}
	return s
}

// word is what became of a check.
func (b *both) word(c *ChangedCheck) string {
	_, a := b.answer(c)
	before := &a.Judgement
	if c.Before != nil {
		was := b.was.Problem.Judge(c.Before)
		before = &was
	}
	return c.Became.Word(before, &a.Judgement)
}

// asked is the limits of a check now, or before where it is no longer asked.
func (b *both) asked(c *ChangedCheck) string {
	s, a := b.answer(c)
	return s.asked(&a, b.words)
}

// tableSection is the section of all changes; it is empty where the overlay has them.
func (b *both) tableSection(l layout, rows []office.Row) section {
	if l.rows >= len(rows) {
		rows = nil
	}
	var now []answer
	for i := range b.Checks {
		if f := b.Checks[i].After; f != nil {
			now = append(now, answer{Judgement: b.is.Problem.Judge(f)})
		}
	}
	t := tabled{office.Table{Columns: changeColumns, Rows: rows}, []string{b.signsKey(), stateKey(now)}}
	return t.section("What changed", "what changed")
}
