package variants

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"barover/render/report"
	"barover/render/report/figures"
	"barover/render/terminal"
	"barover/sketch"
	"barover/sketch/assembled"
	"barover/solver/field"
)

// Field is where in the field of two dimensions everything holds. Its fields are the object that `seek FILE DIM DIM --json` prints.
type Field struct {
	Dims   [2]string           `json:"dims"`
	Now    [2]figures.Figure   `json:"now"`
	Units  string              `json:"units"`
	For    string              `json:"for"`
	Sought [2]seekLimits       `json:"sought"`
	Holds  []fieldCell         `json:"holds"`
	Open   []fieldCell         `json:"open"`
	Best   *[2]figures.Figure  `json:"best"` // null where no cell is proved to hold
	Room   figures.Figure      `json:"room"` // about it, each dimension as a share of what was sought
	HoldAt bool                `json:"holds_now"`
	Never  []report.CheckName  `json:"never"` // fall short whatever the values
	Sides  []fieldSide         `json:"stopped_by"`
	Pairs  [][2]figures.Figure `json:"stock,omitempty"` // pairs of sizes available that lie in cells that hold
	Looked int                 `json:"looked_at"`

	e *assembled.Engine
	d [2]*sketch.Dim
	q *field.Query
	a *field.Answer
}

// fieldCell is a part of the field.
type fieldCell struct {
	From [2]figures.Figure `json:"from"`
	To   [2]figures.Figure `json:"to"`
}

// fieldSide is what stops the cells that hold on one side.
type fieldSide struct {
	Dim    string   `json:"dim"`
	Larger bool     `json:"larger"` // toward larger values
	By     []string `json:"by"`     // the checks, those along most of the seam first
}

// FieldOf is what was found of the field of two dimensions. Check is the one that was sought for alone, "" for all.
func FieldOf(e *assembled.Engine, check string, q *field.Query, a *field.Answer) *Field {
	w := report.NewReporter(e)
	r := &Field{Units: e.Units.Name(), For: check, Holds: []fieldCell{}, Open: []fieldCell{}, HoldAt: a.NowHold, Never: w.Names(a.Never),
		Sides: []fieldSide{}, Looked: a.Looked, Room: figures.Figure(a.Room), e: e, q: q, a: a}
	for k, n := range q.Dims {
		r.d[k] = &e.Dims[n]
		r.Dims[k] = r.d[k].Name
	}
	r.Now = r.pair(q.Now)
	for k := range 2 {
		r.Sought[k] = seekLimits{r.pair(a.From)[k], r.pair(a.To)[k], a.From[k], a.To[k]}
	}
	for _, c := range a.Cells {
		switch c.State {
		case field.Holds:
			r.Holds = append(r.Holds, fieldCell{r.pair(c.From), r.pair(c.To)})
		case field.Open:
			r.Open = append(r.Open, fieldCell{r.pair(c.From), r.pair(c.To)})
		}
	}
	if a.Room > 0 {
		best := r.pair(a.Best)
		r.Best = &best
	}
	r.findSides(w)
	r.findPairs()
	return r
}

// pair is two values in the figures of the sketch.
func (r *Field) pair(v [2]float64) (out [2]figures.Figure) {
	for k := range 2 {
		out[k] = figures.Of(r.e.Units, v[k], r.d[k].Kind)
	}
	return out
}

// findSides finds what stops the cells that hold toward smaller and larger values of either dimension: the checks of the cells beside
// them, by how long the seam is.
func (r *Field) findSides(w report.Reporter) {
	for k := range 2 {
		for _, larger := range [2]bool{false, true} {
			long := map[string]float64{}
			for i := range r.a.Cells {
				c := &r.a.Cells[i]
				if c.State != field.Holds {
					continue
				}
				for j := range r.a.Cells {
					b := &r.a.Cells[j]
					if b.State == field.Holds || b.Check < 0 {
						continue
					}
					if l := seam(c, b, k, larger); l > 0 {
						long[w.Name(b.Check).Named] += l / (r.a.To[1-k] - r.a.From[1-k])
					}
				}
			}
			if len(long) > 0 {
				r.Sides = append(r.Sides, fieldSide{r.Dims[k], larger, byLength(long)})
			}
		}
	}
}

// seam is how long the edge is that two cells share, the second beside the first toward smaller or larger values of a dimension.
func seam(c, b *field.Cell, k int, larger bool) float64 {
	mine, its := c.From[k], b.To[k]
	if larger {
		mine, its = c.To[k], b.From[k]
	}
	if math.Abs(mine-its) > 1e-9*math.Max(1, math.Abs(mine)) {
		return 0
	}
	return math.Min(c.To[1-k], b.To[1-k]) - math.Max(c.From[1-k], b.From[1-k])
}

func byLength(long map[string]float64) []string {
	return slices.SortedFunc(maps.Keys(long), func(a, b string) int { return cmp.Or(cmp.Compare(long[b], long[a]), strings.Compare(a, b)) })
}

// findPairs finds the pairs of sizes available that lie in cells that hold, where both dimensions have a stock line.
func (r *Field) findPairs() {
	for _, x := range r.d[0].Stock {
		for _, y := range r.d[1].Stock {
			if s, ok := r.at([2]float64{x, y}); ok && s.State == field.Holds {
				r.Pairs = append(r.Pairs, r.pair([2]float64{x, y}))
			}
		}
	}
}

// at is the cell of a place.
func (r *Field) at(v [2]float64) (*field.Cell, bool) {
	for i := range r.a.Cells {
		c := &r.a.Cells[i]
		if v[0] >= c.From[0] && v[0] <= c.To[0] && v[1] >= c.From[1] && v[1] <= c.To[1] {
			return c, true
		}
	}
	return nil, false
}

// Status is 1 where something falls short with the values as they are.
func (r *Field) Status() int { return report.StatusOf(r.HoldAt) }

// SoFar is the map of what is known while the search goes on.
func (r *Field) SoFar(c terminal.Ink) string {
	return "So far, with more to be looked at:\n" + r.chart(c) + "\n"
}

// Text is the field as a map to read, with a sentence in the end.
func (r *Field) Text(c terminal.Ink) string {
	var b strings.Builder
	put := func(text string) { b.WriteString(terminal.Paragraph(text, "")) }
	b.WriteString(report.Title(r.e, "") + "\n")
	put(fmt.Sprintf("%s is %s and %s %s now.", r.Dims[0], r.size(0, r.q.Now[0]), r.Dims[1], r.size(1, r.q.Now[1])))
	put(fmt.Sprintf("Sought with %s from %s to %s and %s from %s to %s; --from and --to look elsewhere.", r.Dims[0], r.size(0, r.a.From[0]), r.size(0, r.a.To[0]),
		r.Dims[1], r.size(1, r.a.From[1]), r.size(1, r.a.To[1])))
	if len(r.a.Cells) > 0 {
		b.WriteString("\n" + r.chart(c) + "\n")
		for _, s := range r.sidesText() {
			put(s)
		}
		put(r.stockText())
	}
	return b.String() + c.Verdict(r.Status() == report.AllHolds, r.sentence())
}

// The signs of the map.
const (
	holdsSign, shortSign, openHolds, openShort, openUnseen = "#", ".", "h", "s", "?"

	nowMark, bestMark = "<", "*" // behind the sign of their cells
)

// chart is the map: the first dimension to the right, the other upward.
func (r *Field) chart(c terminal.Ink) string {
	n := r.fineness()
	at := func(k, i int) float64 { return r.a.From[k] + (r.a.To[k]-r.a.From[k])*(float64(i)+0.5)/float64(n) }
	place := func(v [2]float64) (x, y int, in bool) {
		u := [2]float64{(v[0] - r.a.From[0]) / (r.a.To[0] - r.a.From[0]), (v[1] - r.a.From[1]) / (r.a.To[1] - r.a.From[1])}
		in = u[0] >= 0 && u[0] <= 1 && u[1] >= 0 && u[1] <= 1
		return min(int(u[0]*float64(n)), n-1), min(int(u[1]*float64(n)), n-1), in
	}
	labels := make([]string, n)
	labels[n-1] = r.size(1, r.a.To[1])
	labels[0] = r.size(1, r.a.From[1])
	left := max(len([]rune(labels[0])), len([]rune(labels[n-1])))
	nowX, nowY, nowIn := place(r.q.Now)
	bestX, bestY, _ := place(r.a.Best)
	var b strings.Builder
	fmt.Fprintf(&b, "%s  %s upward\n", strings.Repeat(" ", left), r.Dims[1])
	for i := n - 1; i >= 0; i-- {
		fmt.Fprintf(&b, "%*s  ", left, labels[i])
		for k := range n {
			sign, colour := " ", ""
			if cell, ok := r.at([2]float64{at(0, k), at(1, i)}); ok {
				switch {
				case cell.State == field.Holds:
					sign, colour = holdsSign, terminal.Green
				case cell.State == field.Short:
					sign, colour = shortSign, terminal.Faint
				case !cell.Seen:
					sign = openUnseen
				case cell.Middle:
					sign, colour = openHolds, terminal.Yellow
				default:
					sign, colour = openShort, terminal.Yellow
				}
			}
			mark := " "
			switch {
			case nowIn && k == nowX && i == nowY:
				mark = nowMark
			case r.a.Room > 0 && k == bestX && i == bestY:
				mark = bestMark
			}
			b.WriteString(c.In(colour, sign) + mark)
		}
		b.WriteString("\n")
	}
	low, high := r.size(0, r.a.From[0]), r.size(0, r.a.To[0])
	fmt.Fprintf(&b, "%*s  %s%*s  %s\n", left, "", low, max(2*n-1-len([]rune(low)), len([]rune(high))+2), high, r.Dims[0])
	fmt.Fprintf(&b, "%*s  # proved to hold, . proved to fall short, < now, * most room\n", left, "")
	fmt.Fprintf(&b, "%*s  neither: h holds, s falls short in the cell's middle, ? not looked at\n", left, "")
	return b.String()
}

// fineness is in how many parts each side is cut at most.
func (r *Field) fineness() int {
	n := 1
	for _, c := range r.a.Cells {
		n = max(n, int(math.Round((r.a.To[0]-r.a.From[0])/(c.To[0]-c.From[0]))))
	}
	return n
}

func (r *Field) size(k int, v float64) string {
	return figures.Of(r.e.Units, v, r.d[k].Kind).Size(r.e.Units, r.d[k].Kind)
}

// sidesText says what stops on each side.
func (r *Field) sidesText() (list []string) {
	for _, s := range r.Sides {
		way := "smaller "
		if s.Larger {
			way = "larger "
		}
		list = append(list, way+s.Dim+": stopped by "+report.Few(s.By, "; "))
	}
	return list
}

// mostPairs is how many pairs of sizes are named.
const mostPairs = 6

// stockText names the pairs of sizes available that hold.
func (r *Field) stockText() string {
	if len(r.d[0].Stock) == 0 || len(r.d[1].Stock) == 0 {
		return ""
	}
	if len(r.Pairs) == 0 {
		return "No two sizes in stock lie where everything is proved to hold."
	}
	return "In stock: " + strings.Join(report.FirstFew(r.Pairs, mostPairs, "and %d {pair|pairs} more", func(p [2]figures.Figure) string {
		return p[0].Size(r.e.Units, r.d[0].Kind) + " with " + p[1].Size(r.e.Units, r.d[1].Kind)
	}), ", ") + "."
}

// heart is the middle of a cell in the middle of which everything was found to hold: of that which is farthest from where anything
// falls short, with the cells as its measure, and of several the one nearest to the middle of them all. N is how many such cells there are.
func (r *Field) heart() (at [2]float64, n int) {
	middle := func(c *field.Cell) (m [2]float64) {
		for k := range m {
			m[k] = (c.From[k] + c.To[k]) / 2
		}
		return m
	}
	apart := func(a, b [2]float64) float64 {
		far := 0.0
		for k := range a {
			far = math.Max(far, math.Abs(a[k]-b[k])/(r.a.To[k]-r.a.From[k]))
		}
		return far
	}
	var held [][2]float64
	var all [2]float64
	for i := range r.a.Cells {
		if c := &r.a.Cells[i]; c.State == field.Open && c.Middle {
			m := middle(c)
			held = append(held, m)
			all[0], all[1] = all[0]+m[0], all[1]+m[1]
		}
	}
	most, least := math.Inf(-1), math.Inf(1)
	for _, m := range held {
		room := math.Inf(1)
		for i := range r.a.Cells {
			if c := &r.a.Cells[i]; c.State == field.Short || c.State == field.Open && !c.Middle {
				room = math.Min(room, apart(m, middle(c)))
			}
		}
		off := apart(m, [2]float64{all[0] / float64(len(held)), all[1] / float64(len(held))})
		if room > most+1e-9 || room > most-1e-9 && off < least-1e-9 {
			most, least, at = math.Max(most, room), off, m
		}
	}
	return at, len(held)
}

// sentence says how it all came out.
func (r *Field) sentence() string {
	if len(r.Never) > 0 {
		return "With no values of the two does all hold: they have nothing to do with " + report.WithPlaces(report.Once(r.Never)) + "."
	}
	if r.a.Room == 0 {
		if len(r.Open) > 0 {
			why := "Cells that are too wide cannot be proved"
			if r.a.Late {
				why = "The time was over before all was looked at"
			}
			if at, n := r.heart(); n > 0 {
				why = fmt.Sprintf("It was found to hold in the middle of %s, of which this is inmost: %s at %s, %s at %s. ", report.CountOf(n, "cell", "cells"),
					r.Dims[0], r.size(0, at[0]), r.Dims[1], r.size(1, at[1])) + why
			}
			return "Nowhere in the field is everything proved to hold. " + why + ": look closer with " + r.closer() + ", or at fewer checks with --for."
		}
		return fmt.Sprintf("Nowhere in the field does everything hold: proved with every %s and %s in it.", r.Dims[0], r.Dims[1])
	}
	var parts []string
	for k := range 2 {
		parts = append(parts, fmt.Sprintf("%s from %s to %s", r.Dims[k], r.inside(k, r.a.Block[k][0], math.Ceil), r.inside(k, r.a.Block[k][1], math.Floor)))
	}
	text := fmt.Sprintf("Holds with %s, any of them together, proved; most room, farthest from the seam as a share of what was looked over, at %s and %s.",
		strings.Join(parts, " and "), r.inside(0, r.a.Best[0], math.Round), r.inside(1, r.a.Best[1], math.Round))
	if r.a.Late {
		text += " The time was over before all was looked at: look closer with --from and --to."
	}
	return text
}

// inside is a value with no more decimals than a figure has, rounded so that it stays inside what it is an end of.
func (r *Field) inside(k int, v float64, round func(float64) float64) string {
	f, ten := float64(figures.Of(r.e.Units, v, r.d[k].Kind)), math.Pow(10, float64(figures.Decimals(r.e.Units, r.d[k].Kind)))
	if near := math.Round(f*ten) / ten; math.Abs(f-near) < 1e-9*math.Max(1, math.Abs(f)) {
		return r.size(k, v)
	}
	return figures.Figure(round(f*ten)/ten).Size(r.e.Units, r.d[k].Kind)
}

// closer is how to look closer: at what holds in the middle of its cells.
func (r *Field) closer() string {
	from, to := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for i := range r.a.Cells {
		if c := &r.a.Cells[i]; c.Seen && c.Middle {
			for k := range 2 {
				from[k], to[k] = math.Min(from[k], c.From[k]), math.Max(to[k], c.To[k])
			}
		}
	}
	if !(from[0] < to[0]) || from == r.a.From && to == r.a.To {
		return "--from and --to"
	}
	word := func(v [2]float64, round func(float64) float64) string {
		text := r.inside(0, v[0], round) + "," + r.inside(1, v[1], round)
		if strings.Contains(text, " ") {
			text = `"` + text + `"`
		}
		return text
	}
	return "--from " + word(from, math.Floor) + " --to " + word(to, math.Ceil)
}
