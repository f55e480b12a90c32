package report

import (
	"math"
	"slices"
	"strconv"

	"barover/render/report/figures"
	"barover/sketch/quantity"
	"barover/solver"
)

// Marks are reported in tables: a row for each setting of the travels, and for each mark where the crank is and what the
// mark shows. As many marks stand side by side as a page holds.

// markColumn is a column of figures in a table of marks.
type markColumn struct {
	head  string // "crank", or the measure
	width int
	cells []string // by row
}

// markGroup is a mark, or some of what one shows.
type markGroup struct {
	name    string
	columns []markColumn
}

// markTables are the marks of a report, ready to be set.
type markTables struct {
	title  string
	labels []markColumn // the travels
	groups []markGroup
	rows   int
}

// markRow is a travel setting, and the times that marks happen there: by mark, in order of the turn.
type markRow struct {
	travel figures.List
	times  map[string][]*markAnswer
}

// markRows are the settings to show, listed travels slowest and ranges from end to end. Without long, of ranges those at
// rest, and each at its ends with the others at rest.
func (r *Report) markRows(long bool) (rows []*markRow) {
	at := map[string]*markRow{}
	row := func(travel figures.List) *markRow {
		key := ""
		for _, t := range travel {
			key += t.Value.Full() + " "
		}
		if at[key] == nil {
			at[key] = &markRow{travel: travel, times: map[string][]*markAnswer{}}
			rows = append(rows, at[key])
		}
		return at[key]
	}
	for i := range r.Marks {
		m := &r.Marks[i]
		if travel := m.At[1:]; long || r.atEnds(travel) {
			w := row(travel)
			w.times[m.Name] = append(w.times[m.Name], m)
		}
	}
	if len(rows) > 0 {
		for _, travel := range r.shownSettings() { // also where no mark happens
			row(travel)
		}
	}
	order := r.listsFirst()
	slices.SortStableFunc(rows, func(a, b *markRow) int {
		for _, i := range order {
			t := r.moves[i]
			if d := t.place(a.travel[i].Value) - t.place(b.travel[i].Value); d != 0 {
				return int(math.Copysign(1, d))
			}
		}
		return 0
	})
	return rows
}

// mostShown is how many settings stand in a table of marks though no mark happens there.
const mostShown = 200

// shownSettings are the settings that a table of marks has: each product of listed ones, ranges at rest and each at its ends.
func (r *Report) shownSettings() []figures.List {
	list, off := []figures.List{nil}, []bool{false}
	for _, t := range r.moves {
		var longer []figures.List
		var gone []bool // a range is off its rest
		for i, before := range list {
			for k, v := range t.shown {
				if t.isRange && k > 0 && off[i] {
					break
				}
				longer, gone = append(longer, append(slices.Clone(before), v)), append(gone, off[i] || t.isRange && k > 0)
			}
		}
		if list, off = longer, gone; len(list) > mostShown {
			return nil
		}
	}
	return list
}

// listsFirst are the travels by number, those that are lists before the ranges.
func (r *Report) listsFirst() (order []int) {
	for _, ranges := range []bool{false, true} {
		for i, t := range r.moves {
			if t.isRange == ranges {
				order = append(order, i)
			}
		}
	}
	return order
}

// place is where a value stands in the order of a travel: by its value in a range, by its turn in a list.
func (t travelRange) place(v figures.Figure) float64 {
	if t.isRange {
		return float64(v)
	}
	return float64(slices.Index(t.settings, v))
}

// atEnds reports whether no more than one range is off its rest, and that one at an end.
func (r *Report) atEnds(travel figures.List) bool {
	off := 0
	for i, t := range r.moves {
		if v := travel[i]; t.isRange && !v.Rest {
			const slack = 1e-9
			atEnd := math.Abs(float64(v.Value-t.from)) <= slack || math.Abs(float64(v.Value-t.to)) <= slack
			if off++; !atEnd {
				return false
			}
		}
	}
	return off <= 1
}

// markGroups are the marks in the order of the sketch, with columns for the crank and for what each shows.
func (r *Report) markGroups(shares map[string]bool) (groups []markGroup) {
	for _, m := range r.Marks {
		if slices.ContainsFunc(groups, func(g markGroup) bool { return g.name == m.Name }) {
			continue
		}
		g := markGroup{name: m.Name, columns: []markColumn{{head: r.Turn.Name}}}
		for _, f := range m.Shows {
			head := f.Name
			if shares[f.Name] {
				head += " %"
			}
			g.columns = append(g.columns, markColumn{head: head})
		}
		groups = append(groups, g)
	}
	return groups
}

// shares are the measures that are shares of something: bare numbers that stay from zero to one. They are shown in per
// cent.
func (r *Report) shares() map[string]bool {
	shares := map[string]bool{}
	for _, m := range r.Measures {
		const slack = 1e-9
		shares[m.Name] = m.kind.Is(quantity.Plain) && m.Least >= -slack && m.Greatest <= 1+slack
	}
	return shares
}

// shares are the same of a study that has no report.
func (w Reporter) shares(list []solver.Extremes) map[string]bool {
	r := &Report{Measures: figures.Each(list, w.measure)}
	return r.shares()
}

// shown writes what a mark shows. With long it has a decimal more.
func (r *Report) shown(f figures.Named, share, long bool) string {
	v, decimals := float64(f.Value), 1
	if long {
		decimals = 2
	}
	switch {
	case f.Value.Missing():
		return "–"
	case share:
		v *= 100
	case !f.Kind.Is(quantity.Angle):
		return f.Value.Read(r.units, f.Kind)
	}
	return strconv.FormatFloat(quantity.HalfUp(v, decimals), 'f', decimals, 64)
}

// markTables gathers the marks into columns.
func (r *Report) markTables(long bool) markTables {
	rows := r.markRows(long)
	if len(rows) == 0 { // they happen at none of the settings that are shown first
		rows = r.markRows(true)
	}
	t := markTables{title: "Marks"}
	for _, i := range r.listsFirst() {
		travel := r.moves[i]
		c := markColumn{head: travel.name}
		for _, row := range rows {
			text := row.travel[i].Value.Size(r.units, row.travel[i].Kind)
			if travel.isRange && row.travel[i].Rest {
				text = "rest"
			}
			c.cells = append(c.cells, text)
			c.cells = append(c.cells, make([]string, row.most()-1)...)
		}
		t.labels = append(t.labels, c)
	}
	shares := r.shares()
	t.groups = r.markGroups(shares)
	for i := range t.groups {
		g := &t.groups[i]
		for _, row := range rows {
			for k := range row.most() {
				r.addTime(g, row.times[g.name], k, shares, long)
			}
		}
	}
	for _, row := range rows {
		t.rows += row.most()
	}
	return t
}

// most is how often the mark that happens most often does at this setting.
func (w *markRow) most() int {
	n := 1
	for _, times := range w.times {
		n = max(n, len(times))
	}
	return n
}

// addTime adds the k-th time that a mark happens to its columns; dashes where it does not happen at all, nothing where it
// happens less often than others.
func (r *Report) addTime(g *markGroup, times []*markAnswer, k int, shares map[string]bool, long bool) {
	put := func(i int, text string) { g.columns[i].cells = append(g.columns[i].cells, text) }
	if k >= len(times) {
		text := ""
		if k == 0 {
			text = "–"
		}
		for i := range g.columns {
			put(i, text)
		}
		return
	}
	m := times[k]
	put(0, r.shown(m.At[0], false, long))
	for i, f := range m.Shows {
		put(i+1, r.shown(f, shares[f.Name], long))
	}
}
