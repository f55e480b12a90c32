package sketch

import (
	"fmt"
	"math"
	"slices"

	"barover/sketch/quantity"
	"barover/sketch/syntax"
	"barover/solver/expr"
)

// declareStock joins a stock line to its dimension.
func (l *loader) declareStock(i int, file *syntax.File, s *syntax.Stock) {
	n := l.dimNamed(file, s.Name)
	if n < 0 {
		return
	}
	d := &l.dims[n]
	if d.stock != nil {
		l.tell(place{file, s.Name.Span}, fmt.Sprintf("%s has a stock line already", s.Name.Text), "write all its sizes into one, with commas between them",
			l.at(d.stocked, d.stock.Span).note("this is the first"))
		return
	}
	d.stock, d.stocked = s, i
}

// stock gathers the sizes available of each dimension.
func (l *loader) stock() {
	for i := range l.dims {
		if s := l.dims[i].stock; s != nil {
			l.sketch.Dims[i].Stock = l.rising(s.Sizes)
		}
	}
}

// rising returns the values of some sums in rising order without repeats. Sums with a mistake are left out.
func (l *loader) rising(sums []syntax.Expr) (values []float64) {
	for _, x := range sums {
		if v := l.figure(x); !math.IsNaN(v) {
			values = append(values, v)
		}
	}
	slices.Sort(values)
	return slices.Compact(values)
}

// Steps are the steps of the sizes available for a dimension without a stock line, the coarsest first. The first step is
// that of the round that is its own sum, else 64ths of an inch or tenths of a millimetre, tenths of a degree. Finer
// steps, which can still be worked to, follow; they are the only ones where its value is no multiple of the coarse step.
func (s *Sketch) Steps(dim int) []float64 {
	k := s.Dims[dim].Kind
	var steps []float64
	switch {
	case k.Is(quantity.Length) && s.Units.Inches:
		steps = []float64{quantity.MmPerInch / 64, quantity.MmPerInch / 1000, quantity.MmPerInch / 10000}
	case k.Is(quantity.Length):
		steps = []float64{0.1, 0.01, 0.001}
	case k.Is(quantity.Angle):
		steps = []float64{quantity.Degree / 10, quantity.Degree / 100}
	default:
		size := math.Pow(10, math.Floor(math.Log10(math.Max(math.Abs(s.Dims[dim].Value), 1e-6))))
		steps = []float64{size / 100, size / 10000}
	}
	g := s.Problem.Graph
	if sum := g.Nodes[g.Dims[dim]].A; sum != expr.None && g.Nodes[sum].Op == expr.Round {
		if step := math.Abs(s.Values.At(g.Nodes[sum].B)); step > 0 {
			return []float64{step}
		}
	}
	if v := s.Dims[dim].Value / steps[0]; math.Abs(v-math.Round(v)) > 1e-6 {
		return steps[1:] // who writes 6 thou works to thou
	}
	return steps
}

// HasCase reports whether the sketch has a case of that name.
func (s *Sketch) HasCase(name string) bool {
	for _, c := range each[*syntax.Case](s) {
		if c.Name.Text == name {
			return true
		}
	}
	return false
}

// washers gathers the thicknesses at hand.
func (l *loader) washers() {
	var all []syntax.Expr
	for _, s := range each[*syntax.Washers](l.sketch) {
		all = append(all, s.Thick...)
	}
	l.sketch.Washers = l.rising(all)
}
