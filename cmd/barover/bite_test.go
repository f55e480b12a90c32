package main

import (
	"fmt"
	"math"
	"testing"
)

// An arm has a hole wider than the arm, so that it ends in two points there, and a post passes between these. It comes nearest to
// the inner point, at post − point − half the post, whether it stands well within the hole or half out of it. A crescent has
// points likewise.
func TestBesideAHoleThatCutsThrough(t *testing.T) {
	for _, c := range []struct {
		hole, dia, wide, post, postDia float64
	}{
		{41.991194, 9.202768, 2.078568, 40.342, 3.045642},
		{42, 9.2, 3, 40.4, 5},
		{50, 20, 2, 41.5, 1},
	} {
		inner := math.Hypot(c.hole-math.Sqrt(c.dia*c.dia-c.wide*c.wide)/2, c.wide/2)
		outer := math.Hypot(c.hole+math.Sqrt(c.dia*c.dia-c.wide*c.wide)/2, c.wide/2)
		want := math.Min(c.post-inner, outer-c.post) - c.postDia/2
		for _, drive := range []string{"turn rev = 14.5 to 315.7 step 10", "travel rev = 14.5deg to 315.7deg step 10deg"} {
			text := fmt.Sprintf(`units mm
%s
point shaft at 0, 0
point tip at 80*cos(rev), 80*sin(rev)
part arm from shaft to tip
profile arm.bar across 0 to 5
   strip 0, 0 to 80, 0 wide %v round
   hole disc %v, 0 dia %v
profile frame.post across 0 to 5
   disc 0, %v dia %v
clear arm.bar frame.post by %v
`, drive, c.wide, c.hole, c.dia, c.post, c.postDia, want-0.01)
			if q := answered(t, text).Checks[0]; q.Sure != "proved" || !q.OK || math.Abs(*q.Least-want) > 5e-4 {
				t.Errorf("%s, hole %v: %v, ok %v, least %v, want %v", drive, c.hole, q.Sure, q.OK, *q.Least, want)
			}
		}
	}
}
