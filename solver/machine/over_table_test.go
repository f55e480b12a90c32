package machine

import (
	"flag"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/schedule"
	"barover/solver/trial"
	"barover/solver/tube"
)

var table = flag.Bool("table", false, "time the proof over sizes and play beside that of one engine: TestProofTable")

// proofRow is an engine with sizes, and what a prototype came to: how many times one engine it took, and by how much of what the sizes do
// its bound was too low.
//
// One engine is the same check of the same pair over one turn, by the same means without sizes: the plan, the boxes, the forms, and a bound to
// the tolerance of 0.001 mm. The factor depends on how fast that is. The prototype took whole matrices where this takes blocks, and both times
// from it are known for few rows: about 0.1 ms for one slider-crank and 0.15 ms for one four-bar, so 0.12 ms and 1.2 ms for the first and the
// third row; and for the gear with ten plays 250 to 780 ms a proof, by a factor of 21 to 26, so 10 to 37 ms for one gear. So the factors of the
// gear are of an engine that took ten times as long or more, and times are to be compared beside them.
type proofRow struct {
	name  string
	m     *Machine
	sizes []tube.Size
	check int
	times float64
	low   float64
}

// sized lists the dimensions of a draft as sizes, so many mm either way.
func sized(d *draft, half ...float64) (list []tube.Size) {
	v := d.drawn()
	for i := range d.p.Dims {
		list = append(list, tube.Size{Dim: i, Mid: v.At(d.g.Dims[i]), Half: half[i%len(half)]})
	}
	return list
}

// rodAgainstLip is a slider-crank whose rod passes a bar, of six sizes.
func rodAgainstLip(t *testing.T, times float64) (*Machine, []tube.Size) {
	d := newDraft(0, 360, 5)
	rod := d.dim("rod", 130)
	s := d.sliderCrank(d.dim("throw", 22), rod, 150)
	mouth, half := d.dim("mouth", 100), d.dim("half", 12)
	shank := d.profile(s.rod, "shank", d.num(0), d.num(5), d.strip(rod, d.dim("deep", 13), d.dim("shallow", 9), false))
	lip := d.profile(0, "lip", d.num(0), d.num(5), d.box(mouth, half, d.num(170), d.g.Add(half, d.num(5))))
	d.clear(shank, lip, d.num(0))
	return newMachineOf(t, d), sized(d, times*0.05, times*0.1, times*0.2)
}

// barsNearToggle is a four-bar of eight sizes whose coupler passes a post. Its crank goes to so many degrees short of where coupler and rocker
// lie in one line.
func barsNearToggle(t *testing.T, short float64, half ...float64) (*Machine, []tube.Size) {
	const ground, throw, coupler, rocker = 80.0, 40.0, 50.0, 48.0
	dead := math.Acos((ground*ground + throw*throw - (coupler+rocker)*(coupler+rocker)) / (2 * ground * throw))
	d := newDraft(40, dead/deg-short, 1)
	o, r := d.fixed("o", 0, 0), d.at("r", d.dim("ground", ground), d.dim("up", 0))
	p := d.found("p")
	q := d.near("q", 70, 47)
	d.crank(o, p, d.dim("throw", throw))
	d.length(p, q, d.dim("coupler", coupler))
	d.length(r, q, d.dim("rocker", rocker))
	d.part("crank", o, p)
	coup := d.part("coup", p, q)
	d.part("rock", r, q)
	bar := d.profile(coup, "bar", d.num(0), d.num(2), d.strip(d.num(coupler), d.dim("deep", 6), d.num(6), true))
	post := d.profile(0, "post", d.num(0), d.num(2), d.disc(d.dim("post_x", 36), d.dim("post_y", 14), d.num(6)))
	d.clear(bar, post, d.num(0))
	return newMachineOf(t, d), sized(d, half...)
}

// radialGear is the gear of package trial, with a union link so long that it comes nowhere near a line with its lever. It has tolerances on all
// that its linkage is made of, and so many plays. Its axle may rise.
func radialGear(t *testing.T, a, b string, half, play float64, plays int, rise float64) (*Machine, []tube.Size) {
	k, bodies, err := trial.GearSized(12)
	if err != nil {
		t.Fatal(err)
	}
	g := k.Graph
	p := &solver.Problem{Graph: g, Linkage: &k.Model, Turn: solver.Turn{Name: "crank", To: 2 * math.Pi, Step: 5 * deg},
		Travels: []solver.Travel{{Name: "axle", Range: rise > 0, From: -rise, To: rise, Settings: []float64{-rise, 0, rise}}}}
	if rise == 0 {
		p.Travels[0].Settings = []float64{0}
	}
	number, fixed := map[expr.ID]int{}, map[int]float64{}
	for i := range k.Drawn {
		p.Dims = append(p.Dims, solver.Dim{})
		number[g.Dims[i]] = i
	}
	for _, q := range k.Points {
		if i, ok := number[q.U]; ok && q.Kind == schedule.OnPart && k.Drawn[i] == 5 { // the arm of the crosshead
			k.Drawn[i] = -33
			fixed[i] = -33
		}
	}
	for _, e := range k.Equations {
		if i, ok := number[e.V]; ok && k.Drawn[i] == 22 && e.P != 0 { // the union link, and not the crank
			k.Drawn[i] = 60
			fixed[i] = 60
		}
	}
	var sizes []tube.Size
	size := func(id expr.ID) {
		if i, ok := number[id]; ok {
			sizes = append(sizes, tube.Size{Dim: i, Mid: k.Drawn[i], Half: half})
			delete(number, id)
		}
	}
	for _, q := range k.Points {
		if q.Kind != schedule.Found {
			size(q.U)
			size(q.V)
		}
	}
	for _, e := range k.Equations {
		size(e.V)
	}
	c := solver.Check{Kind: solver.Clear, A: -1, B: -1, AtLeast: g.Const(0), AtMost: expr.None}
	for i, x := range bodies {
		p.Profiles = append(p.Profiles, solver.Profile{Part: x.Part, Name: x.Name, From: g.Const(0), To: g.Const(1), Shapes: x.Shapes})
		if x.Name == a {
			c.A = i
		}
		if x.Name == b {
			c.B = i
		}
	}
	p.Checks = []solver.Check{c}
	for _, e := range p.Eyes()[:plays] {
		e.V = g.Const(play)
		p.Plays = append(p.Plays, e)
	}
	m, err := New(p, expr.Resolve(g, fixed))
	if err != nil {
		t.Fatal(err)
	}
	return m, sizes
}

// TestProofTable takes the time of the proof over all sizes and play beside that of one engine by the same means, on one core, and says by how
// much the bound is too low beside the worst engine found.
func TestProofTable(t *testing.T) {
	if !*table {
		t.Skip("-table times the proof")
	}
	var rows []proofRow
	add := func(name string, times, low float64, m *Machine, sizes []tube.Size) {
		rows = append(rows, proofRow{name, m, sizes, 0, times, low})
	}
	with := func(m *Machine, sizes []tube.Size) func(name string, times, low float64) {
		return func(name string, times, low float64) { add(name, times, low, m, sizes) }
	}
	with(rodAgainstLip(t, 1))("slider-crank, rod against a lip", 1.2, 0.0007)
	with(rodAgainstLip(t, 3))("the same × 3", 23, 0.0002)
	with(barsNearToggle(t, 5, 0.05))("four-bar, 5° from a toggle", 8, 0.0014)
	with(barsNearToggle(t, 2, 0.03))("four-bar, 2° from it", 40, 0.01)
	with(barsNearToggle(t, 1, 0.01))("four-bar, 1° from it, small", 10, 0.0015)
	with(barsNearToggle(t, 1, 0.03))("four-bar, 1° from it", 26, 0.015)
	with(radialGear(t, "lever", "rivet", 0.05, 0, 0, 0))("radial gear, ± 0.05", 11.5, 0.0027)
	with(radialGear(t, "lever", "rivet", 0.2, 0, 0, 0))("radial gear, ± 0.2", 66, 0.026)
	with(radialGear(t, "lever", "rivet", 0.05, 0.1, 10, 0))("radial gear, ± 0.05, ten plays of 0.1", 26, 0.0078)
	with(radialGear(t, "rod", "rivet", 0.05, 0, 0, 3))("gear with an axle range, rod against bars", 15.5, 0.009)
	for i := range rows {
		rows[i].look(t)
	}
}

// best is the least time of either work of many, one after the other in turn, so that both meet the same machine.
func best(one, all func()) (least [2]time.Duration) {
	least = [2]time.Duration{time.Hour, time.Hour}
	for range 60 {
		for i, work := range []func(){one, all} {
			from := time.Now()
			work()
			least[i] = min(least[i], time.Since(from))
		}
	}
	return least
}

func (r *proofRow) look(t *testing.T) {
	var e *Everywhere
	var b Bound
	time := best(func() {
		v, err := r.m.OverSizes(t.Context(), Options{Workers: 1}, Sizes{})
		if err == nil {
			_, err = v.Check(t.Context(), r.check, false)
		}
		if err != nil {
			t.Fatal(err)
		}
	}, func() {
		var err error
		if e, err = r.m.Everywhere(t.Context(), Options{Workers: 1}, r.sizes, []int{r.check}); err == nil {
			b, err = e.Check(t.Context(), r.check, false)
		}
		if err != nil {
			t.Fatal(err)
		}
	})
	times := float64(time[1]) / float64(time[0])
	if !b.Known {
		t.Errorf("%s, %d sizes: not proved (%v)", r.name, len(e.sizes.List), b.Why.Why)
		return
	}
	worst, err := e.worst(t.Context(), r.check, &b, false)
	tight, _ := e.stands(t.Context(), r.check, make([]float64, len(e.sizes.List)), &b.At)
	if err != nil || worst == nil || tight == nil {
		t.Errorf("%s: no engine is found (%v)", r.name, err)
		return
	}
	if worst.v < b.Worst-1e-7 {
		t.Errorf("%s: an engine has %v, proved nowhere below %v", r.name, worst.v, b.Worst)
	}
	reached := "reached"
	if times > 2*r.times {
		reached = "not reached"
	}
	t.Logf("%-42s %2d sizes: worst-case change %.3f, too low by %.2f %% (the table has %.2f %%); one engine %.2f ms, all %.2f ms, %.1f × (twice %v ×: %s)", r.name,
		len(e.sizes.List), tight.v-worst.v, 100*(worst.v-b.Worst)/(tight.v-worst.v), 100*r.low, time[0].Seconds()*1000, time[1].Seconds()*1000, times, r.times, reached)
}

// TestSideOfTwoSizes: both ends of a rod's taper have a tolerance, and its side passes a corner. The bound is as near to the worst of all
// corners as is asked of it, though one direction cannot be square to the side in the middle and in the worst engine.
func TestSideOfTwoSizes(t *testing.T) {
	m, sizes := rodAgainstLip(t, 1)
	over, err := m.OverSizes(t.Context(), Options{}, Sizes{List: sizes})
	if err != nil {
		t.Fatal(err)
	}
	b, err := over.Check(t.Context(), 0, false)
	if err != nil || !b.Known {
		t.Fatal(b.Why, err)
	}
	low := math.Inf(1)
	for corner := range 1 << len(sizes) {
		fixed := map[int]float64{}
		for i, s := range sizes {
			fixed[s.Dim] = s.Mid + s.Half*float64(2*(corner>>i&1)-1)
		}
		n, err := m.With(expr.Resolve(m.Problem.Graph, fixed))
		if err != nil {
			t.Fatal(err)
		}
		c := &m.Problem.Checks[0]
		_, d, err := n.Nearest(t.Context(), c.A, c.B, nil)
		if err != nil {
			t.Fatal(err)
		}
		low = math.Min(low, d)
	}
	if !(b.Worst <= low+1e-9) || low-b.Worst > 2e-3 {
		t.Errorf("nowhere below %v; the worst corner has %v", b.Worst, low)
	}
}

// TestGearOfManySizes: of a radial gear with a tolerance on every dimension, the bound is near the worst engine found, and no engine at the
// limits of its tolerances is below it, drawn at random or one size away from the worst.
func TestGearOfManySizes(t *testing.T) {
	m, sizes := radialGear(t, "lever", "rivet", 0.05, 0, 0, 0)
	e, err := m.Everywhere(t.Context(), Options{}, sizes, []int{0})
	if err != nil {
		t.Fatal(err)
	}
	b, err := e.Check(t.Context(), 0, false)
	if err != nil || !b.Known {
		t.Fatal(b.Why, err)
	}
	worst, err := e.worst(t.Context(), 0, &b, false)
	tight, _ := e.stands(t.Context(), 0, make([]float64, len(sizes)), &b.At)
	if err != nil || worst == nil || tight == nil {
		t.Fatal("no engine is found", err)
	}
	if low := worst.v - b.Worst; !(low >= -1e-9) || low > 0.01*(tight.v-worst.v) {
		t.Errorf("nowhere below %v; an engine has %v, of %v with the sizes in the middle", b.Worst, worst.v, tight.v)
	}
	rng := rand.New(rand.NewPCG(14, 22))
	below := 0
	for k := range 60 {
		fixed := map[int]float64{}
		for i, s := range sizes {
			at := s.Half * float64(2*rng.IntN(2)-1)
			if k < len(sizes) { // the worst engine with one size at its other limit
				if at = math.Copysign(s.Half, b.With[i]-s.Mid); i == k {
					at = -at
				}
			}
			fixed[s.Dim] = s.Mid + at
		}
		n, err := m.With(expr.Resolve(m.Problem.Graph, fixed))
		if err != nil {
			t.Fatal(err)
		}
		c := &m.Problem.Checks[0]
		_, d, err := n.Nearest(t.Context(), c.A, c.B, []float64{0})
		if err != nil {
			t.Fatal(err)
		}
		if d < b.Worst-1e-9 {
			t.Errorf("engine %d has %v, proved nowhere below %v", k, d, b.Worst)
		}
		if d < tight.v {
			below++
		}
	}
	if below < len(sizes) {
		t.Errorf("only %d engines were worse than that in the middle", below)
	}
}
