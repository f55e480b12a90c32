package sketch

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"barover/solver/linkage"
)

// TestFaults puts faults of the solver into words, in the sketch's unit.
func TestFaults(t *testing.T) {
	s := good(t, "units in\npoint a at 0, 0\npoint b at 3, 0\nlength a b = 4\nlength b a = 5\n", Options{})
	faults := linkage.Faults{
		{Kind: linkage.Disagree, Stmt: 3, Also: []int{4, 3, -1, 99}, Msg: "a and b are {0} apart and cannot be {1}: {9} {a7} {x} {", Help: "turn it by {a0}",
			Lengths: []float64{76.2, 101.6}, Angles: []float64{0.5}},
		{Kind: linkage.TooFew, Stmt: -1, Msg: "nothing moves"},
		{Kind: linkage.TooFew, Stmt: -1, Msg: "nothing moves"}, // what is found again at another setting is told once
	}
	want := `main.motion:4:1: a and b are 3 in apart and cannot be 4 in: {9} {a7} {x} {
    length a b = 4
    ^
main.motion:5:1: this is concerned too
    length b a = 5
    ^
    turn it by 28.648°
main.motion:1:1: nothing moves
    units in
    ^
    write a length, an angle or a slide that holds it
`
	if d := cmp.Diff(want, printed(s.Faults(faults))); d != "" {
		t.Error(d)
	}
}
