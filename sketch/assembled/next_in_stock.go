package assembled

import (
	"math"
	"slices"
)

// nextInStock is the next size from a value on, upward or downward, of some rising sizes; NaN where there is none.
func nextInStock(stock []float64, v float64, up bool) float64 {
	near := 1e-9 * math.Max(1, math.Abs(v))
	i, _ := slices.BinarySearch(stock, v-near)
	if !up {
		i, _ = slices.BinarySearch(stock, v+near)
		i--
	}
	if i < 0 || i >= len(stock) {
		return math.NaN()
	}
	return stock[i]
}
