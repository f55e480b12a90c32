package report

import (
	"strings"

	"barover/render/report/figures"
	"barover/sketch"
	"barover/sketch/quantity"
	"barover/solver"
)

// filling is what fills a gap that is too wide, and what it leaves of it.
type filling struct {
	Washers []figures.Figure `json:"washers"`
	Leaves  figures.Figure   `json:"leaves"`       // of the smallest opening
	UpTo    figures.Figure   `json:"leaves_up_to"` // of the largest

	sizes  []string // of the washers, for reading
	leaves string
}

// String says it as one would across the bench.
func (f *filling) String() string {
	if len(f.sizes) == 1 {
		return "a " + f.sizes[0] + " washer leaves " + f.leaves
	}
	return "washers of " + strings.Join(f.sizes, " and ") + " leave " + f.leaves
}

// atHand are the thicknesses to fill with where the sketch names none: what suppliers keep, common practice, no source.
// In mm; inch sizes for a sketch in inches.
func atHand(s *sketch.Sketch) []float64 {
	switch {
	case len(s.Washers) > 0:
		return s.Washers
	case s.Units.Inches:
		return []float64{25.4 / 64, 25.4 / 32, 25.4 * 3 / 64, 25.4 / 16, 25.4 * 3 / 32, 25.4 / 8}
	}
	return []float64{0.1, 0.2, 0.3, 0.5, 0.8, 1, 1.5, 2, 3}
}

// fill says what fills the gap of a finding; nil where it is not too wide or nothing at hand serves.
func (w Reporter) fill(f *solver.Finding) *filling {
	washers, leaves := solver.Fill(f.Least, f.Greatest, f.AtLeast, f.AtMost, atHand(w.Engine.Sketch))
	if len(washers) == 0 {
		return nil
	}
	fill := &filling{Leaves: figures.Of(w.Units, leaves, quantity.Length)}
	fill.UpTo = figures.Of(w.Units, leaves+f.Greatest-f.Least, quantity.Length)
	fill.leaves = fill.Leaves.Read(w.Units, quantity.Length)
	if most := fill.UpTo.Read(w.Units, quantity.Length); most != fill.leaves {
		fill.leaves += " to " + most
	}
	for _, mm := range washers {
		fill.Washers = append(fill.Washers, figures.Figure(w.Units.Of(mm)))
		fill.sizes = append(fill.sizes, w.Units.Size(mm))
	}
	return fill
}
