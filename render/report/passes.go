package report

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"barover/render/report/figures"
	"barover/render/terminal"
	"barover/sketch/quantity"
	"barover/solver"
	"barover/solver/linkage"
)

// passAnswer is a change point that the engine passes, or misses by little.
type passAnswer struct {
	At     figures.List   `json:"at"`
	Point  string         `json:"point"`
	File   string         `json:"file,omitempty"` // where the line stands, unless in the sketch itself
	Line   int            `json:"line"`
	Way    string         `json:"way"`
	Misses figures.Figure `json:"misses"`
	Gives  figures.Figure `json:"gives"`

	way   linkage.Way
	play  figures.Figure // of a loose line; 0 of others
	open  figures.Figure // how far on either side that leaves both ways open, degrees
	long  bool           // the line is too long to go straight on, not too short
	place string         // where the line stands, for reading
	text  string
}

func (w Reporter) pass(p *solver.Pass) passAnswer {
	a := passAnswer{At: w.Position(solver.Position{Turn: p.Turn, Travel: p.Travel}), Way: p.Way.String(),
		Misses: w.exact(math.Abs(p.Miss)), Gives: w.exact(p.Gives), way: p.Way, play: figures.Of(w.Units, p.Play, quantity.Length),
		open: figures.Of(w.Units, p.Open, quantity.Angle), long: p.Miss > 0, place: w.place(p.Stmt)}
	a.File, a.Line = w.line(p.Stmt)
	if p.Point >= 0 {
		a.Point = w.Engine.Problem.Linkage.Points[p.Point].Name
	}
	if file, st := w.Engine.Statement(p.Stmt); st != nil {
		a.text = terminal.OneLine(file.SpanText(st.Where()))
	}
	return a
}

// exact is a length in the sketch's unit; one that is next to nothing is not taken for nothing.
func (w Reporter) exact(mm float64) figures.Figure {
	if v := w.Units.In(mm, quantity.Length); math.Abs(v) < 1e-9 {
		return figures.Figure(v)
	}
	return figures.Of(w.Units, mm, quantity.Length)
}

// passing is change points that read the same, at several turns and settings of the travels.
type passing struct {
	first *passAnswer
	turns []string
	gives float64 // the most; NaN where one is not proved
	at    breaks
}

// passages puts together what reads the same.
func (r *Report) passages() (list []*passing) {
	known := map[string]*passing{}
	for i := range r.Passes {
		a := &r.Passes[i]
		key := fmt.Sprint(a.Point, a.place, a.way, a.long, a.open.Read(r.units, quantity.Angle))
		if a.way != linkage.Straight {
			key += r.small(a.Misses)
		}
		p := known[key]
		if p == nil {
			p = &passing{first: a}
			known[key] = p
			list = append(list, p)
		}
		if turn := a.At[0].Value.Read(r.units, quantity.Angle) + "°"; !slices.Contains(p.turns, turn) {
			p.turns = append(p.turns, turn)
		}
		p.gives = math.Max(p.gives, float64(a.Gives))
		if len(a.At) > 1 {
			p.at.settings = append(p.at.settings, a.At[1:])
		}
	}
	return list
}

// passesText reports the change points, a paragraph for each that reads differently.
func (r *Report) passesText() string {
	var words []string
	all := r.passages()
	for i, p := range all {
		if i == mostListed {
			words = append(words, fmt.Sprintf("It is the same with %s.", CountOf(len(all)-i, "change point more", "change points more")))
			break
		}
		words = append(words, r.passage(p))
	}
	return strings.Join(words, "\n")
}

func (r *Report) passage(p *passing) string {
	a := p.first
	name := a.Point
	if name == "" {
		name = "the linkage"
	}
	turns, pause := Listing(FewOf(p.turns, mostListed, "%d other {place|places}")), ""
	if len(p.at.settings) > 0 {
		if at := p.at.where(r); at != "" {
			turns, pause = turns+", "+at, ","
		}
	}
	off := r.small(a.Misses) + " too short"
	if a.long {
		off = r.small(a.Misses) + " too long"
	}
	line := a.place + " (" + a.text + ")"
	mend := "Pins with " + r.small(a.Misses) + " of play may let it go on. If it is to, mend that length, or write it loose and couple a second, quartered pair."
	switch {
	case a.play > 0:
		return fmt.Sprintf("Within %s° of %s%s %s alone lets %s turn either way: its play of %s covers both. It is followed straight on. Couple a second, quartered pair of pins.",
			a.open.Read(r.units, quantity.Angle), turns, pause, line, name, r.small(a.play))
	case a.way == linkage.Swaps:
		return fmt.Sprintf("At %s%s %s turns to its other way: %s is %s to go straight on. %s", turns, pause, name, line, off, mend)
	case a.way == linkage.Locks:
		return fmt.Sprintf("At %s%s %s cannot pass straight through: %s is %s. Which way it goes behind cannot be told. %s", turns, pause, name, line, off, mend)
	}
	words := fmt.Sprintf("%s passes a change point at %s: it can go either way there, and is followed straight on", name, turns)
	if !math.IsNaN(p.gives) {
		words += fmt.Sprintf("; proved with %s giving by at most %s", a.place, r.small(figures.Figure(p.gives)))
	}
	return strings.ToUpper(words[:1]) + words[1:] + "."
}

// small is a length in the sketch's unit, with as many digits as it takes to be no zero.
func (r *Report) small(v figures.Figure) string {
	if s := v.Read(r.units, quantity.Length); strings.Trim(s, "0.") != "" || v == 0 {
		return s
	}
	return strconv.FormatFloat(float64(v), 'g', 1, 64)
}
