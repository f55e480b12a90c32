package main

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// deadCentreEnd is a linkage whose motion ends on a dead centre, by a closed form.
type deadCentreEnd struct {
	name            string
	text            string
	size, end       float64 // mm, degrees
	least, greatest float64 // of its measure, mm
}

// sliderEnd is a slider-crank whose crank is longer than its rod. Where its motion ends, the rod stands square to the bore. The
// pin and the rod's edge are then farther back than anywhere else, so there the rod is nearest to the post behind it.
func sliderEnd(rnd *rand.Rand) (w deadCentreEnd, ok bool) {
	size := math.Exp(rnd.Float64()*5 + 1)
	a, b := size, size*(0.3+0.6*rnd.Float64())
	rise := (rnd.Float64() - 0.5) * b
	sin := (rise + b) / a
	if !(sin < 0.98) || !(sin > 0.2) {
		return w, false
	}
	end := math.Asin(sin)
	back, wide, post := a*math.Cos(end), size/20, size/10
	hair := math.Min(1e-3, 1e-5*size)
	if hair < 2.5e-4 {
		hair = 2.5e-4 // what is missed by less than a ten-thousandth of a millimetre counts as met
	}
	w = deadCentreEnd{name: "slider-crank", size: 2 * size, end: end * 180 / math.Pi, least: back, greatest: math.NaN()}
	w.text = fmt.Sprintf(`units mm
turn crank = 0 to %v step %v
point o at 0, 0
point p
length o p = %v
angle o p = crank
line bore through 0, %v heading 0
point x near %v, %v
length p x = %v
slide x on bore
part rod from p to x
profile rod.shank across 0 to 1
  strip p to x wide %v round
profile frame.post across 0 to 1
  disc %v, %v dia %v
measure m = x(x)
keep x(x) above %v "holds"
keep x(x) above %v "falls short"
clear rod.shank frame.post by %v "holds"
clear rod.shank frame.post by %v "falls short"
`, math.Ceil(w.end)+float64(rnd.IntN(10)), 1+rnd.IntN(7), a, rise, a+math.Sqrt(b*b-rise*rise), rise, b, wide,
		back-size/4, rise, post, back-hair, back+hair, size/4-wide/2-post/2-hair, size/4-wide/2-post/2+hair)
	return w, true
}

// fourBarEnd is a four-bar linkage whose motion ends where coupler and rocker lie in one line. Its measure is taken square to
// that line: in that direction the joint moves as a square root of the turn.
func fourBarEnd(rnd *rand.Rand) (w deadCentreEnd, ok bool) {
	size := math.Exp(rnd.Float64()*5 + 1)
	len := func() float64 { return size * math.Exp(rnd.Float64()*1.5-0.75) }
	a, b, c, d := len(), len(), len(), len()
	cos := (a*a + d*d - (b+c)*(b+c)) / (2 * a * d)
	if !(math.Abs(cos) < 0.95) || math.Abs(a-d) < 1.1*math.Abs(b-c) {
		return w, false
	}
	end, side := math.Acos(cos), float64(2*rnd.IntN(2)-1)
	joint := func(turn float64) (x, y float64) {
		px, py := a*math.Cos(turn), a*math.Sin(turn)
		e := math.Hypot(d-px, py)
		u := (e*e + b*b - c*c) / (2 * e)
		v := side * math.Sqrt(math.Max(b*b-u*u, 0))
		ux, uy := (d-px)/e, -py/e
		return px + u*ux - v*uy, py + u*uy + v*ux
	}
	px, py := a*math.Cos(end), a*math.Sin(end)
	nx, ny := py/(b+c), (d-px)/(b+c)
	from := end - 0.4
	at := func(turn float64) float64 { x, y := joint(turn); return nx*x + ny*y }
	lo, hi := math.Inf(1), math.Inf(-1)
	const looks = 4000
	for i := range looks {
		v := at(from + (end-from)*float64(i)/looks)
		lo, hi = math.Min(lo, v), math.Max(hi, v)
	}
	last := ny*0 + nx*d
	w = deadCentreEnd{name: "four-bar", size: a + b + c + d, end: end * 180 / math.Pi, least: math.Min(lo, last), greatest: math.Max(hi, last)}
	x, y := joint(from)
	w.text = fmt.Sprintf(`units mm
turn crank = %v to %v step %v
point o at 0, 0
point r at %v, 0
point p
length o p = %v
angle o p = crank
point q near %v, %v
length p q = %v
length r q = %v
measure m = %v*x(q) + %v*y(q)
keep %v*x(q) + %v*y(q) above %v below %v "holds"
`, from*180/math.Pi, w.end+5*rnd.Float64(), 1+rnd.IntN(7), d, a, x, y, b, c, nx, ny, nx, ny, w.least-1e-5*w.size-2.5e-4, w.greatest+1e-5*w.size+2.5e-4)
	return w, true
}

// TestDeadCentreEnds compares the figures at the dead centre at which a motion ends to closed forms, and requires them to be
// proved up to there.
func TestDeadCentreEnds(t *testing.T) {
	const seed = 11
	rnd := rand.New(rand.NewPCG(seed, 0))
	dir, cases, worst := t.TempDir(), 0, 0.0
	for i := range 160 {
		w, ok := sliderEnd(rnd)
		if i%2 > 0 {
			w, ok = fourBarEnd(rnd)
		}
		if !ok {
			continue
		}
		cases++
		out, err := answerOf(dir, w.text)
		if err != nil {
			t.Fatalf("case %d: %v\n%s", i, err, w.text)
		}
		var a struct {
			Broken []struct{ From, To float64 }
			Checks []struct {
				Note, Sure string
				Ok         bool
				Unproved   []any
			}
			Measures []struct{ Least, Greatest float64 }
		}
		if err := json.Unmarshal(out, &a); err != nil {
			t.Fatal(err)
		}
		tol := math.Min(1e-3, 1e-5*w.size) / 100
		if w.name == "four-bar" {
			tol = 1e-6 * w.size // the closed form is evaluated at places only
		}
		off := math.Abs(a.Measures[0].Least - w.least)
		if !math.IsNaN(w.greatest) {
			off = math.Max(off, math.Abs(a.Measures[0].Greatest-w.greatest))
		}
		worst = math.Max(worst, off/w.size)
		if len(a.Broken) != 1 || !(math.Abs(a.Broken[0].From-w.end) < 1e-8) || !(off < tol) {
			t.Errorf("case %d, %s: off by %g of %g, ends %v, want %v\n%s", i, w.name, off, w.size, a.Broken, w.end, w.text)
		}
		for _, c := range a.Checks {
			if c.Ok != (c.Note == "holds") || c.Sure != "proved" || len(c.Unproved) > 0 {
				t.Errorf("case %d, %s: %+v\n%s", i, w.name, c, w.text)
			}
		}
	}
	t.Logf("%d cases, worst off by %.2g of the size", cases, worst)
	if cases < 60 {
		t.Errorf("only %d cases", cases)
	}
}
