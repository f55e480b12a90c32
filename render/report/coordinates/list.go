// Package coordinates lists where the holes, slots and centres of a part are, from its leftmost and its lowest edge, for
// reading and as JSON.
//
// It knows no drawing of the part: package template finds the places. A newcomer may add a column; scripts rely on its
// JSON keys.
package coordinates

import (
	"path/filepath"
	"strconv"
	"strings"

	"barover/render/report/figures"
	"barover/render/template"
	"barover/render/terminal"
	"barover/sketch/assembled"
	"barover/sketch/quantity"
)

// Report is where the holes and centres of a part lie. Its fields are the object that `template --json` prints.
type Report struct {
	Sketch   string            `json:"sketch"`
	Part     string            `json:"part"`
	Units    string            `json:"units"`
	Values   string            `json:"values"`
	Datums   templateDatums    `json:"datums"`
	Size     templatePlace     `json:"size"` // over all
	Profiles []templateProfile `json:"profiles"`
	Places   []templateRow     `json:"places"`

	values string
	words  string // where the datums are
	sheets string
	units  quantity.Units
	narrow bool
}

// templateDatums are the edges that places are measured from: x to the right of the one, y up from the other.
type templateDatums struct {
	X      string        `json:"x"`      // the profile whose leftmost edge it is
	Y      string        `json:"y"`      // the profile whose lowest edge it is
	Origin templatePlace `json:"origin"` // where the origin of the part's own axes lies
}

type templatePlace struct {
	X figures.Figure `json:"x"`
	Y figures.Figure `json:"y"`
}

type templateProfile struct {
	Name  string         `json:"name"`
	From  figures.Figure `json:"from"`
	To    figures.Figure `json:"to"`
	Thick figures.Figure `json:"thick"`
}

// templateRow is one hole, end of a slot, round end or point. Of dia, radius, wide and high it has those that say its size.
type templateRow struct {
	Number   int             `json:"no"`
	X        figures.Figure  `json:"x"`
	Y        figures.Figure  `json:"y"`
	What     string          `json:"what"`
	Dia      *figures.Figure `json:"dia,omitempty"`
	Radius   *figures.Figure `json:"radius,omitempty"`
	Wide     *figures.Figure `json:"wide,omitempty"`
	High     *figures.Figure `json:"high,omitempty"`
	Narrow   bool            `json:"narrow,omitempty"` // less across than the plate is thick
	Profiles []string        `json:"profiles"`
	Names    []string        `json:"names"`

	size string
}

func New(e *assembled.Engine, p *template.Part, u quantity.Units, paper string, sheets int) *Report {
	of := func(mm float64) figures.Figure { return figures.Of(u, mm, quantity.Length) }
	size := SizeIn(u)
	read := func(mm float64) string { return of(mm).Read(u, quantity.Length) }
	r := &Report{
		Sketch: filepath.ToSlash(e.Path), Part: p.Name, Units: u.Name(), Values: e.Shown, values: figures.InWords(e.Sketch), units: u,
		Datums: templateDatums{p.Profiles[p.Left].Name, p.Profiles[p.Low].Name, templatePlace{of(p.Origin.X), of(p.Origin.Y)}},
		Size:   templatePlace{of(p.Wide), of(p.High)}, words: p.Datums(read, size), Places: []templateRow{},
	}
	switch {
	case sheets == 1:
		r.sheets = "1 sheet of " + paper
	case sheets > 1:
		r.sheets = strconv.Itoa(sheets) + " sheets of " + paper
	}
	for _, pr := range p.Profiles {
		r.Profiles = append(r.Profiles, templateProfile{pr.Name, of(pr.From), of(pr.To), of(pr.Thick())})
	}
	for _, row := range p.Rows() {
		f := row.Feature
		t := templateRow{Number: row.Number, X: of(row.At.X), Y: of(row.At.Y), What: f.Kind.String(), Narrow: row.Narrow,
			Profiles: append([]string{}, row.Profiles...), Names: append([]string{}, row.Names...), size: f.Say(size)}
		one, other := of(f.Size), of(f.Other)
		switch f.Kind.Measure() {
		case template.Diameter:
			t.Dia = &one
		case template.Radius:
			t.Radius = &one
		case template.Width:
			t.Wide = &one
		case template.Sides:
			t.Wide, t.High = &one, &other
		}
		r.narrow = r.narrow || row.Narrow
		r.Places = append(r.Places, t)
	}
	return r
}

// SizeIn puts a width or a diameter as a drawing has it: in inches as a fraction where it is one. It rounds as the list's
// places are rounded, so that one length is not told in two ways.
func SizeIn(u quantity.Units) func(mm float64) string {
	return func(mm float64) string {
		if text, ok := u.AsFraction(mm, quantity.Length); ok {
			return text
		}
		text := figures.Of(u, mm, quantity.Length).Read(u, quantity.Length)
		if strings.Contains(text, ".") {
			text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
		}
		return text
	}
}

// Text is the list for reading.
func (r *Report) Text() string {
	var b strings.Builder
	unit := "mm"
	if r.units.Inches {
		unit = "inches"
	}
	b.WriteString(r.Part + " of " + r.Sketch + " (" + r.values + "), lengths in " + unit + "\n")
	b.WriteString(terminal.Paragraph(r.words, ""))
	b.WriteByte('\n')
	g := terminal.Grid{Right: []bool{false, true, true}}
	g.Row(nil, "profile", "thick", "across", "")
	read := func(f figures.Figure) string { return f.Read(r.units, quantity.Length) }
	for _, p := range r.Profiles {
		g.Row(nil, p.Name, read(p.Thick), read(p.From), "to "+read(p.To))
	}
	b.WriteString(g.Text() + "\n")
	g = terminal.Grid{Right: []bool{true, true, true}}
	g.Row(nil, "no", "x", "y", "what", "size", "profile", "point")
	for _, t := range r.Places {
		size := t.size
		if t.Narrow {
			size += " *"
		}
		g.Row(nil, strconv.Itoa(t.Number), read(t.X), read(t.Y), t.What, size, strings.Join(t.Profiles, ", "), strings.Join(t.Names, ", "))
	}
	b.WriteString(g.Text())
	if r.narrow {
		b.WriteString(template.NarrowNote + "\n")
	}
	if r.sheets != "" {
		b.WriteString("\n" + r.sheets + "\n")
	}
	return b.String()
}
