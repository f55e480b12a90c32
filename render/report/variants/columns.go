package variants

import (
	"cmp"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"barover/render/report"
	"barover/render/report/figures"
	"barover/render/terminal"
	"barover/sketch/assembled"
	"barover/sketch/quantity"
	"barover/solver"
)

// Columns is one sketch with several cases, side by side. Its fields are the object that `compare FILE --case A --case B --json` prints.
type Columns struct {
	Sketch  string        `json:"sketch"`
	Units   string        `json:"units"`
	Columns []column      `json:"columns"` // as it stands first, then each case
	Dims    []columnDim   `json:"dims"`    // those that a case gives another value, or that follow
	Checks  []columnCheck `json:"checks"`  // those that fall short somewhere, or come out otherwise

	first *assembled.Engine
	same  int // checks that hold everywhere and come out as they do as it stands
}

// column is the sketch with one case.
type column struct {
	Values    string   `json:"values"` // "now", or the case
	Short     int      `json:"short"`  // checks that fall short, a pair once
	Assembled bool     `json:"assembled"`
	Remade    []string `json:"remade"` // what is written with made dimensions that it gives another value
}

// columnDim is a dimension in each column.
type columnDim struct {
	Name   string           `json:"name"`
	Values []figures.Figure `json:"values"`
	Made   bool             `json:"made"`

	kind quantity.Kind
}

// columnCheck is a check in each column.
type columnCheck struct {
	report.CheckName
	Values []figures.Figure `json:"values"` // the figure at which it holds by least; null where there is nothing to measure
	OK     []bool           `json:"ok"`

	kind   quantity.Kind
	states []solver.State
	weight float64
}

// ColumnsOf sets engines of one sketch side by side, the one as it stands first, by what their checks come to.
func ColumnsOf(engines []*assembled.Engine, results []*solver.Result) *Columns {
	first := engines[0]
	r := &Columns{Sketch: filepath.ToSlash(first.Path), Units: first.Units.Name(), Columns: []column{}, Dims: []columnDim{}, Checks: []columnCheck{}, first: first}
	for i, e := range engines {
		r.Columns = append(r.Columns, newColumn(first, e, results[i]))
	}
	for d := range first.Dims {
		one := columnDim{Name: first.Dims[d].Name, Made: first.Dims[d].IsMade(), kind: first.Dims[d].Kind}
		differs := false
		for _, e := range engines {
			one.Values = append(one.Values, figures.Of(first.Units, e.Dims[d].Value, one.kind))
			differs = differs || differ(e.Dims[d].Value, first.Dims[d].Value)
		}
		if differs {
			r.Dims = append(r.Dims, one)
		}
	}
	w := report.NewReporter(first)
	told := map[solver.Subject]bool{}
	for i := range first.Problem.Checks {
		one, matters := columnsCheck(w, i, results)
		switch {
		case told[one.Subject]:
		case matters:
			r.Checks = append(r.Checks, one)
			told[one.Subject] = true
		default:
			r.same++
		}
	}
	slices.SortStableFunc(r.Checks, func(a, b columnCheck) int {
		return cmp.Or(cmp.Compare(a.holding(), b.holding()), cmp.Compare(b.weight, a.weight))
	})
	return r
}

// differ reports whether two values do by more than the rounding of a sum.
func differ(a, b float64) bool { return math.Abs(a-b) > 1e-12*math.Max(1, math.Abs(a)) }

// holding is in how many columns a check holds.
func (c *columnCheck) holding() (n int) {
	for _, ok := range c.OK {
		if ok {
			n++
		}
	}
	return n
}

// columnsCheck is a check in each column; matters says that it falls short in one, or comes out otherwise than as it stands.
func columnsCheck(w report.Reporter, i int, results []*solver.Result) (one columnCheck, matters bool) {
	one = columnCheck{CheckName: w.Name(i), kind: w.KindOfCheck(i)}
	var was solver.Judgement
	for k, res := range results {
		j := w.Engine.Problem.Judge(&res.Findings[i])
		one.Values = append(one.Values, figures.Of(w.Units, j.Worst, one.kind))
		one.OK, one.states = append(one.OK, j.OK), append(one.states, j.State)
		if k == 0 {
			was = j
		}
		moved := j.Apart != was.Apart || math.Abs(j.Worst-was.Worst) > j.Check.Meets()
		if matters = matters || !j.OK || moved; moved {
			one.weight = math.Max(one.weight, solver.Weight(&was, &j))
		}
	}
	return one, matters
}

func newColumn(first, e *assembled.Engine, res *solver.Result) column {
	c := column{Values: e.Shown, Assembled: len(res.Broken) == 0, Remade: []string{}}
	w := report.NewReporter(e)
	for _, t := range e.Problem.Once(res.Findings) {
		if !t.OK {
			c.Short++
		}
	}
	users := first.Problem.Users()
	for d := range e.Dims {
		if !first.Dims[d].IsMade() || !differ(e.Dims[d].Value, first.Dims[d].Value) {
			continue
		}
		c.Remade = append(c.Remade, w.Users(users[d])...)
	}
	slices.Sort(c.Remade)
	c.Remade = slices.Compact(c.Remade)
	return c
}

// Status is 1 where something falls short with one of the cases.
func (r *Columns) Status() int {
	return report.StatusOf(!slices.ContainsFunc(r.Columns[1:], func(c column) bool { return c.Short > 0 || !c.Assembled }))
}

// mostColumnChecks is how many checks are listed for reading that hold in every column.
const mostColumnChecks = 8

// Text is the columns as tables to read.
func (r *Columns) Text(c terminal.Ink) string {
	right := []bool{false}
	heads := []string{"Dimensions"}
	for _, k := range r.Columns {
		right, heads = append(right, true), append(heads, k.Values)
	}
	g := terminal.Grid{Right: right}
	g.Row(nil, heads...)
	for _, d := range r.Dims {
		cells := []string{d.Name}
		for k, v := range d.Values {
			text := v.Size(r.first.Units, d.kind)
			if k > 0 && v == d.Values[0] {
				text = "="
			}
			cells = append(cells, text)
		}
		g.Row(nil, cells...)
	}
	return report.Title(r.first, ", beside "+report.CountOf(len(r.Columns)-1, "case", "cases")) + "\n" +
		g.Text() + "\n" + r.checksText(c, right, heads) + terminal.Paragraph(r.sentence(), "")
}

func (r *Columns) checksText(c terminal.Ink, right []bool, heads []string) string {
	g := terminal.Grid{Right: right}
	heads[0] = "Checks"
	g.Row(nil, heads...)
	more := 0
	for i := range r.Checks {
		k := &r.Checks[i]
		if i-mostColumnChecks >= 0 && k.holding() == len(k.OK) {
			more++
			continue
		}
		cells := []string{""}
		for n, v := range k.Values {
			text := v.Read(r.first.Units, k.kind)
			switch {
			case k.states[n] == solver.LiesApart:
				text = "apart"
			case !k.OK[n]:
				text = k.states[n].String() + " " + text
			}
			cells = append(cells, text)
		}
		g.Note(k.Named, "")
		g.Row(c.Warning(!k.OK[len(k.OK)-1]), cells...)
	}
	if more > 0 {
		g.Line(report.Counted("and %d more that {holds|hold} in every column with other room", more))
	}
	return g.Text() + "\n"
}

// sentence says of each column how it came out.
func (r *Columns) sentence() string {
	var words []string
	for _, k := range r.Columns {
		text := k.Values + ": "
		switch {
		case !k.Assembled:
			text += "cannot be assembled all the way round"
		case k.Short == 0:
			text += "nothing falls short"
		default:
			text += report.Counted("%d {falls|fall} short", k.Short)
		}
		if len(k.Remade) > 0 {
			text += ", and " + strings.Join(report.FewOf(k.Remade, report.MostUsers, "%d more"), ", ") + " must be made again"
		}
		words = append(words, text)
	}
	return strings.Join(words, "; ") + "."
}
