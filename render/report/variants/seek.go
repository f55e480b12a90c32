// Package variants says in words and as JSON what was found of engines other than the one drawn: the values of one
// dimension or two with which all holds, ways out, the effect of tolerances, and how far pins may wear.
//
// It finds nothing: packages seek, field, mend and spread do. A newcomer may change every word; scripts rely on the names
// of JSON keys.
package variants

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"barover/render/report"
	"barover/render/report/figures"
	"barover/render/terminal"
	"barover/sketch"
	"barover/sketch/assembled"
	"barover/sketch/quantity"
	"barover/sketch/syntax"
	"barover/solver"
	"barover/solver/linkage"
	"barover/solver/seek"
)

// SeekReport is the ranges of one dimension. Its fields are the object that `seek --json` prints.
type Sought struct {
	Dim    string             `json:"dim"`
	Now    figures.Figure     `json:"now"`
	Units  string             `json:"units"`
	For    string             `json:"for"` // one check alone; "" for all
	Sought seekLimits         `json:"sought"`
	Ranges []seekRange        `json:"ranges"`
	Holds  bool               `json:"holds_now"`
	Short  []report.CheckName `json:"short_now"`
	Never  []report.CheckName `json:"never"`                  // fall short whatever the value
	Idle   bool               `json:"idle"`                   // no check has to do with the dimension
	Moved  []seekRange        `json:"moved_ranges,omitempty"` // where others never hold: the ranges with which those hold that it moves
	Alone  []soughtAlone      `json:"alone,omitempty"`        // where none holds for all: what mends one that falls short now, whatever the others do
	Looked int                `json:"looked_at"`
	Sure   string             `json:"sure"` // of the range between the values tried

	e        *assembled.Engine
	d        *sketch.Dim
	set      bool              // the limits were given
	asked    int               // checks that For names, or all of them, a pair once
	looked   []string          // those that do not fall short now and were only sampled
	hopeless *report.CheckName // one for which alone there is no range, where there is none for all
	broken   string            // what cannot be assembled with the dimension as it is
}

type seekLimits struct {
	From figures.Figure `json:"from"`
	To   figures.Figure `json:"to"`

	from, to float64
}

// seekRange is a range of values with which everything holds.
type seekRange struct {
	From      figures.Figure   `json:"from"`
	To        figures.Figure   `json:"to"`
	StoppedBy []string         `json:"stopped_by"`          // at the lower end, at the upper one
	Sure      []string         `json:"sure"`                // of either end
	Stock     []figures.Figure `json:"stock,omitempty"`     // the sizes available that lie in it
	Otherwise bool             `json:"otherwise,omitempty"` // the parts are put together in it another way than now

	from, to float64
}

func newSeekReport(e *assembled.Engine, d *sketch.Dim, check string, limited bool, q *seek.Query, a *seek.Answer) *Sought {
	w := report.NewReporter(e)
	of := func(v float64) figures.Figure { return figures.Of(w.Units, v, d.Kind) }
	r := &Sought{Dim: d.Name, Now: of(d.Value), Units: w.Units.Name(), For: check,
		Sought: seekLimits{of(q.From), of(q.To), q.From, q.To}, Holds: a.NowHolds, Short: w.Names(a.Short),
		Never: w.Names(a.Never), Idle: a.Idle, Looked: a.Looked, Sure: solver.Sampled.String(), e: e, d: d, set: limited, looked: report.NamedOnce(w.Names(a.Seen)), Ranges: seekRanges(w, d, a.Ranges)}
	asked := q.Checks
	for i := range e.Problem.Checks {
		if q.Checks == nil {
			asked = append(asked, i)
		}
	}
	r.asked = len(report.Once(w.Names(asked)))
	if a.Broken != nil {
		r.broken = brokenInWords(w, a.Broken)
	}
	return r
}

func seekRanges(w report.Reporter, d *sketch.Dim, ranges []seek.Range) []seekRange {
	of := func(v float64) figures.Figure { return figures.Of(w.Units, v, d.Kind) }
	return figures.Each(ranges, func(g *seek.Range) seekRange {
		var stock []figures.Figure
		for _, v := range d.Stock {
			if v >= g.From.At && v <= g.To.At {
				stock = append(stock, of(v))
			}
		}
		return seekRange{of(g.From.At), of(g.To.At), []string{stops(w, g.From.Stops), stops(w, g.To.Stops)},
			[]string{g.From.Sure.String(), g.To.Sure.String()}, stock, g.Otherwise, g.From.At, g.To.At}
	})
}

// stops tells what stops a range at one end.
func stops(w report.Reporter, stops []seek.Stop) string {
	var words []string
	for _, s := range stops {
		if t := stop(w, s); !slices.Contains(words, t) {
			words = append(words, t)
		}
	}
	return strings.Join(words, "; ")
}

func stop(w report.Reporter, s seek.Stop) string {
	switch {
	case s.Limit:
		return nothingStops
	case s.Broken != nil:
		return brokenInWords(w, s.Broken)
	case s.Err != nil:
		return faultInWords(w, s.Err)
	}
	n := w.Name(s.Check)
	return n.Named + ", " + n.Place
}

// brokenInWords tells over which part of the turn the parts cannot be assembled.
func brokenInWords(w report.Reporter, b *linkage.Broken) string {
	s := w.Broken(b)
	what := "cannot be assembled near"
	if s.Either {
		what = "it cannot be told which way it goes near"
	}
	return fmt.Sprintf("%s: %s %s %s°", s.Place, what, w.Engine.Problem.Turn.Name,
		figures.Figure((s.From+s.To)/2).Read(w.Units, quantity.Angle))
}

// faultInWords is the first of the messages of an error, with its place.
func faultInWords(w report.Reporter, err error) string {
	m := syntax.MessagesIn(assembled.InMessages(w.Engine.Sketch, err))[0]
	return m.LineFrom(w.Engine.Path)
}

// Status is 1 where something falls short with the dimension as it is.
func (r *Sought) Status() int { return report.StatusOf(r.Holds) }

// Text is the ranges as a table to read.
func (r *Sought) Text(c terminal.Ink) string {
	text := report.Title(r.e, "") + "\n" + terminal.Paragraph(r.now(), "") + terminal.Paragraph(r.sought(), "") + "\n"
	for _, g := range slices.Concat(r.Ranges, r.Moved) {
		text += r.rangeText(&g)
	}
	return text + terminal.Paragraph(r.caution(), "") + c.Verdict(r.Holds, r.sentence())
}

func (r *Sought) now() string {
	words := fmt.Sprintf("%s is %s now", r.Dim, report.Size(r.e.Units, r.d.Value, r.d.Kind))
	switch n := len(report.Once(r.Short)); {
	case r.broken != "":
		return words + "; " + r.broken + "."
	case r.Holds && len(r.looked) > 0:
		text := report.OnlyLooked(r.asked, r.looked)
		return words + ", and " + strings.ToLower(text[:1]) + text[1:] + "."
	case r.Holds && r.For != "" && r.asked > 1:
		return words + ", and " + map[bool]string{true: "both", false: fmt.Sprintf("all %d", r.asked)}[r.asked == 2] + " checks of that hold."
	case r.Holds && r.For != "":
		return words + ", and the check holds."
	case r.Holds:
		return words + ", and everything holds."
	default:
		words += ": " + r.Short[0].Named + ", " + r.Short[0].Place + ", falls short"
		if n > 1 {
			words += fmt.Sprintf(", and %d more", n-1)
		}
		return words + "."
	}
}

func (r *Sought) sought() string {
	what := "all checks"
	if r.For != "" {
		what = r.For + " alone"
	}
	words := fmt.Sprintf("Sought from %s to %s for %s", report.Size(r.e.Units, r.Sought.from, r.d.Kind), report.Size(r.e.Units, r.Sought.to, r.d.Kind), what)
	if !r.set {
		words += "; --from and --to look further"
	}
	return words + "."
}

// rangeText is one range: its ends, rounded inwards so that what is read holds, and what stops it at either.
func (r *Sought) rangeText(g *seekRange) string {
	t := terminal.Grid{}
	t.Row(nil, "from "+r.inward(g.from, 1), "to "+r.inward(g.to, -1))
	text := t.Text() + r.inStock(g)
	if g.Otherwise {
		text += "       here the parts are put together another way than now\n"
	}
	for _, end := range []struct{ word, what string }{{"smaller: ", g.StoppedBy[0]}, {"larger: ", g.StoppedBy[1]}} {
		text += terminal.Paragraph(end.word+stoppedBy(end.what), "       ")
	}
	return text + "\n"
}

// inStock says which of the sizes available lie in a range, where a stock line names any.
func (r *Sought) inStock(g *seekRange) string {
	if len(r.d.Stock) == 0 {
		return ""
	}
	words := "none in stock"
	if len(g.Stock) > 0 {
		words = "in stock: " + strings.Join(figures.Each(g.Stock, func(v *figures.Figure) string { return v.Size(r.e.Units, r.d.Kind) }), ", ")
	}
	return terminal.Paragraph(words, "       ")
}

// nothingStops is what stands where the search ends before the range does.
const nothingStops = "nothing: the search ends here"

// stoppedBy says what stops a range at one end.
func stoppedBy(what string) string {
	if what == nothingStops {
		return what
	}
	return "stopped by " + what
}

// inward writes an end of a range so that the value read is within it: up in the last decimal, or down.
func (r *Sought) inward(v, up float64) string {
	if text, ok := r.e.Units.AsFraction(v, r.d.Kind); ok {
		return text
	}
	return rounded(r.e.Units, v, r.d.Kind, up)
}

// rounded writes a value rounded up in the last decimal, or down.
func rounded(u quantity.Units, v float64, k quantity.Kind, up float64) string {
	f := float64(figures.Of(u, v, k))
	shift := math.Pow10(figures.Decimals(u, k))
	n := f * shift
	if near := math.Round(n); math.Abs(n-near) < 1e-2 {
		return figures.Figure(near/shift).Read(u, k) // it is that value, to a hundredth of the last decimal
	}
	if up > 0 {
		return figures.Figure(math.Ceil(n)/shift).Read(u, k)
	}
	return figures.Figure(math.Floor(n)/shift).Read(u, k)
}

// caution says what the ranges do not claim.
func (r *Sought) caution() string {
	if len(r.Ranges) == 0 || r.Idle {
		return ""
	}
	ends := "The ends are proved"
	if !r.endsProved() {
		ends = "The ends are sampled"
	}
	return fmt.Sprintf("%s; between them %s looked at, and nothing is proved in between.", ends, report.CountOf(r.Looked, "value was", "values were"))
}

// endsProved reports whether every end of a range is proved.
func (r *Sought) endsProved() bool {
	looked := func(s string) bool { return s != solver.Proved.String() }
	return !slices.ContainsFunc(r.Ranges, func(g seekRange) bool { return slices.ContainsFunc(g.Sure, looked) })
}

// sentence says how it all came out.
func (r *Sought) sentence() string {
	switch {
	case len(r.Never) > 0:
		return r.neverAll()
	case r.Idle:
		return fmt.Sprintf("No check has anything to do with %s.", r.Dim)
	case len(r.Ranges) == 0:
		words := fmt.Sprintf("No value of %s from %s to %s holds", r.Dim, report.Size(r.e.Units, r.Sought.from, r.d.Kind), report.Size(r.e.Units, r.Sought.to, r.d.Kind))
		if r.hopeless != nil {
			words += fmt.Sprintf(": none was found that mends %s, %s", r.hopeless.Named, r.hopeless.Place)
		}
		words += "."
		for i := range r.Alone {
			words += fmt.Sprintf(" Mended alone: %s, %s, with %s %s.", r.Alone[i].Check.Named, r.Alone[i].Check.Place, r.Dim, r.inWords(r.Alone[i].Ranges))
		}
		return words
	}
	holds := "Holds"
	if len(r.looked) > 0 || !r.endsProved() {
		holds = "Nothing falls short"
	}
	return fmt.Sprintf("%s with %s %s.", holds, r.Dim, r.inWords(r.Ranges))
}

// inWords is from where to where ranges go.
func (r *Sought) inWords(list []seekRange) string {
	return strings.Join(figures.Each(list, func(g *seekRange) string {
		words := fmt.Sprintf("from %s to %s", r.inward(g.from, 1), r.inward(g.to, -1))
		if g.Otherwise {
			words = "with the parts put together another way than now " + words
		}
		return words
	}), ", and ")
}

// neverAll says that some checks fall short whatever the value, and with which values those hold that it moves.
func (r *Sought) neverAll() string {
	never := report.Once(r.Never)
	names := report.WithPlaces(never)
	fall := "which has nothing to do with it, falls short"
	if len(never) > 1 {
		fall = "which have nothing to do with it, fall short"
	}
	words := fmt.Sprintf("No value of %s mends all of it: %s, %s.", r.Dim, names, fall)
	switch {
	case r.Idle:
	case len(r.Moved) == 0:
		words += " With none that was found do the checks hold that it moves."
	default:
		words += fmt.Sprintf(" The checks that it moves all hold %s.", r.inWords(r.Moved))
	}
	return words
}
