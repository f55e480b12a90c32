package variants

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"barover/render/report"
	"barover/render/report/figures"
	"barover/sketch/assembled"
	"barover/sketch/quantity"
	"barover/solver"
	"barover/solver/mend"
)

// Mending is the ways out of an engine. Its fields are the object that `mend --json` prints.
type Mending struct {
	Sketch string             `json:"sketch"`
	Units  string             `json:"units"`
	Holds  bool               `json:"holds_now"`
	Short  []report.CheckName `json:"short_now"`
	Ways   []mendWay          `json:"ways"`
	Fight  []report.CheckName `json:"fight"`
	Sure   string             `json:"fight_sure,omitempty"` // "proved", or "sampled": only by slopes
	Looked int                `json:"looked_at"`            // how many engines were solved
	Unmade int                `json:"unmade"`               // those of them that cannot be assembled all the way round
	Whole  bool               `json:"whole"`                // all was tried that slopes leave open

	Written bool `json:"-"` // the ways were put into the sketch

	e       *assembled.Engine
	a       *mend.Answer
	short   int      // checks that do not hold, a pair once
	looking []string // those that hold and were only sampled
}

// mendWay is one way out.
type mendWay struct {
	Changes  []mendChange  `json:"changes"`
	Parts    []string      `json:"parts"`
	Remade   []string      `json:"remade"`
	Proved   bool          `json:"proved"`
	Tightest *mendTightest `json:"tightest"`

	way  *mend.Way
	name string // of its case
}

// mendChange is a change of one dimension.
type mendChange struct {
	Dim  string         `json:"dim"`
	From figures.Figure `json:"from"`
	To   figures.Figure `json:"to"`

	kind     quantity.Kind
	from, to float64
	made     bool
}

// mendTightest is the tightest of the checks that a way has to do with.
type mendTightest struct {
	report.CheckName
	Room figures.Figure `json:"room"`
}

// Mended is what was found of the ways out of an engine.
func Mended(e *assembled.Engine, a *mend.Answer) *Mending {
	w := report.NewReporter(e)
	r := &Mending{Sketch: e.Path, Units: e.Units.Name(), Holds: a.Holds, Short: []report.CheckName{}, Ways: []mendWay{}, Fight: []report.CheckName{},
		Looked: a.Looked, Unmade: a.Unmade, Whole: !a.Stopped && !a.Cut, e: e, a: a}
	for i := range a.Before.Findings {
		f := &a.Before.Findings[i]
		switch j := e.Problem.Judge(f); {
		case !f.OK:
			r.Short = append(r.Short, w.Name(i))
		case j.State == solver.HoldsWhereSeen:
			r.looking = append(r.looking, w.Name(i).Named)
		}
	}
	r.short = len(report.Once(r.Short))
	next := 1
	for i := range a.Ways {
		one := wayOf(e, &a.Ways[i])
		for e.HasCase(wayName(next)) {
			next++
		}
		one.name = wayName(next)
		next++
		r.Ways = append(r.Ways, one)
	}
	if f := a.Fight; f != nil {
		r.Fight, r.Sure = w.Names(f.Checks), solver.Sampled.String()
		if f.Proved {
			r.Sure = solver.Proved.String()
		}
	}
	return r
}

func wayName(n int) string { return "way_" + strconv.Itoa(n) }

func wayOf(e *assembled.Engine, m *mend.Way) mendWay {
	w := report.NewReporter(e)
	one := mendWay{Parts: w.Users(m.Used), Remade: w.Users(m.Remade), Proved: m.Proved, way: m}
	for _, c := range m.Changes {
		d := &e.Dims[c.Dim]
		one.Changes = append(one.Changes, mendChange{d.Name, figures.Of(w.Units, c.From, d.Kind), figures.Of(w.Units, c.To, d.Kind), d.Kind, c.From, c.To, c.Made})
		if names := w.Users(m.Remade); c.Made && len(names) == 0 {
			one.Remade = append(one.Remade, d.Name) // it is written with no part
		}
	}
	if m.Tightest >= 0 {
		one.Tightest = &mendTightest{w.Name(m.Tightest), figures.Of(w.Units, m.Room, w.KindOfCheck(m.Tightest))}
	}
	return one
}

// Status is 0 with a way, or where there is nothing to mend.
func (r *Mending) Status() int { return report.StatusOf(r.Holds || len(r.Ways) > 0) }

// written is a value of a dimension as a sketch has it, with every digit that it needs.
func written(u quantity.Units, v float64, k quantity.Kind) string {
	if text, ok := u.AsFraction(v, k); ok {
		return text
	}
	text := strconv.FormatFloat(tidied(u.In(v, k)), 'g', -1, 64)
	if k.Is(quantity.Angle) {
		text += "°"
	}
	return text
}

// tidied is a number without the dust that a change of unit leaves on it.
func tidied(v float64) float64 {
	if r := math.Round(v*1e9) / 1e9; math.Abs(v-r) <= 1e-12*math.Max(1, math.Abs(v)) {
		return r
	}
	return v
}

// Cases are the ways as lines of a sketch.
func (r *Mending) Cases() []string { return figures.Each(r.Ways, r.caseLine) }

// Set is the changes of the best way as --set takes them; nil where there is none.
func (r *Mending) Set() []string {
	if len(r.Ways) == 0 {
		return nil
	}
	return r.settings(&r.Ways[0], "")
}

// settings returns the changes of a way as a sketch writes them, each after a word.
func (r *Mending) settings(w *mendWay, word string) []string {
	return figures.Each(w.Changes, func(c *mendChange) string { return word + c.Dim + " = " + written(r.e.Units, c.to, c.kind) })
}

func (r *Mending) caseLine(w *mendWay) string {
	return "case " + w.name + " : " + strings.Join(r.settings(w, ""), ", ")
}

// planLines are a way as plans; none where a made dimension changes, since what is made comes before a plan.
func (r *Mending) planLines(w *mendWay) []string {
	if slices.ContainsFunc(w.Changes, func(c mendChange) bool { return c.made }) {
		return nil
	}
	return r.settings(w, "plan ")
}
