package main

import (
	"fmt"
	"math"
	"testing"

	"barover/sketch/assembled"
	"barover/solver/mend"
)

// quickReturn is a slotted lever that a crankpin drives, and a post of that height beside its end.
const quickReturn = `units mm
dim throw = %v
turn crank = 0 to 360 step 5
point shaft at 0, 0
point pin
length shaft pin = throw
angle shaft pin = crank
point pivot at 0, -45
point end near 35, 26
length pivot end = 80
line arm from pivot to end
slide pin on arm
part lever from pivot to end
profile lever.plate across 0 to 5
   box -8, -8 to 84, 8
profile frame.post across 0 to 5
   disc 48, %d dia 12
clear lever frame by 1
`

// TestMendLeast makes sure that the change offered is the least of the sizes available: the largest throw with which
// everything holds, as all throws tried one after the other tell. The post stands where the lever turns back, so the place that
// is nearest changes, and slopes tell of too little there, or in the wrong direction.
func TestMendLeast(t *testing.T) {
	for _, post := range []int{20, 26, 28, 30, 31, 32} {
		_, a := mended(t, fmt.Sprintf(quickReturn, 20, post), nil)
		want := 20.0
		for want > 0 {
			if want = math.Round(10*want-1) / 10; solvedText(t, fmt.Sprintf(quickReturn, want, post)).OK() {
				break
			}
		}
		if len(a.Ways) != 1 || len(a.Ways[0].Changes) != 1 || math.Abs(a.Ways[0].Changes[0].To-want) > 1e-9 {
			t.Errorf("the post at %d: %+v, want throw %g", post, a.Ways, want)
		}
	}
}

// TestMendSensible makes sure that a way that leaves little of a rod comes after one that moves what is beside it, although
// fewer profiles are made anew.
func TestMendSensible(t *testing.T) {
	e, a := mended(t, `units in
dim rod_dia  = 1/4
dim bar_half = 3/16
point p at 0, 0
part rod at p heading 0
profile rod.shank across 0 to 1
   strip 0, 0 to 7, 0 wide rod_dia
profile frame.upper across 0 to 1
   box 0, bar_half to 7, bar_half + 1/8
profile frame.lower across 0 to 1
   box 0, -bar_half - 1/8 to 7, -bar_half
clear rod frame by 5/32
`, nil)
	want := []struct {
		name string
		to   float64
	}{{"bar_half", 9.0 / 32}, {"rod_dia", 1.0 / 16}}
	for i, w := range want {
		if len(a.Ways) != len(want) || len(a.Ways[i].Changes) != 1 || namesOf(e, &a.Ways[i]) != w.name || math.Abs(a.Ways[i].Changes[0].To-25.4*w.to) > 1e-9 {
			t.Fatalf("way %d of %d is %s, %+v, want %v", i+1, len(a.Ways), namesOf(e, &a.Ways[i]), a.Ways[i].Changes, w)
		}
	}
}

// leastAlone makes sure that a way of one change is no larger than need be: with a step of a tenth less something falls short.
func leastAlone(t *testing.T, e *assembled.Engine, w *mend.Way) {
	t.Helper()
	c := w.Changes[0]
	if len(w.Changes) > 1 || math.Abs(10*c.To-math.Round(10*c.To)) > 1e-6 || math.Abs(c.To-c.From) < 0.15 {
		return
	}
	less := *w
	less.Changes = []mend.Change{{Dim: c.Dim, From: c.From, To: c.To - math.Copysign(0.1, c.To-c.From)}}
	if res := solvedWith(t, e, &less); res != nil && res.OK() {
		t.Errorf("%s %g is offered, and %g would do", e.Dims[c.Dim].Name, c.To, less.Changes[0].To)
	}
}
