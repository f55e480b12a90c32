package report

import (
	"context"
	"fmt"
	"math"
	"strings"

	"barover/render/report/figures"
	"barover/render/terminal"
	"barover/sketch"
	"barover/sketch/assembled"
	"barover/sketch/quantity"
	"barover/sketch/syntax"
	"barover/solver"
	"barover/solver/schedule"
)

// This file reports what is there and does nothing, since it is likely a slip: marks that never happen, dimensions that nothing
// uses.

// never reports each mark that does not happen at any setting, and where the measure goes that it looks at.
func (w Reporter) never(res *solver.Result) (list []string) {
	happens := map[int]bool{}
	for _, e := range res.Events {
		happens[e.Mark] = true
	}
	for i := range w.Engine.Problem.Marks {
		m := &w.Engine.Problem.Marks[i]
		if happens[i] {
			continue
		}
		text := m.Name + ": never"
		for _, x := range res.Extremes {
			s := &w.Engine.Problem.Measures[x.Measure]
			if k := quantity.KindOf(s.Angle, s.Number); s.Sum == m.Sum && !math.IsNaN(x.Least) && !math.IsNaN(x.Greatest) {
				text += fmt.Sprintf("; %s goes from %s to %s", s.Name, figures.Of(w.Units, x.Least, k).Size(w.Units, k), figures.Of(w.Units, x.Greatest, k).Size(w.Units, k))
				break
			}
		}
		list = append(list, text)
	}
	return list
}

// never is the part about marks that never happen, below the marks that do. alone is set where no mark happens.
type never struct {
	list  []string
	alone bool
}

func (n never) Text(terminal.Ink) string {
	text := ""
	if len(n.list) > 0 && n.alone {
		text = "\nMarks\n"
	}
	for _, said := range n.list {
		text += terminal.Paragraph(said, "")
	}
	return text
}

func (n never) Markdown() string {
	text := ""
	if len(n.list) > 0 && n.alone {
		text = "\n## Marks\n"
	}
	for _, said := range n.list {
		text += words{text: said}.Markdown()
	}
	return text
}

// slips reports what is there and does nothing, or is most likely not meant so.
func (w Reporter) slips() (list []string) {
	if d := w.Engine.BareFraction(); d != nil {
		list = append(list, fmt.Sprintf("Without a units line a bare length is in mm: %s is %s mm. For inches write units in.",
			d.Name, figures.Of(w.Units, d.Value, d.Kind).Size(w.Units, d.Kind)))
	}
	if names := w.unmoving(); len(names) > 0 {
		list = append(list, "Nothing moves with "+Listing(names)+": no line has it in a sum, so all its positions are the same.")
	}
	if names := w.unused(); len(names) > 0 {
		list = append(list, "Nothing uses "+Listing(names)+".")
	}
	return list
}

// unmoving are the turn and the travels that no sum has in it.
func (w Reporter) unmoving() (names []string) {
	for _, m := range append([]sketch.Moved{w.Engine.Turn}, w.Engine.Travels...) {
		if file, _, _ := w.Engine.Place(m.Stmt); m.Stmt >= 0 && !m.Used && file == w.Engine.Path {
			names = append(names, m.Name)
		}
	}
	return names
}

// mostUnused is how many of the dimensions that nothing uses are named.
const mostUnused = 8

// unused are the dimensions that nothing uses. A file that several sketches use may have more than one of them needs.
func (w Reporter) unused() (names []string) {
	for _, d := range w.Engine.Dims {
		if file, _, _ := w.Engine.Place(d.Stmt); !d.Used && file == w.Engine.Path {
			names = append(names, d.Name)
		}
	}
	if n := len(names); n > mostUnused {
		names = append(names[:mostUnused-1:mostUnused-1], fmt.Sprintf("%d more", n-mostUnused+1))
	}
	return names
}

// openSlot is a slot that breaks out of a profile.
type openSlot struct {
	File    string `json:"file,omitempty"`
	Line    int    `json:"line"`
	Slot    string `json:"slot"`
	Profile string `json:"profile"`

	place string
}

func (w Reporter) openSlots() (list []openSlot) {
	for _, o := range w.Engine.OpenSlots() {
		line, _ := o.Message.File.Place(o.Message.Span.Start)
		list = append(list, openSlot{w.fileOf(o.Message.File.Path), line, o.Slot, o.Profile, w.placeIn(o.Message.File.Path, line)})
	}
	return list
}

func (r *Report) openSlotsText() string {
	return strings.Join(figures.Each(r.OpenSlots, func(s *openSlot) string {
		return fmt.Sprintf("The slot %s breaks out of %s, %s: it is open there, and nothing keeps in it what slides there.", s.Slot, s.Profile, s.place)
	}), "\n")
}

// Warnings warns of sums that may be meant otherwise, and of each part whose outline does not follow the point that it goes to.
func Warnings(ctx context.Context, e *assembled.Engine) (list []syntax.Message, err error) {
	told := map[string]bool{} // a file may be used more than once
	for _, f := range e.Files {
		if !told[f.Path] {
			list = append(list, syntax.SpacedSigns(f)...)
		}
		told[f.Path] = true
	}
	parts, err := e.Machine.Stretching(ctx)
	for _, x := range parts {
		p := &e.Problem.Linkage.Parts[x.Part]
		file, s := e.Statement(p.Stmt)
		from, to := e.Problem.Linkage.Points[p.P].Name, e.Problem.Linkage.Points[p.Q].Name
		list = append(list, syntax.Message{File: file, Span: s.Where(),
			Text: fmt.Sprintf("warning: %s stretches from %s to %s over the turn, and its outline does not: nothing holds %s at one distance from %s",
				p.Name, e.Units.Length(x.Least), e.Units.Length(x.Greatest), to, from),
			Help: heldLength(e.Problem.Linkage, p, x.Loose) + "; where the part slides past " + to + ", draw it longer than that"})
	}
	return list, err
}

// heldLength is the length that a part lacks. Where loose lengths place a point of it, a rod between two found points lacks a loose one: a
// length would lock it. Any other part then lacks a length, which takes the place of no line, since loose ones hold nothing.
func heldLength(m *schedule.Model, p *schedule.Part, loose bool) string {
	found := func(i int) bool { return m.Points[i].Kind == schedule.Found }
	length := "length " + m.Points[p.P].Name + " " + m.Points[p.Q].Name + " = V"
	switch {
	case loose && found(p.P) && found(p.Q):
		return "loose " + length + " play V"
	case loose:
		return length
	}
	return length + ", in place of another line that holds them"
}
