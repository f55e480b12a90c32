package seek_test

import (
	"flag"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/machine"
	"barover/solver/plane"
	"barover/solver/seek"
	"barover/solver/trial/engine"
)

var seed = flag.Uint64("seed", 7, "seed of the random tests")

// sought looks for the ranges of one dimension of an engine.
func sought(t *testing.T, e *engine.Engine, dim string, from, to float64, checks ...int) *seek.Answer {
	t.Helper()
	q := seek.Query{Problem: e.Problem, Vary: e.Vary(), Dim: e.Number(dim), Now: e.Value(dim), From: from, To: to, Checks: checks}
	a, err := seek.Seek(t.Context(), q, machine.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// lipGap is the least distance, mm, of the lip's corner from the edge of the rod over the turn: the tapered rod placed by
// hand, 0.01° by 0.01° and then along a parabola.
func lipGap(throw, rod, mouth, half float64) float64 {
	at := func(th float64) float64 {
		pin := plane.Polar(th).Scale(throw)
		cross := plane.Vec{X: pin.X + math.Sqrt(rod*rod-pin.Y*pin.Y)}
		u := cross.Sub(pin).Unit()
		a, b := pin.Add(u.Turned().Scale(12.7/2)), cross.Add(u.Turned().Scale(9.525/2))
		return b.Sub(a).Unit().Cross(plane.Vec{X: mouth, Y: half}.Sub(a))
	}
	const step = 0.01 * math.Pi / 180
	best, where := math.Inf(1), 0.0
	for th := 0.2; th < 2.8; th += step {
		if v := at(th); v < best {
			best, where = v, th
		}
	}
	l, r := at(where-step), at(where+step)
	return best - (r-l)*(r-l)/(8*(l+r-2*best))
}

// The bore of a trunk guide in which the rod just clears the lip: by the distance computed by hand, halved down.
func TestBoreForTheRodAtTheLip(t *testing.T) {
	lo, hi := 13.0, 17.0
	for range 60 {
		if mid := (lo + hi) / 2; lipGap(25.4, 127, 88.9, mid) < 0.8 {
			lo = mid
		} else {
			hi = mid
		}
	}
	a := sought(t, engine.New(), "half_bore", 10, 20, engine.Lip)
	if len(a.Ranges) != 1 || !a.NowHolds {
		t.Fatalf("got %+v; want one range that holds now", a)
	}
	r := a.Ranges[0]
	if !(math.Abs(r.From.At-hi) <= 1e-4) || r.To.At != 20 {
		t.Errorf("from %v to %v; want from %v to 20", r.From.At, r.To.At, hi)
	}
	if len(r.From.Stops) != 1 || r.From.Stops[0].Check != engine.Lip || !r.To.Stops[0].Limit {
		t.Errorf("stopped by %+v and %+v; want the lip, and the end of the search", r.From.Stops, r.To.Stops)
	}
	if r.From.Sure != solver.Proved || r.To.Sure != solver.Proved {
		t.Errorf("the ends are %v and %v; want both proved", r.From.Sure, r.To.Sure)
	}
}

// Ranges that plain sums give: a cover, a stack of widths with a limit on either side, a limit that is itself the
// dimension, and a gap that is met on both sides of the bearing.
func TestRangesInClosedForm(t *testing.T) {
	type span struct{ from, to float64 }
	tests := []struct {
		name, dim string
		from, to  float64
		checks    []int
		want      []span
	}{
		{"cover behind the stroke", "cover", 140, 165, []int{engine.End}, []span{{152.4, 165}}},
		{"pin within a half", "pin_length", 2, 14, []int{engine.Pin}, []span{{7.5, 8.5}}},
		{"pin within a half, a narrow one between two values looked at", "pin_length", -100, 120, []int{engine.Pin}, []span{{7.5, 8.5}}},
		{"rod on either side of the bearing", "rod_out", -12, 20, []int{engine.Beside}, []span{{-9.5, -1.5}, {9.5, 17.5}}},
		{"rod follows, and its pin with it", "rod_out", -12, 20, []int{engine.Pin, engine.Beside}, []span{{-9.5, -1.5}, {9.5, 17.5}}},
	}
	for _, c := range tests {
		a := sought(t, engine.New(), c.dim, c.from, c.to, c.checks...)
		var got []span
		for _, r := range a.Ranges {
			got = append(got, span{r.From.At, r.To.At})
		}
		ok := slices.EqualFunc(got, c.want, func(g, w span) bool { return math.Abs(g.from-w.from) <= 1e-4 && math.Abs(g.to-w.to) <= 1e-4 })
		if !ok {
			t.Errorf("%s: got %v, want %v", c.name, got, c.want)
		}
	}
}

// A rod too short to reach round stops a range, and the statement that cannot be met is named.
func TestAssemblyStopsARange(t *testing.T) {
	a := sought(t, engine.New(), "rod", 10, 60, engine.Travels)
	if len(a.Ranges) != 1 || a.Broken != nil {
		t.Fatalf("got %+v; want one range", a)
	}
	if b := sought(t, engine.New().Set("rod", 20), "rod", 10, 60, engine.Travels); b.Broken == nil || b.NowHolds {
		t.Errorf("with a rod of 20 got %+v; want it not to be assembled", b)
	}
	r := a.Ranges[0]
	if !(math.Abs(r.From.At-25.4) <= 1e-4) || r.From.Stops[0].Broken == nil {
		t.Errorf("from %v, stopped by %+v; want from 25.4, where the rod is as long as the throw", r.From.At, r.From.Stops)
	}
}

// A check that has nothing to do with the dimension and falls short leaves no range; without it there is one.
func TestNeverAndIdle(t *testing.T) {
	e := engine.New().Set("pin_length", 20)
	a := sought(t, e, "half_bore", 10, 20)
	if len(a.Ranges) != 0 || !slices.Equal(a.Never, []int{engine.Pin}) || a.NowHolds || !slices.Equal(a.Short, []int{engine.Pin}) {
		t.Errorf("got %+v; want no range because of the pin", a)
	}
	a = sought(t, engine.New(), "cover", 150, 160, engine.Travels)
	if !a.Idle || len(a.Ranges) != 1 || a.Ranges[0].From.At != 150 || a.Ranges[0].To.At != 160 {
		t.Errorf("got %+v; want the whole of what was searched", a)
	}
}

// beyond is how far beyond an end it is tried, mm: a check may miss its limit by 1e-4 and still hold, and may change slowly.
const beyond = 0.02

// Within a range everything holds and a little beyond its ends something does not, in engines of random dimensions and
// for every dimension.
func TestRangesHold(t *testing.T) {
	t.Logf("seed %d", *seed)
	rng := rand.New(rand.NewPCG(*seed, 1))
	ends := 0
	for range 3 {
		e := engine.New()
		for _, d := range []string{"throw", "rod", "mouth", "rod_deep", "rod_out"} {
			e.Set(d, e.Value(d)*(1+0.1*(rng.Float64()-0.5)))
		}
		for i := range e.Problem.Dims {
			name := e.Problem.Dims[i].Name
			from, to := seek.Limits(seek.Length, e.Value(name), 150)
			a := sought(t, e, name, from, to)
			for _, r := range a.Ranges {
				for _, x := range []float64{r.From.At, r.From.At + rng.Float64()*(r.To.At-r.From.At), r.To.At} {
					if !holds(t, e, i, x) {
						t.Errorf("%s = %v in %v to %v: something falls short", name, x, r.From.At, r.To.At)
					}
				}
				for x, end := range map[float64]seek.End{r.From.At - beyond: r.From, r.To.At + beyond: r.To} {
					if end.Stops[0].Limit {
						continue
					}
					ends++
					if holds(t, e, i, x) {
						t.Errorf("%s = %v beyond %v to %v: everything holds", name, x, r.From.At, r.To.At)
					}
				}
			}
		}
	}
	if ends < 25 {
		t.Errorf("only %d ends were tried", ends)
	}
}

func holds(t *testing.T, e *engine.Engine, dim int, x float64) bool {
	t.Helper()
	m, err := e.Vary().Machine(map[int]float64{dim: x})
	if err != nil {
		return false
	}
	res, err := m.Study(t.Context(), machine.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return res.OK()
}

func TestLimits(t *testing.T) {
	tests := []struct {
		name      string
		kind      seek.Kind
		now, size float64
		from, to  float64
	}{
		{"half either way", seek.Length, 100, 150, 50, 150},
		{"a thickness stays one", seek.Length, 4, 150, 0.4, 11.5},
		{"below zero stays there", seek.Length, -4, 150, -11.5, -0.4},
		{"zero", seek.Length, 0, 100, -5, 5},
		{"an angle", seek.Angle, 1, 100, 1 - math.Pi/6, 1 + math.Pi/6},
		{"a number", seek.Number, 3, 100, 1.5, 4.5},
	}
	for _, c := range tests {
		from, to := seek.Limits(c.kind, c.now, c.size)
		if !(math.Abs(from-c.from) <= 1e-12) || !(math.Abs(to-c.to) <= 1e-12) {
			t.Errorf("%s: got %v to %v, want %v to %v", c.name, from, to, c.from, c.to)
		}
	}
}

// A dimension that gives a travel its range touches every check.
func TestDimensionOfATravel(t *testing.T) {
	e := engine.New()
	g := e.Problem.Graph
	reach := e.Number("rod_out")
	vary := func(change map[int]float64) (*solver.Problem, *expr.Values, error) {
		_, v, err := e.Vary()(change)
		p := *e.Problem
		p.Turn.To = p.Turn.From + v.At(g.Dims[reach])/2 // rad: 6 as drawn
		return &p, v, err
	}
	p, _, err := vary(nil)
	if err != nil {
		t.Fatal(err)
	}
	q := seek.Query{Problem: p, Vary: vary, Dim: reach, Now: 12, From: 10, To: 14, Checks: []int{engine.Travels}}
	a, err := seek.Seek(t.Context(), q, machine.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if a.Idle {
		t.Error("the turn follows from the dimension, and no check is said to have to do with it")
	}
}

// BenchmarkSeek looks for the ranges of one dimension with every check of a small engine.
func BenchmarkSeek(b *testing.B) {
	e := engine.New()
	q := seek.Query{Problem: e.Problem, Vary: e.Vary(), Dim: e.Number("half_bore"), Now: e.Value("half_bore"), From: 10, To: 20}
	for b.Loop() {
		if _, err := seek.Seek(b.Context(), q, machine.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
