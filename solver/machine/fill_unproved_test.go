package machine

import (
	"math"
	"testing"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/expr"
)

// A four-bar that all but folds flat, its pivot riding up and down: near the dead centre it can go either way, and nothing
// is proved there. What is not met is told over the whole turn all the same.
func TestFoulWhereNothingIsProved(t *testing.T) {
	const ground, crank = 117.585, 21.145   // mm; the rocker is as long as the ground
	const coupler = 2*ground - crank - 1e-7 // folds except for this
	d := newDraft(-90, 270, 10)
	s := d.travel("s", 0, true, -1.77, 0, 1.77)
	o, w := d.fixed("o", 0, 0), d.at("w", d.num(ground), s)
	p, q := d.found("p"), d.near("q", 210, -70)
	d.crank(o, p, d.num(crank))
	d.length(p, q, d.num(coupler))
	d.length(w, q, d.num(ground))
	for _, part := range [2]int{d.part("coupler", p, q), d.part("rocker", w, q)} {
		d.profile(part, "bar", d.num(0), d.num(2), d.disc(d.num(0), d.num(0), d.num(10)))
	}
	d.keep(d.g.Y(p), expr.None, d.num(1))
	d.keep(d.g.X(p), expr.None, d.num(crank/2)) // over the start of the turn
	res := d.study(t, d.drawn())
	up := math.Asin(1/crank) / deg
	for i, want := range [][2]float64{{up, 180 - up}, {-60, 60}} {
		f := res.Findings[i]
		if f.Sure != solver.InPart || len(f.Unproved) == 0 || len(f.Fouls) != 1 {
			t.Fatalf("%v, not met over %v, unproved %v", f.Sure, f.Fouls, f.Unproved)
		}
		compareFigures(t, []figured{{"from", f.Fouls[0].From / deg, want[0], 1e-6}, {"to", f.Fouls[0].To / deg, want[1], 1e-6}})
	}
}

// A proof that leaves out the few degrees of a dead centre is a proof in part. One that leaves out most of the turn is no proof.
func TestMostOfTheTurnUnproved(t *testing.T) {
	m := &Machine{Engine: &engine.Engine{Problem: &solver.Problem{Turn: solver.Turn{From: 0, To: 2 * math.Pi}}}}
	over := func(from, to float64) solver.Unproved {
		return solver.Unproved{Interval: solver.Interval{From: from, To: to}}
	}
	for _, c := range []struct {
		left []solver.Unproved
		want solver.Sure
	}{
		{nil, solver.Proved},
		{[]solver.Unproved{over(0, 0.2), over(3, 3.3)}, solver.InPart},
		{[]solver.Unproved{over(0, 0.5), over(0.9, 6)}, solver.Sampled},
	} {
		if got := m.sure(c.left); got != c.want {
			t.Errorf("unproved %v: %v, want %v", c.left, got, c.want)
		}
	}
}

// Ends that were found a little apart on either side of the start never make more than one turn of it.
func TestJoinIsNoMoreThanATurn(t *testing.T) {
	r := &engine.Run{From: 0, To: 2 * math.Pi}
	got := r.Join([]solver.Interval{{To: 1.5708}, {From: 1.5706, To: 2 * math.Pi}}, true)
	if len(got) != 1 || got[0].From != 1.5706 || !(math.Abs(got[0].To-got[0].From-2*math.Pi) <= 1e-12) {
		t.Errorf("got %v, want one turn from 1.5706", got)
	}
}
