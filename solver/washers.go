package solver

import "math"

// Fill finds what to put into a gap, mm, whose largest opening is wider than most. It takes one or two of the thicknesses
// in stock, mm, that leave at least least of the smallest opening, and at most most of the largest. One is better than
// two (more would tilt); of equal numbers the best leaves least. Leaves is what remains of the smallest opening. NaN is
// no limit; without a lower limit nothing below zero may remain. It returns nil where nothing in stock serves, and where
// the gap is not too wide.
func Fill(smallest, largest, least, most float64, stock []float64) (washers []float64, leaves float64) {
	if !(largest > most+MeetsLength) {
		return nil, math.NaN()
	}
	if math.IsNaN(least) {
		least = 0
	}
	serves := func(rest float64) bool {
		return rest >= least-MeetsLength && rest+largest-smallest <= most+MeetsLength
	}
	leaves = math.Inf(1)
	for _, a := range stock {
		if rest := smallest - a; serves(rest) && rest < leaves {
			washers, leaves = []float64{a}, rest
		}
	}
	if washers != nil {
		return washers, leaves
	}
	for i, a := range stock {
		for _, b := range stock[i:] {
			if rest := smallest - a - b; serves(rest) && rest < leaves {
				washers, leaves = []float64{a, b}, rest
			}
		}
	}
	if washers == nil {
		leaves = math.NaN()
	}
	return washers, leaves
}
