package hunt

import (
	"math"
	"testing"
)

func TestLeastBetween(t *testing.T) {
	tests := []struct {
		name    string
		f       func(float64) float64
		a, m, b float64
		at      float64
		value   float64
		close   float64 // of the place
	}{
		{"parabola", func(x float64) float64 { return (x-0.3)*(x-0.3) + 2 }, 0, 0.5, 1, 0.3, 2, 1e-7},
		{"kink", func(x float64) float64 { return math.Abs(x - 0.123) }, -1, 0, 1, 0.123, 0, 1e-9},
		{"steep on one side", func(x float64) float64 { return math.Max(-x, 1000*x) }, -1, -0.1, 1, 0, 0, 1e-9},
		{"no number on the right", func(x float64) float64 {
			if x > 0.6 {
				return math.NaN()
			}
			return (x - 0.5) * (x - 0.5)
		}, 0, 0.4, 1, 0.5, 0, 1e-6},
	}
	for _, c := range tests {
		at, value := LeastBetween(c.f, c.a, c.m, c.b, c.f(c.m), 1e-10)
		if !(math.Abs(at-c.at) <= c.close) || !(math.Abs(value-c.value) <= 1e-6*c.close+1e-7) {
			t.Errorf("%s: got %v at %v, want %v at %v", c.name, value, at, c.value, c.at)
		}
	}
}

func TestRootBetween(t *testing.T) {
	tests := []struct {
		name string
		f    func(float64) float64
		a, b float64
		want float64
	}{
		{"line", func(x float64) float64 { return 2*x - 1 }, 0, 2, 0.5},
		{"cosine", math.Cos, 1, 2, math.Pi / 2},
		{"falling from right to left", math.Cos, 2, 1, math.Pi / 2},
		{"triple", func(x float64) float64 { return math.Pow(x-0.7, 3) }, 0, 1, 0.7},
		{"jump", func(x float64) float64 { return math.Copysign(1, x-0.25) }, 0, 1, 0.25},
		{"very unlike ends", func(x float64) float64 { return math.Expm1(40 * (x - 0.1)) }, 0, 1, 0.1},
		{"at an end", func(x float64) float64 { return x }, 0, 1, 0},
	}
	for _, c := range tests {
		looks := 0
		counted := func(x float64) float64 { looks++; return c.f(x) }
		got := RootBetween(counted, c.a, c.b, c.f(c.a), c.f(c.b), 1e-12)
		if looks > 60 || (c.name == "cosine" && looks > 9) {
			t.Errorf("%s: looked %d times", c.name, looks)
		}
		if !(math.Abs(got-c.want) <= 1e-11) && c.name != "triple" {
			t.Errorf("%s: got %v want %v", c.name, got, c.want)
		}
		if !(math.Abs(got-c.want) <= 1e-6) {
			t.Errorf("%s: got %v want %v", c.name, got, c.want)
		}
	}
}

func TestEdgeBetween(t *testing.T) {
	for _, want := range []float64{0.3, 1e-6, 0.999999} {
		got := EdgeBetween(func(x float64) bool { return x <= want }, 0, 1, 1e-12)
		if !(got <= want && want-got <= 1e-12) {
			t.Errorf("got %v want just below %v", got, want)
		}
	}
}
