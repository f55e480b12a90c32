package report

import (
	"cmp"
	"path/filepath"
	"slices"
	"strings"

	screen "barover/render/page"
	"barover/render/report/figures"
	"barover/render/sheet"
	"barover/sketch"
	"barover/sketch/assembled"
	"barover/sketch/syntax"
)

// PageWords are what a page says in the sketch's own words.
func PageWords(e *assembled.Engine, pick sheet.Pick) screen.Words {
	w := screen.Words{
		Title: cmp.Or(e.Title, strings.TrimSuffix(filepath.Base(e.Path), ".motion")), File: filepath.Base(e.Path),
		Values: figures.InWords(e.Sketch), Unit: e.Units.Name(), PerUnit: e.Units.MM(1), Decimals: e.Units.Decimals(), Ghosts: e.Ghosts, Pick: pick, Scans: oldDrawings(e),
		Size: e.Units.Size, Angle: e.Units.Angle, Plain: numberIn(e.Units), Line: NewReporter(e).place,
		Text: func(stmt int) string {
			file, s := e.Statement(stmt)
			if s == nil {
				return ""
			}
			return strings.TrimSpace(file.SpanText(s.Where()))
		},
		Dims: figures.Each(e.Dims, func(d *sketch.Dim) screen.Dim { return pageDim(e, d) }),
	}
	if slices.ContainsFunc(e.Dims, func(d sketch.Dim) bool { return byItself(&d) }) {
		w.Others = append(w.Others, screen.Other{Key: "drawn", Name: "as drawn"})
	}
	for _, f := range e.Files {
		for _, s := range f.Statements {
			if k, ok := s.(*syntax.Case); ok && len(w.Others) < mostCases {
				w.Others = append(w.Others, screen.Other{Key: "case " + k.Name.Text, Name: "case " + k.Name.Text})
			}
		}
	}
	return w
}

// pageDim is a dimension with what counts and what else is known of it.
func pageDim(e *assembled.Engine, d *sketch.Dim) screen.Dim {
	say := func(v float64) string { return figures.Of(e.Units, v, d.Kind).Size(e.Units, d.Kind) }
	var says []string
	if d.Source != sketch.FromDim {
		says = append(says, d.Source.String())
	}
	if byItself(d) {
		says = append(says, "drawn "+say(d.Drawn))
	}
	if d.Note != "" {
		says = append(says, d.Note)
	}
	return screen.Dim{Name: d.Name, Value: say(d.Value), Says: strings.Join(says, ", "), Line: NewReporter(e).place(d.Stmt)}
}

// mostCases is how many engines to compare with are offered.
const mostCases = 60
