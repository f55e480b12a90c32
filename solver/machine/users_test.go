package machine

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"barover/solver"
	"barover/solver/expr"
)

// A dimension is used where its name is written: by the profile, not by what follows from it, and by the part whose length
// it gives.
func TestUsers(t *testing.T) {
	d := newDraft(0, 360, 5)
	throw, out := d.dim("throw", 20), d.dim("out", 10)
	thick := d.dim("thick", 4)
	back := d.dimSum("back", d.g.Sub(out, d.g.Mul(thick, d.num(0.5))))
	play, eye := d.dim("play", 0.5), d.dim("eye", 3)
	d.dim("spare", 1)
	o, pin := d.fixed("shaft", 0, 0), d.found("pin")
	d.crank(o, pin, throw)
	crank := d.part("crank", o, pin)
	d.onPart("eye", crank, d.g.Add(throw, eye), d.num(0))
	d.profile(crank, "web", back, d.g.Add(back, thick), d.disc(throw, d.num(0), d.num(10)))
	d.profile(0, "plate", d.g.Sub(d.num(0), out), out, d.disc(d.num(0), d.num(0), d.num(10)))
	d.p.Sideplay = []expr.ID{expr.None, play}

	got := map[string]solver.Users{}
	for i, u := range d.p.Users() {
		got[d.p.Dims[i].Name] = u
	}
	want := map[string]solver.Users{
		"throw": {Profiles: []int{0}, Parts: []int{crank}},
		"out":   {Profiles: []int{1}},
		"thick": {Profiles: []int{0}},
		"back":  {Profiles: []int{0}},
		"play":  {Parts: []int{crank}},
		"eye":   {Parts: []int{crank}},
		"spare": {},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}
