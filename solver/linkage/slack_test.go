package linkage

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"barover/solver/plane"
	"barover/solver/position"
	"barover/solver/trial/draws"
)

// What loose lines leave free is named, with what would hold it; what they hold is not.
func TestLooseFaults(t *testing.T) {
	for _, c := range []struct {
		name string
		make func(s *draft)
		want []string
	}{
		{"one rod for two freedoms", func(s *draft) {
			o, q := s.fixed("o", 0, 0), s.fixed("q", 100, 0)
			p := s.found("p")
			s.crank(o, p, 20)
			a, b := s.near("a", 80, 30), s.near("b", 120, 50)
			s.length(q, a, s.num(36))
			s.length(a, b, s.num(45))
			s.loose(p, b, 100, 0.1)
		}, []string{"too few at 6, also [7]: a can still swing round q"}},
		{"rods on one axle, nothing on the other", func(s *draft) {
			tr := straight(100, 2)
			d, _ := tr.draft()
			*s = *d
			q := s.fixed("q", 300, 0)
			s.length(q, s.near("loner", 320, 5), s.num(20))
		}, []string{"too few at 15, also []: loner can still swing round q | angle q loner = 14.04°"}},
		{"two rods that say the same", func(s *draft) {
			o := s.fixed("o", 0, 0)
			p, a := s.found("p"), s.near("a", 70, 40)
			s.crank(o, p, 20)
			s.loose(p, a, 60, 0.1)
			s.loose(p, a, 60.1, 0.1)
		}, []string{"too few at 3, also []: a can still move"}},
		{"a parallelogram on its dead centre", func(s *draft) {
			o, q := s.fixed("o", 0, 0), s.fixed("q", 100, 0)
			p, r := s.found("p"), s.near("r", 120, 0)
			s.length(o, p, s.num(20))
			s.heading(o, p, s.num(0))
			s.length(q, r, s.num(20))
			s.loose(p, r, 100, 0.1)
		}, []string{"two ways at 4, also [8]: r is on a dead centre at the start, with the turn at 45°: it can go either way from there | start the turn elsewhere, and write near to say which way it is there"}},
		{"a loose rod that reaches two ways", func(s *draft) {
			o, q := s.fixed("o", 0, 0), s.fixed("q", 100, 0)
			p, r := s.found("p"), s.found("r")
			s.crank(o, p, 40)
			s.loose(p, r, 120, 0.1)
			s.length(q, r, s.num(80))
		}, []string{"two ways at 4, also []: r can stand at"}},
	} {
		s := newDraft()
		c.make(s)
		_, err := New(s.Model, s.values(), 45*deg, 45*deg+2*math.Pi, nil)
		faults, _ := err.(Faults)
		if len(faults) != len(c.want) {
			t.Errorf("%s: got %d faults (%v), want %d", c.name, len(faults), err, len(c.want))
			continue
		}
		for i, f := range faults {
			got := f.filled(fmt.Sprintf("%s at %d, also %v: %s | %s", kindNames[f.Kind], f.Stmt, f.Also, f.Msg, f.Help))
			if !strings.HasPrefix(got, c.want[i]) {
				t.Errorf("%s: got %q, want %q", c.name, got, c.want[i])
			}
		}
	}
}

// More axles than can be settled at once are refused, not tried.
func TestLooseMost(t *testing.T) {
	for _, n := range []int{4, position.LooseMost + 2} {
		s, _ := straight(100, n).draft()
		_, err := New(s.Model, s.values(), 20*deg, 20*deg+2*math.Pi, nil)
		if (err == nil) != (n <= position.LooseMost) {
			t.Errorf("%d axles: %v", n, err)
		}
	}
}

// What only follows from a coupled axle is in blocks of its own, and keeps its way of assembly where the axle leaps; axles
// that are coupled to the driven one alone have nothing to do with one another.
func TestLooseBlocks(t *testing.T) {
	tr := straight(100, 2)
	for i := range tr.axles {
		tr.axles[i].throw = [2]float64{20, 20}
	}
	tr.rods[0] = [2]float64{100.2, 100}
	tr.play[0] = [2]float64{0.1, 0.1}
	s, pins := tr.draft()
	bore := s.line("bore", s.fixed("axis", 100, 0), s.num(0))
	cross := s.near("cross", 220, 0)
	s.length(pins[1], cross, s.num(100))
	s.slide(cross, bore)
	rear := s.fixed("rear", -100, 0)
	back := s.near("back", -81, 7)
	s.length(rear, back, s.num(20))
	w := s.rod("rear_wheel", rear, back)
	s.loose(pins[0], back, 100, 0.1)
	s.loose(pins[0]+1, s.onPart("back_far", w, s.num(0), s.num(20)), 100, 0.1)
	l := s.assemble(t, 20*deg)
	var sizes []string
	for _, step := range l.Schedule().Steps {
		if len(step.Scalars) > 0 {
			sizes = append(sizes, fmt.Sprint(len(step.Scalars), len(step.Rows), len(step.Loose)))
		}
	}
	got := strings.Join(sizes, ", ")
	if strings.Count(got, "2 1 2") != 2 || strings.Count(got, "1 1 0") != 1 || len(sizes) != 3 {
		t.Errorf("blocks of scalars, rows and loose rows: got %s, want 2 1 2 twice and 1 1 0", got)
	}
	mo := s.motion(t, 20, 380, 5)
	if len(mo.Spans()) != 1 {
		t.Fatalf("spans %v", mo.Spans())
	}
	for turn := 20.0; turn <= 380; turn += 2.5 {
		z := pose(t, mo, turn)
		p, c := z.Point[pins[1]], z.Point[cross]
		if d := p.Sub(c).Len(); !(math.Abs(d-100) <= 1e-8) || c.Y != 0 && math.Abs(c.Y) > 1e-9 || c.X < p.X {
			t.Errorf("at %g°: crankpin %v, crosspin %v", turn, p, c)
		}
	}
}

// A point that nothing but loose lines hold, against a search that halves its steps.
func TestLoosePointAlone(t *testing.T) {
	rnd := rand.New(rand.NewPCG(5, 5))
	for n := range draws.Of(40) {
		var at []plane.Vec
		var want, play []float64
		s := newDraft()
		p := s.near("p", 50, 40)
		for i := range 3 + n%4 {
			a := plane.Polar(float64(i) * 2 * math.Pi / float64(3+n%4)).Scale(60 + 20*rnd.Float64()).Add(plane.Vec{X: 50, Y: 40})
			at = append(at, a)
			want = append(want, a.Sub(plane.Vec{X: 50, Y: 40}).Len()+4*(rnd.Float64()-0.5))
			play = append(play, 0.5+2*rnd.Float64())
			s.loose(s.fixed(fmt.Sprint("a", i), a.X, a.Y), p, want[i], play[i])
		}
		worst := func(q plane.Vec) (w float64) {
			for i, a := range at {
				w = max(w, math.Abs(q.Sub(a).Len()-want[i])/play[i])
			}
			return w
		}
		l := s.assemble(t, 0)
		mo, err := l.Follow(t.Context(), nil, 0, deg, deg)
		if err != nil {
			t.Fatal(err)
		}
		got := worst(pose(t, mo, 0).Point[p])
		best := plane.Vec{X: 50, Y: 40}
		for step := 4.0; step > 1e-12; step *= 0.7 {
			for k := range 64 {
				if q := best.Add(plane.Polar(float64(k) * math.Pi / 32).Scale(step)); worst(q) < worst(best) {
					best = q
				}
			}
		}
		if !(got <= worst(best)*(1+1e-10)) || got < 0.9*worst(best) {
			t.Errorf("point %d: got a worst of %.12g, tried out %.12g", n, got, worst(best))
		}
	}
}

// Nonsense comes to an answer or a fault, and to an end.
func TestLooseNonsense(t *testing.T) {
	rnd := rand.New(rand.NewPCG(11, 11))
	place := func() float64 { return 100 * (rnd.Float64() - 0.5) }
	solved := 0
	for range 60 {
		s := newDraft()
		o := s.fixed("o", 0, 0)
		p := s.found("p")
		s.crank(o, p, 20)
		points := []int{o, p, s.fixed("q", place(), place())}
		for i := range 1 + rnd.IntN(4) {
			points = append(points, s.near(fmt.Sprint("n", i), place(), place()))
		}
		pick := func() (a, b int) {
			for a == b {
				a, b = points[rnd.IntN(len(points))], points[rnd.IntN(len(points))]
			}
			return a, b
		}
		for range rnd.IntN(5) {
			a, b := pick()
			s.length(a, b, s.num(5+80*rnd.Float64()))
		}
		for range 2 + rnd.IntN(7) {
			a, b := pick()
			s.loose(a, b, math.Pow(10, 4*rnd.Float64()-1), math.Pow(10, 6*rnd.Float64()-4))
		}
		l, err := New(s.Model, s.values(), 10*deg, 10*deg+2*math.Pi, nil)
		if err != nil {
			if f, ok := err.(Faults); !ok || len(f) == 0 || f[0].Msg == "" {
				t.Errorf("no fault: %v", err)
			}
			continue
		}
		mo, err := l.Follow(t.Context(), nil, 10*deg, 370*deg, 15*deg)
		if err != nil {
			t.Fatal(err)
		}
		for turn := 10.0; turn < 370; turn += 45 {
			z := new(Pose)
			if st := mo.At(turn*deg, z); st != Solved {
				continue
			}
			solved++
			for _, q := range z.Point {
				if math.IsNaN(q.X + q.Y) {
					t.Errorf("a point that is no number at %g°", turn)
				}
			}
		}
	}
	if solved < 40 {
		t.Errorf("%d positions solved: nothing is tried here", solved)
	}
}
