package solver

import "math"

// Fill finds what to put into a gap, mm, that is wider than most at its largest: one or two of the thicknesses in stock, mm,
// that leave at least, at its smallest, and at most what is asked; one rather than two (more would tilt), and of those what
// leaves the least. Leaves is what they leave of the smallest. NaN is no limit; without a lower one nothing below zero is
// left. It returns nil where nothing in stock serves, and where the gap is not too wide.
func Fill(smallest, largest, least, most float64, stock []float64) (washers []float64, leaves float64) {
	if !(largest > most) {
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
