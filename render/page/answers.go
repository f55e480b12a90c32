package page

import (
	"math"
	"slices"

	"barover/solver"
)

// Answer is a row of what holds and what does not, in words and in the figures that the page goes by.
type Answer struct {
	Check   int          `json:"check"` // into the checks asked
	Key     string       `json:"key"`   // tells it from every other, before a change and after
	State   string       `json:"state"` // in one word: fouls, short, holds …
	OK      bool         `json:"ok"`
	Sure    string       `json:"sure"`
	Kind    string       `json:"kind"`
	Subject string       `json:"subject"`
	Pair    []int        `json:"pair"` // the two profiles; empty for a sum
	Worst   string       `json:"worst"`
	Asked   string       `json:"asked"`
	Note    string       `json:"note"`
	More    []string     `json:"more"`  // further words about it, its line first
	Place   string       `json:"place"` // where it is worst, in words; "" where that is everywhere
	Turn    Number       `json:"turn"`  // degrees; null where it has no place
	Travel  []float64    `json:"travel"`
	Fouls   [][2]float64 `json:"fouls"` // degrees, at the travel setting of the fouls
	FoulsAt []float64    `json:"foulsAt"`
	Near    *[4]float64  `json:"near"` // the nearest places x, y, x, y at the worst position, mm
	Least   Number       `json:"least"`
	AtLeast Number       `json:"atLeast"` // in the figure's own unit: mm, degrees or a bare number
	AtMost  Number       `json:"atMost"`
	Unit    string       `json:"unit"` // of the figure: mm means the sketch's unit
}

// Placed fills in where a finding is worst, for the page to go there.
func (a *Answer) Placed(c *solver.Check, f *solver.Finding, still bool) {
	a.Check, a.Pair, a.Fouls, a.Travel, a.FoulsAt = f.Check, []int{}, [][2]float64{}, nonNil(f.At.Travel), nonNil(f.FoulsAt)
	a.Turn, a.Unit = missing, "length"
	k := 1.0
	if c.Kind == solver.Keep && c.Angle {
		a.Unit, k = "angle", degrees(1)
	} else if c.Kind == solver.Keep && c.Number {
		a.Unit = "number"
	}
	a.Least, a.AtLeast, a.AtMost = Number(f.Least*k), Number(f.AtLeast*k), Number(f.AtMost*k)
	if c.Kind == solver.Clear || c.Kind == solver.Gap {
		a.Pair = []int{c.A, c.B}
	}
	if f.Apart || math.IsNaN(f.At.Turn) || math.IsNaN(f.Least) && len(f.Fouls) == 0 {
		return
	}
	if still || c.Kind == solver.Gap && f.OK { // it is met at every position, or at none; a gap that holds is no better anywhere
		return
	}
	a.Turn = Number(degrees(f.At.Turn))
	if n := f.Near; c.Kind == solver.Clear && n[0] != n[1] {
		a.Near = &[4]float64{rounded(n[0].X), rounded(n[0].Y), rounded(n[1].X), rounded(n[1].Y)}
	}
	for _, i := range f.Fouls {
		a.Fouls = append(a.Fouls, [2]float64{degrees(i.From), degrees(i.To)})
	}
}

var missing = Number(math.NaN())

// Change is a row of what a change moved.
type Change struct {
	Key     string `json:"key"` // of the answer; "" for a dimension
	Subject string `json:"subject"`
	Note    string `json:"note"`
	Was     string `json:"was"`
	Is      string `json:"is"`
	Word    string `json:"word"` // what became of it
	OK      bool   `json:"ok"`
}

// Changes lists what came out otherwise: dimensions first, then what falls short now, what is mended, and the rest in the
// order of the answers.
func Changes(before, after []Answer, was, is []Dim) (list []Change) {
	list = append(changedDims(was, is), list...)
	old := map[string]*Answer{}
	for i := range before {
		old[before[i].Key] = &before[i]
	}
	var rows []Change
	for i := range after {
		a := &after[i]
		b := old[a.Key]
		delete(old, a.Key)
		if c, ok := change(b, a); ok {
			rows = append(rows, c)
		}
	}
	for i := range before {
		if b := &before[i]; old[b.Key] != nil {
			rows = append(rows, Change{"", b.Subject, b.Note, told(b), "", "no longer asked", true})
		}
	}
	slices.SortStableFunc(rows, func(a, b Change) int { return slices.Index(became, a.Word) - slices.Index(became, b.Word) })
	return nonNil(append(list, rows...))
}

// became are the words for what became of an answer, in the order in which they are listed.
var became = []string{"falls short", "still short", "mended", "holds", "newly asked", "no longer asked"}

// change is what became of one answer; false where it reads as it did.
func change(b, a *Answer) (Change, bool) {
	c := Change{a.Key, a.Subject, a.Note, "", told(a), "holds", a.OK}
	if b == nil {
		c.Word = "newly asked"
		return c, true
	}
	c.Was = told(b)
	switch {
	case b.OK && !a.OK:
		c.Word = "falls short"
	case !b.OK && a.OK:
		c.Word = "mended"
	case !a.OK:
		c.Word = "still short"
	}
	return c, c.Was != c.Is || a.OK != b.OK
}

func told(a *Answer) string {
	if a.State == solver.LiesApart.String() {
		return "never pass"
	}
	return a.Worst
}

// changedDims are the dimensions that have another value.
func changedDims(was, is []Dim) (list []Change) {
	old := map[string]string{}
	for _, d := range was {
		old[d.Name] = d.Value
	}
	for _, d := range is {
		if v, ok := old[d.Name]; ok && v != d.Value {
			list = append(list, Change{Subject: d.Name, Was: v, Is: d.Value, Word: "dimension", OK: true})
		}
	}
	return list
}
