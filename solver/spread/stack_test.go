package spread_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver/machine"
	"barover/solver/spread"
	"barover/solver/trial/engine"
)

// even is a stack of parts that count whole, each with as much either way.
func even(halves ...float64) spread.Stack {
	var s spread.Stack
	for i, h := range halves {
		s = append(s, spread.Part{Dim: i, Slope: 1, Lower: -h, Upper: h})
	}
	return s
}

func repeat(h float64, n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = h
	}
	return out
}

// Published stacks.
func TestPublishedStacks(t *testing.T) {
	chase := even(0.0015, 0.008, 0.0025, 0.002, 0.006, 0.002, 0.0025)
	tests := []struct {
		source     string
		stack      spread.Stack
		inflate    float64
		worst, rss float64
	}{
		{"K. W. Chase, Basic Tools for Tolerance Analysis, shaft and bearing of Greenwood and Chase 1987; numbers from memory", chase, 1, 0.0245, 0.01107925990},
		{"published worked figures, five parts of 0.1", even(repeat(0.1, 5)...), 1, 0.5, 0.2236067977},
		{"published worked figures, ten parts of 0.1", even(repeat(0.1, 10)...), 1, 1.0, 0.3162277660},
		{"published worked example, housing, spacer, ring and shoulder", even(0.10, 0.05, 0.03, 0.05), 1, 0.23, 0.1260952021},
		{"A. Bender 1962, factor 1.5; from memory", even(repeat(0.1, 5)...), 1.5, 0.5, 0.3354101966},
	}
	for _, c := range tests {
		if got := c.stack.WorstCase(); !(math.Abs(got-c.worst) <= 1e-9) {
			t.Errorf("%s: worst case %v, want %v", c.source, got, c.worst)
		}
		if got := c.stack.RSS(c.inflate); !(math.Abs(got-c.rss) <= 1e-9) {
			t.Errorf("%s: root sum square %v, want %v", c.source, got, c.rss)
		}
	}
}

// Allocation by proportional scaling: two bearings and a ring are bought, the rest is scaled to ± 0.015 (K. W. Chase, as
// above, who prints 0.47222 and 1.39526; from memory).
func TestScaling(t *testing.T) {
	s := even(0.0015, 0.008, 0.0025, 0.002, 0.006, 0.002, 0.0025)
	for _, bought := range []int{0, 2, 6} {
		s[bought].Fixed = true
	}
	worst, rss := s.Scale(0.015, 1)
	if !(math.Abs(worst-0.4722222) <= 1e-6) || !(math.Abs(rss-1.3952632) <= 1e-6) {
		t.Errorf("got %v and %v, want 0.4722222 and 1.3952632", worst, rss)
	}
	if got := 0.008 * worst; !(math.Abs(got-0.0037778) <= 1e-6) {
		t.Errorf("the shaft gets %v in the worst case, want 0.0037778", got)
	}
	if got := 0.008 * rss; !(math.Abs(got-0.0111621) <= 1e-6) {
		t.Errorf("the shaft gets %v by root sum square, want 0.0111621", got)
	}
	if worst, rss := s.Scale(0.001, 1); worst != 0 || rss != 0 {
		t.Errorf("with 0.001, less than what is bought takes: got %v and %v, want zero", worst, rss)
	}
	if worst, _ := even().Scale(1, 1); !math.IsInf(worst, 1) {
		t.Errorf("nothing to scale: got %v, want no end", worst)
	}
}

// By hand: three bars of 12 with 0 to 0.1 and 0.15 of room keep half of it, and a hole and a shaft with 0.043 each to the looser
// side and 0.05 of room keep 0.05/0.086.
func TestScalingOfOneSided(t *testing.T) {
	side := func(slope, lower, upper float64) spread.Part {
		return spread.Part{Slope: slope, Lower: lower, Upper: upper}
	}
	for _, c := range []struct {
		stack             spread.Stack
		room, worst, root float64
	}{
		{spread.Stack{side(-1, 0, 0.1), side(-1, 0, 0.1), side(-1, 0, 0.1)}, 0.15, 0.5, 1 / (1 + 1/math.Sqrt(3))},
		{spread.Stack{side(-1, 0, 0.043), side(1, -0.043, 0)}, 0.05, 0.05 / 0.086, 0.05 / (0.043 * (1 + math.Sqrt2/2))},
		{spread.Stack{side(-1, 0, 0.1), side(1, 0, 0.1)}, 0.05, 0.5, 0.05 / (0.05 * math.Sqrt2)},
		{spread.Stack{side(1, 0, 0.1)}, 0, math.Inf(1), math.Inf(1)},
		{spread.Stack{side(-1, 0, 0.1)}, 0, 0, 0},
	} {
		worst, root := c.stack.Scale(c.room, 1)
		if !near(worst, c.worst) || !near(root, c.root) {
			t.Errorf("%v with room %v: got %v and %v, want %v and %v", c.stack, c.room, worst, root, c.worst, c.root)
		}
	}
}

func near(a, b float64) bool { return a == b || math.Abs(a-b) <= 1e-9 }

// With its open tolerances cut, or opened, to the factor found, a stack loses just its room; at a little more, more than that.
func TestScaledStackLosesItsRoom(t *testing.T) {
	r := rand.New(rand.NewPCG(*seed, 5))
	tried := 0
	for range 2000 {
		var s spread.Stack
		for i := range 1 + r.IntN(5) {
			a, b := r.Float64()-0.6, r.Float64()-0.6
			s = append(s, spread.Part{Dim: i, Slope: 4*r.Float64() - 2, Lower: min(a, b), Upper: max(a, b), Fixed: r.IntN(4) == 0})
		}
		room, inflate := 2*r.Float64(), 1+r.Float64()/2
		cut := func(k float64) (worst, root float64) {
			c := append(spread.Stack(nil), s...)
			for i := range c {
				if !c[i].Fixed {
					c[i].Lower, c[i].Upper = k*c[i].Lower, k*c[i].Upper
				}
			}
			return room + c.Middle() - c.WorstCase(), room + c.Middle() - c.RSS(inflate)
		}
		worst, root := s.Scale(room, inflate)
		atZero, rootAtZero := cut(0)
		for _, c := range []struct {
			k, zero float64
			of      func(float64) float64
		}{
			{worst, atZero, func(k float64) float64 { v, _ := cut(k); return v }},
			{root, rootAtZero, func(k float64) float64 { _, v := cut(k); return v }},
		} {
			switch {
			case math.IsInf(c.k, 1):
				if !(c.zero >= -1e-9) || !(c.of(1000) >= -1e-6) {
					t.Fatalf("%v with room %v: no end, but at zero %v is left and at 1000 %v", s, room, c.zero, c.of(1000))
				}
			case c.k == 0:
				if !(c.zero <= 1e-9) {
					t.Fatalf("%v with room %v: zero, but %v is left there", s, room, c.zero)
				}
			default:
				tried++
				if !(math.Abs(c.of(c.k)) <= 1e-9*(1+c.k)) || !(c.of(1.01*c.k) < 0) {
					t.Fatalf("%v with room %v: at %v %v is left, at a little more %v", s, room, c.k, c.of(c.k), c.of(1.01*c.k))
				}
			}
		}
	}
	if tried < 1000 {
		t.Errorf("only %d factors tried", tried)
	}
}

// Three standard deviations of a normal law hold 0.9973002039 (standard normal table): where the limits stand at three,
// sizes are drawn from that share of the whole law. Their spread is then that of a normal law cut off there, 0.98658 of
// the whole one's; of an even law it is 1/√3.
func TestLaws(t *testing.T) {
	inside := math.Erf(3 / math.Sqrt2)
	if !(math.Abs(inside-0.9973002039) <= 1e-9) {
		t.Errorf("inside three standard deviations: got %v", inside)
	}
	cut := math.Sqrt(1-2*3*math.Exp(-4.5)/math.Sqrt(2*math.Pi)/inside) / 3
	for law, want := range map[spread.Law]float64{spread.Normal: cut, spread.Even: 1 / math.Sqrt(3)} {
		r := rand.New(rand.NewPCG(*seed, 3))
		var sum, sum2 float64
		const n = 200_000
		for range n {
			x := law.Draw(r)
			if !(x >= -1 && x <= 1) {
				t.Fatalf("%v draws %v, beyond the limits", law, x)
			}
			sum, sum2 = sum+x, sum2+x*x
		}
		if dev := math.Sqrt(sum2 / n); !(math.Abs(dev-want) <= 0.003) || !(math.Abs(sum/n) <= 0.004) {
			t.Errorf("%v: mean %v, deviation %v; want 0, %v", law, sum/n, dev, want)
		}
	}
}

// Wilson's interval: 0 of 10 and 5 of 10 as tables of it have them at 95 in 100, and it holds the share always.
func TestInterval(t *testing.T) {
	const z = 1.959963984540054
	tests := []struct {
		k, n      int
		low, high float64
	}{
		{0, 10, 0, 0.277533}, // z²/(n + z²)
		{5, 10, 0.236593, 0.763407},
		{10, 10, 0.722467, 1},
	}
	for _, c := range tests {
		low, high := spread.Interval(c.k, c.n, z)
		if !(math.Abs(low-c.low) <= 1e-6) || !(math.Abs(high-c.high) <= 1e-6) {
			t.Errorf("%d of %d: got %v to %v, want %v to %v", c.k, c.n, low, high, c.low, c.high)
		}
	}
	for n := 1; n < 60; n++ {
		for k := range n + 1 {
			p := float64(k) / float64(n)
			if low, high := spread.Interval(k, n, z); !(low <= p && p <= high && low >= 0 && high <= 1) {
				t.Errorf("%d of %d: %v to %v", k, n, low, high)
			}
		}
	}
}

// What a progress is told of never passes the number of its pieces. Of the engines drawn it grows, to all of them.
func TestProgress(t *testing.T) {
	e := engine.New().Set("pin_length", 7.5)
	last, before := 0, 0
	carried(t, e, machine.Options{Progress: func(of string, done, total int) {
		switch {
		case done < 1 || done > total:
			t.Errorf("told %d of %d %s", done, total, of)
		case of != "engines drawn":
			before++
		case done < last || total != 130:
			t.Errorf("told %d of %d %s after %d", done, total, of, last)
		default:
			last = done
		}
	}}, 130, within(e, "pin_length", -0.1, 0.1))
	if last != 130 || before == 0 {
		t.Errorf("ended at %d of 130; before that told of %d pieces", last, before)
	}
}
