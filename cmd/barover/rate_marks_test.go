package main

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver/trial/draws"
)

// offsetSlider is a slider-crank whose bore lies off the shaft.
type offsetSlider struct{ throw, rod, off float64 }

// rates are the slider's speed and acceleration by the turn, mm/rad and mm/rad².
func (s offsetSlider) rates(turn float64) (speed, more float64) {
	sin, cos := math.Sincos(turn)
	f, df, ddf := s.throw*sin-s.off, s.throw*cos, -s.throw*sin
	root := math.Sqrt(s.rod*s.rod - f*f)
	return -s.throw*sin - f*df/root, -s.throw*cos - (df*df+f*ddf)/root - f*f*df*df/(root*root*root)
}

// rises is the first place at which a figure rises past zero, degrees.
func rises(f func(turn float64) float64) float64 {
	const looks = 7200
	for i := range looks {
		a, b := 2*math.Pi*float64(i)/looks, 2*math.Pi*float64(i+1)/looks
		if !(f(a) < 0 && f(b) >= 0) {
			continue
		}
		for range 60 {
			if mid := (a + b) / 2; f(mid) < 0 {
				a = mid
			} else {
				b = mid
			}
		}
		return b * 180 / math.Pi
	}
	return math.NaN()
}

// Marks on a speed and on an acceleration are proved in a keep, and at the right place, for one height of the bore and for a range.
func TestMarksOnRates(t *testing.T) {
	const seed = 21
	rnd := rand.New(rand.NewPCG(seed, 0))
	dir := t.TempDir()
	for i := range draws.Of(12) {
		s := offsetSlider{throw: 10 + 30*rnd.Float64(), off: 6*rnd.Float64() - 3}
		s.rod = s.throw * (2.5 + 2*rnd.Float64())
		reach := 0.0
		if i%2 > 0 {
			reach = 0.5
		}
		past := s.throw * (rnd.Float64() - 0.5)
		text := fmt.Sprintf(`units mm
turn crank = 0 to 360 step 5
travel rise = %v to %v step 0.25
point o at 0, 0
point p
length o p = %v
angle o p = crank
line bore through 0, %v + rise heading 0
point x near %v, 0
length p x = %v
slide x on bore
mark speed when rate(x(x)) rises past %v
mark more when rate(rate(x(x))) rises past %v
mark fast when rate(x(x)) is greatest
keep speed above -1 below 361
keep more above -1 below 361
keep fast above -1 below 361
keep at(x(x), more) above -1000
`, -reach, reach, s.throw, s.off, s.throw+s.rod, s.rod, past, past)
		lo, hi := [3]float64{}, [3]float64{}
		for k := range lo {
			lo[k], hi[k] = math.Inf(1), math.Inf(-1)
		}
		for n := range 41 {
			at := s
			at.off += reach * (float64(n)/20 - 1)
			for k, v := range [3]float64{
				rises(func(turn float64) float64 { speed, _ := at.rates(turn); return speed - past }),
				rises(func(turn float64) float64 { _, more := at.rates(turn); return more - past }),
				rises(func(turn float64) float64 { _, more := at.rates(turn + math.Pi); return -more }), // from the fastest on it falls
			} {
				if k == 2 {
					v = math.Mod(v+180, 360)
				}
				lo[k], hi[k] = math.Min(lo[k], v), math.Max(hi[k], v)
			}
		}
		out, err := answerOf(dir, text)
		if err != nil {
			t.Fatalf("case %d: %v\n%s", i, err, text)
		}
		var a struct {
			Checks []struct {
				Named, Sure     string
				Ok              bool
				Least, Greatest float64
				Unproved        []any
			}
		}
		if err := json.Unmarshal(out, &a); err != nil {
			t.Fatal(err)
		}
		for k, c := range a.Checks {
			if !c.Ok || c.Sure != "proved" || len(c.Unproved) > 0 {
				t.Errorf("case %d: %+v\n%s", i, c, text)
			}
			if k < 3 && !(math.Abs(c.Least-lo[k]) < 1e-4 && math.Abs(c.Greatest-hi[k]) < 1e-4) {
				t.Errorf("case %d: %s from %v to %v, want %v to %v\n%s", i, c.Named, c.Least, c.Greatest, lo[k], hi[k], text)
			}
		}
	}
}
