package sheet

// changeColumns are those of the table of what changed.
var changeColumns = []column{{head: ""}, {head: "what changed", most: true}, {head: "before", end: true}, {head: "after", end: true},
	{head: "by", end: true}, {head: ""}, {head: "how sure"}}

// rows are what changed: the dimensions, then the checks, those first that do not hold now.
func (b *both) rows() (rows []tableRow) {
	for _, d := range b.Dims {
		rows = append(rows, tableRow{cells: []string{"", "dim " + d.Name, d.Was, d.Is, d.By, d.From, ""}})
	}
	for _, bad := range []bool{true, false} {
		for i := range b.Checks {
			if c := &b.Checks[i]; bad == (c.rank() == 0) {
				rows = append(rows, tableRow{cells: []string{c.sign(), c.What, c.Was, c.Is, c.By, b.word(c), c.sure()}, bad: bad})
			}
		}
	}
	return rows
}

// word is what became of a check.
func (b *both) word(c *ChangedCheck) string {
	s, a := b.answer(c)
	_, verdict := s.verdict(&a, Words{})
	switch c.became() {
	case better:
		return "better"
	case worse:
		return "worse, holds"
	case short:
		return "still " + verdict
	case mended:
		return "mended"
	case came:
		return "came, " + verdict
	case went:
		return "went"
	}
	return verdict
}

// tableSection is the section of all that changed; nothing is in it where that stands on the overlay.
func (b *both) tableSection(l layout, rows []tableRow) section {
	if l.rows >= len(rows) {
		rows = nil
	}
	t := tabled{n: len(rows), wide: blockWide - 10, heads: changeColumns}
	t.rows = func(_ *view, from, to int) []tableRow { return rows[from:to] }
	return t.section("What changed", "what changed")
}
