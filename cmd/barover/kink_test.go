package main

import (
	"fmt"
	"math"
	"testing"
)

// How far a round-ended crank reaches along a line, its shaft on a range: from half its width beyond the shaft to that beyond the
// pin. Over half the turn the shaft's end is level, so that the sum has a kink along the turn while the range moves it everywhere.
func TestReachWithAKinkAcrossARange(t *testing.T) {
	const throw, wide, from, to = 24.7653, 5.6963, -0.6966, 3.4927
	for _, heading := range []float64{-32.7, 0, 90, 141} {
		up := math.Sin(heading * math.Pi / 180)
		low, high := math.Min(from*up, to*up)+wide/2, math.Max(from*up, to*up)+throw+wide/2
		text := fmt.Sprintf(`units mm
turn crank = -48.1 to 311.9 step 5
travel up = %v to %v step 0.5
point shaft at 0, up
point pin
length shaft pin = %v
angle shaft pin = crank
part crank from shaft to pin
profile crank.web across 0 to 5
   strip 0, 0 to %v, 0 wide %v round
line rule through 0, 0 heading %v
keep high(crank.web, rule) below 40
`, from, to, throw, throw, wide, heading)
		if q := answered(t, text).Checks[0]; q.Sure != "proved" || math.Abs(*q.Least-low) > 3e-4 || math.Abs(*q.Greatest-high) > 3e-4 {
			t.Errorf("heading %v: %v, %v to %v, want %v to %v", heading, q.Sure, *q.Least, *q.Greatest, low, high)
		}
	}
}

// A bent crank reaches as far at the most; where two of its arcs cross, its halves are less certain than the whole.
func TestReachOfABendAcrossARange(t *testing.T) {
	const throw, wide, low, high = 26.9407, 3.9221, -3.2, 1.1
	up := math.Sin(5.3 * math.Pi / 180)
	text := fmt.Sprintf(`units mm
turn crank = 82.4 to 442.4 step 5
travel up = %v to %v step 0.5
point shaft at 0, up
point pin
length shaft pin = %v
angle shaft pin = crank
part crank from shaft to pin
profile crank.web across 0 to 5
   strip 0, 0 to %v, 0 wide %v radius 58.7821 left round
line rule through 0, 0 heading 5.3
keep high(crank.web, rule) below 40
`, low, high, throw, throw, wide)
	if q, want := answered(t, text).Checks[0], throw+wide/2+high*up; q.Sure != "proved" || math.Abs(*q.Greatest-want) > 3e-4 {
		t.Errorf("%v, greatest %v, want %v", q.Sure, *q.Greatest, want)
	}
}
