package sketch

import (
	"fmt"
	"math"
	"slices"

	"barover/sketch/syntax"
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

// stock gathers the sizes to be had of each dimension.
func (l *loader) stock() {
	for i := range l.dims {
		if l.dims[i].stock == nil {
			continue
		}
		var sizes []float64
		for _, x := range l.dims[i].stock.Sizes {
			if v := l.figure(x); !math.IsNaN(v) {
				sizes = append(sizes, v)
			}
		}
		slices.Sort(sizes)
		l.sketch.Dims[i].Stock = slices.Compact(sizes)
	}
}

// NextInStock is the first of some sizes, rising, from a value on, upward or downward; NaN where there is none.
func NextInStock(stock []float64, v float64, up bool) float64 {
	near := 1e-9 * math.Max(1, math.Abs(v))
	if up {
		i, _ := slices.BinarySearch(stock, v-near)
		if i < len(stock) {
			return stock[i]
		}
		return math.NaN()
	}
	i, _ := slices.BinarySearch(stock, v+near)
	if i > 0 {
		return stock[i-1]
	}
	return math.NaN()
}
