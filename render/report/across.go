package report

import (
	"context"
	"slices"
	"strings"

	"barover/render/report/figures"
	"barover/render/terminal"
	"barover/sketch/assembled"
	"barover/sketch/quantity"
	"barover/solver"
	"barover/solver/machine"
)

// widths are what lies where across the engine.
type widths struct {
	Across []bandAnswer `json:"across"` // the innermost first
	Gaps   []gapAnswer  `json:"gaps"`

	seen, passed int // pairs seen apart without a proof, and pairs not tried
}

// bandAnswer is what one profile takes up across the engine.
type bandAnswer struct {
	Profile  string         `json:"profile"`
	From     figures.Figure `json:"from"`
	To       figures.Figure `json:"to"`
	Thick    figures.Figure `json:"thick"`
	Sideplay figures.Figure `json:"sideplay"` // of its part, each way
}

// gapAnswer is the space across between two neighbours that pass each other in the side view.
type gapAnswer struct {
	A      string         `json:"a"` // the inner one
	B      string         `json:"b"`
	Rest   figures.Figure `json:"rest"` // with both in the middle of their sideplay
	Gap    figures.Figure `json:"gap"`  // with the sideplay of both taken off
	Sure   string         `json:"sure"` // that they pass each other
	Pinned bool           `json:"pinned"`

	asked bool // a line asks about the two
}

// layAcross puts into a report what lies where across the engine.
func (r *Report) layAcross(ctx context.Context, e *assembled.Engine) error {
	pinned, allowed := e.Pairs()
	found, err := e.Machine.Abreast(ctx, machine.Options{}, func(a, b int) bool { return pinned(a, b) || allowed(a, b) })
	if err != nil {
		return err
	}
	r.widths = NewReporter(e).widths(found, pinned)
	return nil
}

func (w Reporter) widths(found *machine.Abreast, pinned func(a, b int) bool) *widths {
	p, m := w.Engine.Problem, w.Engine.Machine
	of := func(v float64) figures.Figure { return figures.Of(w.Units, v, quantity.Length) }
	l := &widths{Across: []bandAnswer{}, Gaps: []gapAnswer{}, seen: found.Seen, passed: found.Passed}
	for _, i := range m.Outwards() {
		b := m.Bands[i]
		l.Across = append(l.Across, bandAnswer{p.Profiles[i].Name, of(b.From), of(b.To), of(b.To - b.From), of(b.Play)})
	}
	asked := map[[2]int]bool{}
	for _, c := range p.Checks {
		if c.Kind == solver.Clear || c.Kind == solver.Gap {
			asked[[2]int{min(c.A, c.B), max(c.A, c.B)}] = true
		}
	}
	for _, n := range found.Pairs {
		l.Gaps = append(l.Gaps, gapAnswer{p.Profiles[n.A].Name, p.Profiles[n.B].Name, of(n.Rest), of(n.Gap), n.Sure.String(),
			pinned(n.A, n.B), asked[[2]int{min(n.A, n.B), max(n.A, n.B)}]})
	}
	return l
}

// acrossSections are the table of bands and that of gaps; none where they are not asked for.
func (r *Report) acrossSections() []terminal.Section {
	if r.widths == nil {
		return nil
	}
	bands := terminal.Section{Title: "Across", Under: 1, Wide: terminal.Widest(), Heads: []string{"", "profile", "from", "to", "thick", "sideplay"},
		Right: []bool{false, false, true, true, true, true}, Words: []bool{false, true}}
	for _, b := range r.Across {
		play := "–"
		if b.Sideplay != 0 {
			play = "± " + r.length(b.Sideplay)
		}
		bands.Rows = append(bands.Rows, terminal.SectionRow{Cells: []string{noWord, b.Profile, r.length(b.From), r.length(b.To), r.length(b.Thick), play}})
	}
	gaps := terminal.Section{Title: "Gaps across", Under: 1, Wide: terminal.Widest(), Heads: []string{"", "neighbours", "between", "sideplay", "leaves"},
		Right: []bool{false, false, true, true, true}, Words: []bool{false, true}, After: r.acrossAfter(), Rows: figures.Each(r.Gaps, r.gapRow)}
	return []terminal.Section{bands, gaps}
}

// noWord is a first cell with nothing to say, as wide as one that has.
const noWord = "     "

func (r *Report) length(f figures.Figure) string { return f.Read(r.units, quantity.Length) }

func (r *Report) gapRow(g *gapAnswer) terminal.SectionRow {
	row := terminal.SectionRow{Cells: []string{noWord, g.A + " – " + g.B, r.length(g.Rest), "–", r.length(g.Gap)}}
	if play := r.length(g.Gap - g.Rest); strings.Trim(play, "-0.") != "" {
		row.Cells[3] = play
	}
	switch {
	case g.Pinned:
		row.Cells[0] = "pinned"
	case g.Gap < -level:
		row.Cells[0], row.Mood = "fouls", terminal.Bad
		if !g.asked {
			row.Below = append(row.Below, "no line asks about it")
		}
	}
	if g.Sure != solver.Proved.String() {
		row.Below = append(row.Below, "seen to pass each other, not proved")
	}
	return row
}

// acrossAfter says what the table of gaps does not tell.
func (r *Report) acrossAfter() string {
	var words []string
	if slices.ContainsFunc(r.Gaps, func(g gapAnswer) bool { return g.Pinned && g.Gap < g.Rest }) {
		words = append(words, "what is pinned together may shift together: its sideplay then takes nothing")
	}
	if r.seen > 0 {
		words = append(words, CountOf(r.seen, "pair keeps", "pairs keep")+" apart in the side view as far as was seen, which is not proved")
	}
	if r.passed > 0 {
		words = append(words, CountOf(r.passed, "pair farther apart was", "pairs farther apart were")+" not looked at: there are too many")
	}
	return strings.Join(words, "; ")
}
