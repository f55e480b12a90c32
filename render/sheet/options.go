// Package sheet makes the drawing-office sheets of an engine: first the sweep overlay, then the further pages. It takes
// positions and answers and gives drawings. It knows no word of the language: everything in the sketch's own words and
// units comes from Options.
//
// A newcomer may change how something looks (styles.go) or add a sheet (pages.go). Package solver judges which finding is
// worth a place.
package sheet

import (
	"cmp"
	"math"
	"strconv"
	"strings"

	"barover/render/drawing"
	"barover/render/office"
	"barover/render/sweep"
	"barover/solver"
	"barover/solver/expr"
	"barover/solver/machine"
	"barover/solver/outline"
)

// Poser says where everything is.
type Poser = sweep.Poser

// Engine is what a sheet is drawn from.
type Engine struct {
	Problem *solver.Problem
	Values  *expr.Values
	Regions []*outline.Region // of each profile; nil for one that has no outline
	Poses   Poser
	Result  *solver.Result // nil where no answers are drawn
	Charts  []Charted      // the sketch's own charts, a sheet each
	Pick    Pick           // of which parts it is drawn
	Scans   []Scan         // pictures of the old drawing, beneath the outlines
	// Sums is the sum of a keep check over the turn at one travel setting; nil where it is not known.
	Sums func(check int, travel []float64) (turns, values []float64)
	// Plays is the engine with one eye at a time at the edge of its play. It is called when a sweep is drawn, and is nil
	// for an engine without play. It reports false where play cannot be computed.
	Plays func() ([]sweep.Play, bool)
	// Envelope is the range of the distance of two profiles at one setting of the travels, up to most, mm; nil where
	// neither play nor a tolerance counts. Of says over which engines.
	Envelope func(a, b int, travel []float64, most float64) machine.Envelope
	Over     string
	Stopped  func() bool // the drawing is no longer wanted, and need not be whole; nil for never
}

// Charted is a chart of the sketch and what it shows.
type Charted struct {
	Chart    *solver.Chart
	Settings int                   // number of travel settings shown
	Of       int                   // number of travel settings in all
	Plots    func() []machine.Plot // one for each setting shown; called when a sheet is drawn
}

// Options are everything that a sheet says beside the engine.
type Options struct {
	office.Block
	Type string // kind of document; "" for the one that the sheet is

	Paper    string // A4 … A0; "" for the one that suits
	Portrait bool
	Oriented bool          // Portrait was asked for, or landscape
	Scale    drawing.Scale // zero for the largest that fits

	LabelAll bool // label every clearance that there is room for, not only those near trouble

	Ghosts float64          // rad, of the turn between positions drawn thin
	At     *solver.Position // the position drawn thick; nil for the start of the turn, travels at rest

	Words Words
}

// Words formats figures and checks as the sketch writes them.
type Words struct {
	Unit   string                   // "mm", "in"
	Length func(mm float64) string  // a figure: "0.031"
	Size   func(mm float64) string  // a value as the sketch gives it: "1/8"
	Line   func(stmt int) string    // the line of a statement: "40"
	Under  func(stmt int) string    // the name under which its file is taken in: "near_side"; or ""
	Asks   func(check int) string   // what a check asks, as the sketch says it
	Angle  func(rad float64) string // an angle that is asked, or comes out: "14.478°"
	Number func(v float64) string   // a plain number

	Mends func(f *solver.Finding) string // what mends a check that falls short: "would hold with …"; "" for nothing known
	Fill  func(f *solver.Finding) string // what fills a gap that is too wide: "a 1/16 washer leaves 0.0155"; "" for nothing
}

// plain is Words without a sketch, in mm.
var plain = Words{Unit: "mm", Line: noWord[int], Under: noWord[int], Asks: noWord[int], Mends: noWord[*solver.Finding], Fill: noWord[*solver.Finding],
	Length: func(mm float64) string { return trimmed(mm, 2) },
	Size:   func(mm float64) string { return trimmed(mm, 3) },
	Angle:  func(rad float64) string { return trimmed(rad*180/math.Pi, 3) + "°" },
	Number: func(v float64) string { return trimmed(v, 4) }}

func noWord[T any](T) string { return "" }

func (w Words) length(mm float64) string { return known(mm, w.Length) }

func (w Words) size(mm float64) string { return known(mm, w.Size) }

func (w Words) number(v float64) string { return known(v, w.Number) }

// known formats a figure by say; a dash where it is NaN or infinite.
func known(v float64, say func(v float64) string) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "–"
	}
	return say(v)
}

// trimmed writes a figure without empty decimals, a half rounded up as people do.
func trimmed(v float64, decimals int) string {
	ten := math.Pow10(decimals)
	return known(math.Round(v*ten+math.Copysign(1e-9, v))/ten, func(v float64) string { return string(drawing.AppendNumber(nil, v, decimals)) })
}

// degrees writes a position of the turn for reading: whole where it is whole, else to a tenth.
func degrees(rad float64) string { return trimmed(rad*180/math.Pi, 1) + "°" }

// turnName is the name of the turn.
func (e *Engine) turnName() string { return cmp.Or(e.Problem.Turn.Name, "crank") }

// turned writes a crank position in 0 to 360°; intervals that run across the start end beyond it.
func (e *Engine) turned(rad float64) string {
	if t := e.Problem.Turn; e.goesRound() && math.Abs(rad) < 1e4 {
		rad -= 2 * math.Pi * math.Floor((rad-t.From)/(2*math.Pi))
		if t.From+2*math.Pi-rad < 0.05*math.Pi/180 {
			rad = t.From
		}
	}
	return degrees(rad)
}

// goesRound reports whether the turn is a whole one, so that its end is its start.
func (e *Engine) goesRound() bool { return e.Problem.Turn.To-e.Problem.Turn.From > 2*math.Pi-1e-9 }

// overTurn says for how much of a turn something is shown: whole, the words for all of it, or "from 0° to 90°".
func (e *Engine) overTurn(whole string) string {
	switch t := e.Problem.Turn; {
	case e.goesRound():
		return whole
	case t.To > t.From:
		return "from " + degrees(t.From) + " to " + degrees(t.To)
	}
	return "at one position"
}

// travels names the travels that are not at rest, with their values: "axle +1/8".
func (e *Engine) travels(at []float64, w Words) string {
	var s []string
	for i, t := range e.Problem.Travels {
		// Less than a thousandth of the range is not worth naming.
		if i < len(at) && math.Abs(at[i]-t.Rest) > math.Abs(t.To-t.From)/1000 {
			s = append(s, t.Name+" "+e.travel(i, at[i], w))
		}
	}
	return strings.Join(s, ", ")
}

func (e *Engine) travel(i int, v float64, w Words) string {
	sign := ""
	if v > 0 {
		sign = "+"
	}
	switch t := e.Problem.Travels[i]; {
	case t.Angle:
		return sign + degrees(v)
	case t.Number:
		return w.number(v)
	}
	return sign + w.size(v)
}

// where writes a position: "62.5°, axle +1/8".
func (e *Engine) where(p solver.Position, w Words) string {
	s := e.turned(p.Turn)
	if t := e.travels(p.Travel, w); t != "" {
		s += ", " + t
	}
	return s
}

func (e *Engine) pair(c *solver.Check) string { return e.profile(c.A) + " – " + e.profile(c.B) }

func (e *Engine) profile(i int) string {
	if i < 0 || i >= len(e.Problem.Profiles) {
		return strconv.Itoa(i)
	}
	return e.Problem.Profiles[i].Name
}
