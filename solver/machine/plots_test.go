package machine

import (
	"context"
	"math"
	"testing"

	"barover/solver"
	"barover/solver/expr"
)

// anOval is a crank whose centre rides on a range, with a notch that adds to what is measured across: x = r·cos + notch,
// and y = r·sin + ride.
func anOval(t *testing.T) (*Machine, *solver.Chart) {
	t.Helper()
	d := newDraft(0, 360, 5)
	g := d.g
	ride := d.travel("ride", 0.5*in, true, -in, 0, in) // its rest lies between two steps
	notch := d.travel("notch", 0, false, -2, 0, 2)
	shaft := d.at("shaft", d.num(0), ride)
	pin := d.found("pin")
	d.crank(shaft, pin, d.dim("throw", 10))
	x := d.measure("x", g.Add(g.X(pin), notch))
	y := d.measure("y", g.Y(pin))
	turn := d.measure("heading", d.heading(shaft, pin))
	least := d.measure("least", g.Unary(expr.Least, g.X(pin)))
	d.p.Marks = []solver.Mark{{Name: "right", Sum: g.X(pin), When: solver.IsGreatest, Past: expr.None},
		{Name: "through", Sum: d.p.Measures[x].Sum, When: solver.RisesPast, Past: d.num(0)}}
	d.p.Charts = []solver.Chart{{Name: "oval", Of: []int{y, least}, Against: x, Marks: []int{1}},
		{Name: "line", Of: []int{turn}, Against: -1, Marks: []int{0, 1}}}
	m, err := New(d.p, d.drawn())
	if err != nil {
		t.Fatal(err)
	}
	return m, &d.p.Charts[0]
}

func TestPlots(t *testing.T) {
	m, oval := anOval(t)
	settings := m.ListSettings()
	if len(settings) != 3 || settings[0][0] != 0.5*in || settings[2][1] != 2 {
		t.Fatalf("the settings of the lists are %v", settings)
	}
	plots, err := m.Plots(context.Background(), Options{}, oval, settings)
	if err != nil {
		t.Fatal(err)
	}
	for k, p := range plots {
		notch := settings[k][1]
		if len(p.Turns) < 361 || len(p.Of) != 2 || len(p.Of[1]) != len(p.Turns) {
			t.Fatalf("%d turns, %d measures", len(p.Turns), len(p.Of))
		}
		for i, turn := range p.Turns {
			near(t, "x", p.Against[i], 10*math.Cos(turn)+notch)
			near(t, "y", p.Of[0][i], 10*math.Sin(turn)+0.5*in)
			near(t, "least", p.Of[1][i], -10)
		}
		if len(p.Events) != 1 || p.Events[0].Mark != 1 {
			t.Fatalf("events %+v", p.Events)
		}
		e := p.Events[0]
		near(t, "where it passes zero", e.Turn, 2*math.Pi-math.Acos(-notch/10))
		near(t, "x there", e.Against, 0)
		near(t, "y there", e.Of[0], 0.5*in+10*math.Sin(e.Turn))
	}
	plots, err = m.Plots(context.Background(), Options{Workers: 1}, &m.Problem.Charts[1], settings[:1])
	if err != nil {
		t.Fatal(err)
	}
	p := plots[0]
	for i, turn := range p.Turns {
		near(t, "the turn", p.Against[i], turn)
		near(t, "its heading, carried round", p.Of[0][i], turn)
	}
	if len(p.Events) != 2 || p.Events[0].Mark != 0 {
		t.Errorf("events %+v", p.Events)
	}
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 1e-7) {
		t.Fatalf("%s is %.9f, want %.9f", what, got, want)
	}
}

// Marks are told of with the ranges at rest in every notch, also where rest lies between the steps.
func TestMarksAtRest(t *testing.T) {
	m, _ := anOval(t)
	r, err := m.Study(context.Background(), Options{})
	if err != nil {
		t.Fatal(err)
	}
	seen := map[float64]bool{}
	for _, e := range r.Events {
		if e.At.Travel[0] == 0.5*in {
			seen[e.At.Travel[1]] = true
		}
	}
	if len(seen) != 3 {
		t.Errorf("at rest marks are told of in the notches %v", seen)
	}
	if n := len(r.Events); n != 2*3*4 {
		t.Errorf("%d events, want 24", n)
	}
}
