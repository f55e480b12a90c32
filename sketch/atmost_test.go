package sketch

import (
	"math"
	"testing"

	"barover/solver"
)

// TestAtMost: `clear … at most` is proved, and told where it is not met, for a pin over a flat bed, whose distance is a sine, and
// for a roller that follows a round cam and always touches it.
func TestAtMost(t *testing.T) {
	const pin = `turn crank = 0 to 360 step 5
travel lift = 0 to 1 step 1/4
point shaft at 0, lift
point pin
length shaft pin = 10
angle shaft pin = crank
part web from shaft to pin
profile web.pin across 0 to 1
   disc pin dia 4
profile frame.bed across 0 to 1
   box -30, -20 to 30, -13
clear web frame by 0.5 at most `
	_, r := answered(t, pin+"22.001\n")
	f := r.Findings[0]
	if !f.OK || f.Sure != solver.Proved || math.Abs(f.Least-1) > 1e-3 || math.Abs(f.Greatest-22) > 1e-3 {
		t.Errorf("from %.4f to %.4f, %v %v; want 1 to 22, proved", f.Least, f.Greatest, f.OK, f.Sure)
	}
	if lift := f.At.Travel[0]; math.Abs(f.At.Turn-math.Pi/2) > 1e-4 || lift != 1 { // the side with less room is reported
		t.Errorf("it is told at %.4f, lift %g", f.At.Turn, lift)
	}
	_, r = answered(t, pin+"21\n") // beyond it where 10·sin crank is more than 9, with lift 1
	f = r.Findings[0]
	from := math.Asin(0.9)
	if f.OK || f.Sure != solver.Proved || len(f.Fouls) != 1 || math.Abs(f.Fouls[0].From-from) > 2e-5 || math.Abs(f.Fouls[0].To-math.Pi+from) > 2e-5 {
		t.Errorf("%v %v over %v, want short, proved, from %.4f", f.OK, f.Sure, f.Fouls, from)
	}
	const cam = `turn shaft = 0 to 360 step 5
point axle at 0, 0
point middle
point roller near 0, 40
line guide through 2, 0 heading 90
length axle middle = 6
angle axle middle = shaft
length middle roller = 20 + 8
slide roller on guide
part cam from axle to middle
part follower at roller along guide
profile cam.face across 0 to 5
   disc middle dia 40
profile follower.wheel across 0 to 5
   disc roller dia 16
clear cam follower by 0 at most 0.05
`
	_, r = answered(t, cam)
	if f := r.Findings[0]; !f.OK || f.Sure != solver.Proved || math.Abs(f.Greatest) > 1e-6 {
		t.Errorf("the roller: %v %v, to %g", f.OK, f.Sure, f.Greatest)
	}
}
