package report

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"barover/render/report/figures"
	"barover/render/terminal"
	"barover/sketch"
	"barover/sketch/assembled"
	"barover/sketch/syntax"
	"barover/solver"
	"barover/solver/linkage"
	"barover/solver/seek"
)

// SeekReport is the ranges of one dimension. Its fields are the object that `seek --json` prints.
type SeekReport struct {
	Dim    string         `json:"dim"`
	Now    figures.Figure `json:"now"`
	Units  string         `json:"units"`
	For    string         `json:"for"` // one check alone; "" for all
	Sought seekLimits     `json:"sought"`
	Ranges []seekRange    `json:"ranges"`
	Holds  bool           `json:"holds_now"`
	Short  []checkName    `json:"short_now"`
	Never  []checkName    `json:"never"`                  // fall short whatever the value
	Idle   bool           `json:"idle"`                   // no check has to do with the dimension
	Moved  []seekRange    `json:"moved_ranges,omitempty"` // where others never hold: the ranges with which those hold that it moves
	Looked int            `json:"looked_at"`
	Sure   string         `json:"sure"` // of what lies between the values looked at

	e        *assembled.Engine
	d        *sketch.Dim
	set      bool       // the limits were given
	asked    int        // checks that For stands for, or all of them, a pair once
	looked   []string   // those that do not fall short now and were only looked at
	hopeless *checkName // one for which alone there is no range, where there is none for all
	broken   string     // what cannot be assembled with the dimension as it is
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
	StoppedBy []string         `json:"stopped_by"`      // at the lower end, at the upper one
	Sure      []string         `json:"sure"`            // of either end
	Stock     []figures.Figure `json:"stock,omitempty"` // the sizes to be had that lie in it

	from, to float64
}

func newSeekReport(e *assembled.Engine, d *sketch.Dim, check string, limited bool, q *seek.Query, a *seek.Answer) *SeekReport {
	w := reporter{e, e.Units}
	of := func(v float64) figures.Figure { return figures.Of(w.u, v, d.Kind) }
	r := &SeekReport{Dim: d.Name, Now: of(d.Value), Units: w.u.Name(), For: check,
		Sought: seekLimits{of(q.From), of(q.To), q.From, q.To}, Ranges: []seekRange{}, Holds: a.NowHolds, Short: w.checkNames(a.Short),
		Never: w.checkNames(a.Never), Idle: a.Idle, Looked: a.Looked, Sure: solver.Sampled.String(), e: e, d: d, set: limited}
	asked := q.Checks
	for i := range e.Problem.Checks {
		if q.Checks == nil {
			asked = append(asked, i)
		}
	}
	r.asked = len(once(w.checkNames(asked)))
	for _, n := range once(w.checkNames(a.Seen)) {
		r.looked = append(r.looked, n.Named)
	}
	if a.Broken != nil {
		r.broken = w.brokenInWords(a.Broken)
	}
	r.Ranges = append(r.Ranges, w.seekRanges(d, a.Ranges)...)
	return r
}

func (w reporter) seekRanges(d *sketch.Dim, ranges []seek.Range) (list []seekRange) {
	of := func(v float64) figures.Figure { return figures.Of(w.u, v, d.Kind) }
	for _, g := range ranges {
		var stock []figures.Figure
		for _, v := range d.Stock {
			if v >= g.From.At && v <= g.To.At {
				stock = append(stock, of(v))
			}
		}
		list = append(list, seekRange{of(g.From.At), of(g.To.At), []string{w.stops(g.From.Stops), w.stops(g.To.Stops)},
			[]string{g.From.Sure.String(), g.To.Sure.String()}, stock, g.From.At, g.To.At})
	}
	return list
}

// checkNames are the names of several checks.
func (w reporter) checkNames(checks []int) []checkName {
	out := make([]checkName, 0, len(checks))
	for _, i := range checks {
		out = append(out, w.name(i))
	}
	return out
}

// stops tells what stops a range at one end.
func (w reporter) stops(stops []seek.Stop) string {
	var words []string
	told := map[string]bool{}
	for _, s := range stops {
		t := w.stop(s)
		if told[t] {
			continue
		}
		told[t] = true
		words = append(words, t)
	}
	return strings.Join(words, "; ")
}

func (w reporter) stop(s seek.Stop) string {
	switch {
	case s.Limit:
		return nothingStops
	case s.Broken != nil:
		return w.brokenInWords(s.Broken)
	case s.Err != nil:
		return w.faultInWords(s.Err)
	}
	n := w.name(s.Check)
	return n.Named + ", " + n.place
}

// brokenInWords tells over which part of the turn the parts cannot be assembled.
func (w reporter) brokenInWords(b *linkage.Broken) string {
	s := w.broken(*b)
	what := "cannot be assembled near"
	if s.either {
		what = "it cannot be told which way it goes near"
	}
	return fmt.Sprintf("%s: %s %s %s°", s.place, what, w.e.Problem.Turn.Name,
		figures.Figure((s.From+s.To)/2).Read(w.u, sketch.Angle))
}

// faultInWords is the first of the messages that an error stands for, with its place.
func (w reporter) faultInWords(err error) string {
	var list []syntax.Message
	var u assembled.Unmakeable
	var faults linkage.Faults
	switch {
	case errors.As(err, &u):
		list = u
	case errors.As(err, &faults):
		list = w.e.Faults(faults)
	}
	if len(list) == 0 {
		return err.Error()
	}
	line, _ := list[0].File.Place(list[0].Span.Start)
	return fmt.Sprintf("line %d: %s", line, list[0].Text)
}

// Status is 1 where something falls short with the dimension as it is.
func (r *SeekReport) Status() int {
	if r.Holds {
		return AllHolds
	}
	return FallsShort
}

// Text is the ranges as a table to read.
func (r *SeekReport) Text(c terminal.Ink) string {
	var b strings.Builder
	b.WriteString(title(r.e, ""))
	b.WriteString("\n")
	for _, l := range terminal.Folded(r.now(), "", terminal.Width) {
		b.WriteString(l + "\n")
	}
	for _, l := range terminal.Folded(r.sought(), "", terminal.Width) {
		b.WriteString(l + "\n")
	}
	b.WriteString("\n")
	for _, list := range [][]seekRange{r.Ranges, r.Moved} {
		for i := range list {
			b.WriteString(r.rangeText(&list[i]))
		}
	}
	colour := terminal.Green
	if !r.Holds {
		colour = terminal.Red
	}
	for _, l := range terminal.Folded(r.caution(), "", terminal.Width) {
		b.WriteString(l + "\n")
	}
	for _, l := range terminal.Folded(r.sentence(), "", terminal.Width) {
		b.WriteString(c.In(colour, l) + "\n")
	}
	return b.String()
}

func (r *SeekReport) now() string {
	words := fmt.Sprintf("%s is %s now", r.Dim, size(r.e.Units, r.d.Value, r.d.Kind))
	switch n := len(once(r.Short)); {
	case r.broken != "":
		return words + "; " + r.broken + "."
	case r.Holds && len(r.looked) > 0:
		text := onlyLooked(r.asked, r.looked)
		return words + ", and " + strings.ToLower(text[:1]) + text[1:] + "."
	case r.Holds && r.For != "" && r.asked > 1:
		return words + ", and " + map[bool]string{true: "both", false: fmt.Sprintf("all %d", r.asked)}[r.asked == 2] + " checks of that hold."
	case r.Holds && r.For != "":
		return words + ", and the check holds."
	case r.Holds:
		return words + ", and everything holds."
	default:
		words += ": " + r.Short[0].Named + ", " + r.Short[0].place + ", falls short"
		if n > 1 {
			words += fmt.Sprintf(", and %d more", n-1)
		}
		return words + "."
	}
}

func (r *SeekReport) sought() string {
	what := "all checks"
	if r.For != "" {
		what = r.For + " alone"
	}
	words := fmt.Sprintf("Sought from %s to %s for %s", size(r.e.Units, r.Sought.from, r.d.Kind), size(r.e.Units, r.Sought.to, r.d.Kind), what)
	if !r.set {
		words += "; --from and --to look further"
	}
	return words + "."
}

// rangeText is one range: its ends, rounded inwards so that what is read holds, and what stops it at either.
func (r *SeekReport) rangeText(g *seekRange) string {
	t := terminal.Grid{}
	t.Row(nil, "from "+r.inward(g.from, 1), "to "+r.inward(g.to, -1))
	text := t.Text() + r.inStock(g)
	for _, end := range []struct{ word, what string }{{"smaller: ", g.StoppedBy[0]}, {"larger: ", g.StoppedBy[1]}} {
		for _, l := range terminal.Folded(end.word+stoppedBy(end.what), "       ", terminal.Width) {
			text += l + "\n"
		}
	}
	return text + "\n"
}

// inStock says which of the sizes to be had lie in a range, where a stock line names any.
func (r *SeekReport) inStock(g *seekRange) string {
	if len(r.d.Stock) == 0 {
		return ""
	}
	words := "none in stock"
	if len(g.Stock) > 0 {
		var sizes []string
		for _, v := range g.Stock {
			sizes = append(sizes, v.Size(r.e.Units, r.d.Kind))
		}
		words = "in stock: " + strings.Join(sizes, ", ")
	}
	text := ""
	for _, l := range terminal.Folded(words, "       ", terminal.Width) {
		text += l + "\n"
	}
	return text
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
func (r *SeekReport) inward(v, up float64) string {
	u, k := r.e.Units, r.d.Kind
	if u.Inches && k.Is(sketch.Length) {
		if text, exact := sketch.Fraction(v); exact {
			return text
		}
	}
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
func (r *SeekReport) caution() string {
	if len(r.Ranges) == 0 || r.Idle {
		return ""
	}
	ends := "The ends are proved"
	if !r.endsProved() {
		ends = "The ends are sampled"
	}
	return fmt.Sprintf("%s; between them %s looked at, and nothing is proved in between.", ends, map[bool]string{true: "1 value was",
		false: fmt.Sprintf("%d values were", r.Looked)}[r.Looked == 1])
}

// endsProved reports whether every end of a range is proved.
func (r *SeekReport) endsProved() bool {
	for i := range r.Ranges {
		if s := r.Ranges[i].Sure; s[0] != solver.Proved.String() || s[1] != solver.Proved.String() {
			return false
		}
	}
	return true
}

// sentence says how it all came out.
func (r *SeekReport) sentence() string {
	switch {
	case len(r.Never) > 0:
		return r.neverAll()
	case r.Idle:
		return fmt.Sprintf("No check has anything to do with %s.", r.Dim)
	case len(r.Ranges) == 0:
		words := fmt.Sprintf("No value of %s from %s to %s holds", r.Dim, size(r.e.Units, r.Sought.from, r.d.Kind), size(r.e.Units, r.Sought.to, r.d.Kind))
		if r.hopeless != nil {
			words += fmt.Sprintf(": none was found that mends %s, %s", r.hopeless.Named, r.hopeless.place)
		}
		return words + "."
	}
	holds := "Holds"
	if len(r.looked) > 0 || !r.endsProved() {
		holds = "Nothing falls short"
	}
	return fmt.Sprintf("%s with %s %s.", holds, r.Dim, r.inWords(r.Ranges))
}

// inWords is from where to where ranges go.
func (r *SeekReport) inWords(list []seekRange) string {
	var words []string
	for i := range list {
		words = append(words, fmt.Sprintf("from %s to %s", r.inward(list[i].from, 1), r.inward(list[i].to, -1)))
	}
	return strings.Join(words, ", and ")
}

// neverAll says that some checks fall short whatever the value, and with which values those hold that it moves.
func (r *SeekReport) neverAll() string {
	never := once(r.Never)
	names := strings.Join(firstFew(never, mostFaults, "and %d more", func(n checkName) string { return n.Named + ", " + n.place }), "; ")
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
