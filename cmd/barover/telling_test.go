package main

import (
	"fmt"
	"math"
	"testing"
)

// An arm turned by a range comes nearest to a post at the end of the range, 40 − 2 from the shaft and half a bar aside. It holds by
// less than the least is proved to, and that is proved all the same.
func TestHoldsByLittleIsProved(t *testing.T) {
	const meets = 1e-4 // what a clear line may miss
	least := 40*math.Sin(30*math.Pi/180) - 2 - 1.5
	for _, margin := range []float64{2e-4, 2e-6, 4e-7} {
		text := fmt.Sprintf(`units mm
travel rev = -60deg to 60deg step 10deg
point shaft at 0, 0
point tip at 60*cos(rev), 60*sin(rev)
part arm from shaft to tip
profile arm.bar across 0 to 5
   strip 0, 0 to 60, 0 wide 3
profile frame.post across 0 to 5
   disc 0, 40 dia 4
clear arm.bar frame.post by %.9f
`, least+meets-margin)
		if q := answered(t, text).Checks[0]; q.Sure != "proved" || !q.OK || math.Abs(*q.Least-least) > 1e-9 {
			t.Errorf("by %v: %v, ok %v, least %.12g, want %.12g", margin, q.Sure, q.OK, *q.Least, least)
		}
	}
}
