package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"barover/render/report/figures"
	"barover/render/terminal"
)

// breaks are stretches that cannot be assembled and read the same, at several settings of the travels.
type breaks struct {
	cells    []string
	why      string // of the first setting, where what cannot be met has no value
	settings []figures.List
}

// gathered puts together what reads the same: a travel that has nothing to do with a break tells nothing of it.
func (r *Report) gathered() (list []*breaks) {
	known := map[string]*breaks{}
	for _, b := range r.Broken {
		cells := []string{b.stretch(r), b.Miss.Read(r.units, b.missKind), b.Place + ": " + b.text}
		switch {
		case b.Either:
			cells[1] = "either way"
		case math.IsInf(float64(b.Miss), 0):
			cells[1] = "runs off"
		case b.Miss.Missing():
			cells[1] = "way lost"
		case b.Why != "":
			cells[1] = "no value"
		}
		key := strings.Join(cells, "\n")
		if known[key] == nil {
			known[key] = &breaks{cells: cells, why: b.Why}
			list = append(list, known[key])
		}
		known[key].settings = append(known[key].settings, b.Travel)
	}
	return list
}

func (r *Report) brokenSection() terminal.Section {
	s := terminal.Section{Title: "Cannot be assembled", Heads: []string{r.Turn.Name, "misses by", "what cannot be met"}, Right: []bool{true, true}, Under: 2}
	all := r.gathered()
	for i, b := range all {
		if i == mostListed {
			s.After = fmt.Sprintf("and %s", CountOf(len(all)-i, "stretch more", "stretches more"))
			break
		}
		row := terminal.SectionRow{Cells: b.cells, Mood: terminal.Bad}
		if at := b.where(r); at != "" {
			row.Below = []string{"at " + at}
		}
		if b.why != "" {
			row.Below = append(row.Below, b.why)
		}
		s.Rows = append(s.Rows, row)
	}
	return s
}

// where says at which settings of the travels. Where every value of one goes with every value of the others they are
// told travel by travel, else setting by setting.
func (b *breaks) where(r *Report) string {
	values := make([][]figures.Named, len(b.settings[0]))
	product := 1
	for k := range values {
		for _, s := range b.settings {
			if !slices.ContainsFunc(values[k], func(n figures.Named) bool { return n.Value == s[k].Value }) {
				values[k] = append(values[k], s[k])
			}
		}
		product *= len(values[k])
	}
	if product != len(b.settings) {
		return b.each(r)
	}
	var words []string
	for k, v := range values {
		switch {
		case len(v) == 1 && v[0].Rest:
		case len(v) > 1 && r.moves[k].isAll(v):
			words = append(words, "any "+v[0].Name)
		default:
			words = append(words, v[0].Name+" "+inRow(r, v))
		}
	}
	return strings.Join(words, ", ")
}

// each lists the settings one by one.
func (b *breaks) each(r *Report) string {
	return strings.Join(FirstFew(b.settings, mostListed, "and %d more {setting|settings}", func(s figures.List) string { return cmp.Or(r.listed(s), "rest") }), "; ")
}

// isAll reports whether these are all the settings of a list.
func (t travelRange) isAll(v []figures.Named) bool { return !t.isRange && len(v) == len(t.settings) }

// inRow writes values of one travel in a row.
func inRow(r *Report, v []figures.Named) string {
	words := FirstFew(v, mostListed, "and %d more", func(n figures.Named) string { return n.Value.Size(r.units, n.Kind) })
	if n := len(words) - 1; n > 0 && len(v) <= mostListed {
		words = append(words[:n-1], words[n-1]+" or "+words[n])
	}
	return strings.Join(words, ", ")
}
