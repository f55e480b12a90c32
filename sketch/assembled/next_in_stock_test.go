package assembled

import (
	"math"
	"testing"
)

func TestNextInStock(t *testing.T) {
	stock := []float64{3, 6, 6.35}
	for _, c := range []struct {
		v        float64
		up, down float64
	}{{2, 3, math.NaN()}, {3, 3, 3}, {3 + 1e-12, 3, 3}, {4, 6, 3}, {6.35, 6.35, 6.35}, {7, math.NaN(), 6.35}} {
		if up, down := nextInStock(stock, c.v, true), nextInStock(stock, c.v, false); !alike(up, c.up) || !alike(down, c.down) {
			t.Errorf("from %g: %g and %g, want %g and %g", c.v, up, down, c.up, c.down)
		}
	}
}

// alike reports whether two figures are one, or neither is any.
func alike(a, b float64) bool { return a == b || math.IsNaN(a) && math.IsNaN(b) }
