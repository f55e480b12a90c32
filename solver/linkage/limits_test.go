package linkage

import (
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/trial/draws"
)

// TestLimits compares the end of a motion on a dead centre, and positions beside it, to closed forms. On random four-bars
// coupler and rocker lie in one line there (cosine rule); on random slider-cranks the rod is square to its bore.
func TestLimits(t *testing.T) {
	const seed = 3
	rnd := rand.New(rand.NewPCG(seed, 0))
	bars, sliders := 0, 0
	for i := range draws.Of(900) {
		w, ok := randomLimit(rnd, i%2 == 0)
		if !ok {
			continue
		}
		if i%2 == 0 {
			bars++
		} else {
			sliders++
		}
		mo := w.s.motion(t, w.from/deg, w.to/deg, 1+5*rnd.Float64())
		end := mo.Spans()[0][1]
		if len(mo.Broken()) == 0 || !(math.Abs(end-w.end) < 1e-12*w.steep) {
			t.Fatalf("case %d, %s: ends at %.16g, want %.16g, broken %v", i, w.name, end, w.end, mo.Broken())
		}
		if b := mo.Broken()[0]; b.From != end {
			t.Errorf("case %d: broken from %.16g, and the span ends at %.16g", i, b.From, end)
		}
		var p Pose
		if got := mo.At(end, &p); got != DeadCentre || !(p.Point[w.point].Sub(w.at).Len() < 1e-11*w.size*w.steep) {
			t.Fatalf("case %d, %s: %v, %v at the end, want %v", i, w.name, got, p.Point[w.point], w.at)
		}
		var at expr.Context
		mo.Speeds(&p, &at)
		if x, y := at.DX[w.point], at.DY[w.point]; !math.IsNaN(x) || !math.IsNaN(y) {
			t.Errorf("case %d, %s: speed %g, %g on the dead centre, where there is none", i, w.name, x, y)
		}
		if mo.Rates(&p, &at); !math.IsNaN(at.DDX[w.point]) {
			t.Errorf("case %d, %s: acceleration %g on the dead centre", i, w.name, at.DDX[w.point])
		}
		if got := mo.At(end+1e-6, &p); got != NoAssembly {
			t.Errorf("case %d: %v beyond the end", i, got)
		}
		w.nears(t, i, mo, end)
	}
	if bars < draws.Of(100) || sliders < draws.Of(100) {
		t.Errorf("%d four-bars and %d slider-cranks: too few", bars, sliders)
	}
}

// nears requires positions beside the end to differ from it as the square root of what is left of the turn.
func (w *limited) nears(t *testing.T, i int, mo *Motion, end float64) {
	t.Helper()
	var p Pose
	before := 0.0
	for k := 5; k <= 13; k++ {
		left := math.Pow(10, -float64(k))
		got := mo.At(end-left, &p)
		if got > DeadCentre {
			t.Fatalf("case %d, %s: %v %g before the end", i, w.name, got, left)
		}
		left = end - p.Turn // as rounded
		way := p.Point[w.point].Sub(w.at).Len() / math.Sqrt(left)
		if off := w.misses(&p); !(off < 1e-11*w.size) {
			t.Errorf("case %d, %s: misses its lengths by %g, %g before the end", i, w.name, off, left)
		}
		if k > 8 && k < 12 && !(math.Abs(way/before-1) < 0.02*w.steep) {
			t.Errorf("case %d, %s: %g of the root of the rest, %g before the end, and %g before", i, w.name, way, left, before)
		}
		before = way
	}
}

// limited is a linkage that cannot go on beyond a turn, by a closed form.
type limited struct {
	name          string
	s             *draft
	from, to, end float64 // rad
	point         int     // and where it is at the end
	at            plane.Vec
	size, steep   float64 // steep: how badly the turn is known from the sides of the triangle
	misses        func(p *Pose) float64
}

func randomLimit(rnd *rand.Rand, bar bool) (w limited, ok bool) {
	size := func() float64 { return math.Exp(rnd.Float64()*2 + 3) }
	a, b := size(), size()
	if !bar {
		rise := (rnd.Float64() - 0.5) * a
		sin := (rise + b) / a
		if !(sin < 0.98) || !((rise-b)/a < -0.05) || !(math.Abs(rise) < 0.9*b) {
			return w, false
		}
		w.end = math.Asin(sin)
		w.from, w.to = 0, w.end+0.3
		w.s = newDraft()
		o, base := w.s.fixed("shaft", 0, 0), w.s.fixed("base", 0, rise)
		c, x := w.s.found("crankpin"), w.s.near("crosspin", a+math.Sqrt(b*b-rise*rise), rise)
		w.s.crank(o, c, a)
		w.s.length(c, x, w.s.num(b))
		w.s.slide(x, w.s.line("bore", base, w.s.num(0)))
		w.name, w.point, w.at, w.size, w.steep = "slider-crank", x, plane.Vec{X: a * math.Cos(w.end), Y: rise}, a+b, 1/(1-sin)
		w.misses = func(p *Pose) float64 {
			return math.Max(math.Abs(p.Point[c].Sub(p.Point[x]).Len()-b), math.Abs(p.Point[x].Y-rise))
		}
		return w, true
	}
	c, d := size(), size()
	cos := (a*a + d*d - (b+c)*(b+c)) / (2 * a * d)
	in := math.Abs(a-d) < math.Abs(b-c)
	if !(math.Abs(cos) < 0.98) || in {
		return w, false
	}
	w.end = math.Acos(cos)
	w.from, w.to = w.end-0.5, w.end+0.2
	pin, pivot := plane.Polar(w.from).Scale(a), plane.Vec{X: d}
	q := circles(pin, b, pivot, c, float64(rnd.IntN(2))*2-1)
	if math.IsNaN(q.X) {
		return w, false
	}
	var p int
	w.s, p, w.point = fourBar(a, b, c, d, q.X, q.Y)
	pin = plane.Polar(w.end).Scale(a)
	w.at = pin.Add(pivot.Sub(pin).Scale(b / (b + c)))
	w.name, w.size, w.steep = "four-bar", a+b+c+d, 1/(1-math.Abs(cos))
	w.misses = func(pose *Pose) float64 {
		q := pose.Point[w.point]
		return math.Max(math.Abs(q.Sub(pose.Point[p]).Len()-b), math.Abs(q.Sub(pivot).Len()-c))
	}
	return w, true
}

// TestLimitsTogether: after a gap the motion begins on a dead centre too. Where two rods of one crank reach their dead centres
// at one turn, both end there, and a point carried by the first rod is solved there as well.
func TestLimitsTogether(t *testing.T) {
	s := newDraft()
	o := s.fixed("shaft", 0, 0)
	c := s.found("crankpin")
	s.crank(o, c, 50)
	up, down := s.near("up", 70, 0), s.near("down", -15, 0)
	bore := s.line("bore", o, s.num(0))
	s.length(c, up, s.num(30))
	s.slide(up, bore)
	s.length(c, down, s.num(30))
	s.slide(down, bore)
	far := s.near("far", 120, 0)
	s.length(up, far, s.num(45))
	s.slide(far, s.line("high", s.fixed("base", 0, 20), s.num(0)))
	mo := s.motion(t, 0, 360, 1)
	end := math.Asin(30. / 50)
	for _, w := range [][2]float64{{end, 1}, {math.Pi - end, -1}, {math.Pi + end, -1}, {2*math.Pi - end, 1}} {
		var p Pose
		turn := math.NaN()
		for _, span := range mo.Spans() {
			for _, e := range span {
				if math.Abs(e-w[0]) < 1e-12 {
					turn = e
				}
			}
		}
		if got := mo.At(turn, &p); w[1] > 0 && got != DeadCentre {
			t.Fatalf("%v at %g, spans %v", got, w[0], mo.Spans())
		} else if w[1] < 0 {
			continue
		}
		for _, x := range []int{up, down} {
			wantPlace(t, "crosspin", p.Point[x], 40*w[1], 0, 1e-12)
		}
		wantPlace(t, "far pin", p.Point[far], 40*w[1]+math.Sqrt(45*45-20*20), 20, 1e-12)
		var at expr.Context
		mo.Speeds(&p, &at)
		for _, x := range []int{up, down, far} {
			if !math.IsNaN(at.DX[x]) {
				t.Errorf("point %d has a speed of %g on the dead centre", x, at.DX[x])
			}
		}
	}
}

// A point by a root ends where the root does, to the last digits.
func TestLimitOfRoot(t *testing.T) {
	s := newDraft()
	o := s.fixed("o", 0, 0)
	p := s.at("p", s.num(3), s.g.Unary(expr.Sqrt, s.g.Sub(s.num(1), s.turn())))
	q := s.near("q", 12, 0)
	s.length(p, q, s.num(10))
	s.slide(q, s.line("l", o, s.num(0)))
	mo := s.motion(t, 0, 90, 1)
	end := mo.Spans()[0][1]
	wantNumber(t, "end", end, 1, 1e-14)
	var at Pose
	if got := mo.At(end, &at); got > DeadCentre {
		t.Fatal(got)
	}
	wantPlace(t, "p", at.Point[p], 3, 0, 2e-8)
	wantPlace(t, "q", at.Point[q], 13, 0, 1e-12)
}
