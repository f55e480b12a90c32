package template

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"barover/render/office"
	"barover/render/sheet"
	"barover/solver"
	"barover/solver/expr"
	"barover/solver/machine"
	"barover/solver/outline"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// shop makes parts for tests: an arm of 100 mm that turns about a shaft, with profiles of plain numbers.
type shop struct {
	tb testing.TB
	g  *expr.Graph
	p  *solver.Problem
}

const arm = 1 // the part that profiles are put on

func newShop(tb testing.TB) *shop {
	g := &expr.Graph{}
	p := &solver.Problem{Graph: g, Turn: solver.Turn{Name: "crank", To: 2 * math.Pi, Step: 0.1}}
	none := expr.None
	p.Linkage = &schedule.Model{Graph: g,
		Points: []schedule.Point{{Name: "shaft", U: g.Const(0), V: g.Const(0)}, {Name: "pin", Kind: schedule.Found, U: none, V: none}},
		Parts:  []schedule.Part{{Name: "frame", P: -1, Q: -1, Line: -1, Heading: none}, {Name: "arm", Kind: schedule.FromTo, P: 0, Q: 1, Line: -1, Heading: none}},
		Equations: []schedule.Equation{{Kind: schedule.Length, P: 0, Q: 1, R: -1, V: g.Const(100)},
			{Kind: schedule.Heading, P: 0, Q: 1, R: -1, V: g.Turn()}},
	}
	p.Sideplay = []expr.ID{none, none}
	return &shop{tb, g, p}
}

func (s *shop) at(v plane.Vec) outline.Place {
	return outline.Place{X: s.g.Const(v.X), Y: s.g.Const(v.Y)}
}

// profile puts a profile of that thickness on the arm.
func (s *shop) profile(name string, thick float64, shapes ...outline.Shape) {
	s.p.Profiles = append(s.p.Profiles, solver.Profile{Part: arm, Name: "arm." + name, From: s.g.Const(0), To: s.g.Const(thick), Shapes: shapes})
}

func (s *shop) point(name string, at plane.Vec) {
	s.p.Linkage.Points = append(s.p.Linkage.Points, schedule.Point{Name: name, Kind: schedule.OnPart, Part: arm, U: s.g.Const(at.X), V: s.g.Const(at.Y)})
}

func (s *shop) arc(name string, centre plane.Vec, radius float64) {
	s.point("", centre)
	s.p.Linkage.Arcs = append(s.p.Linkage.Arcs, schedule.Arc{Name: name, Centre: len(s.p.Linkage.Points) - 1, Radius: s.g.Const(radius)})
}

func (s *shop) disc(x, y, dia float64) outline.Shape {
	return outline.Shape{Kind: outline.Disc, P: [2]outline.Place{s.at(plane.Vec{X: x, Y: y})}, W: [2]expr.ID{s.g.Const(dia)}}
}

func (s *shop) box(a, b, c, d float64) outline.Shape {
	return outline.Shape{Kind: outline.Box, P: [2]outline.Place{s.at(plane.Vec{X: a, Y: b}), s.at(plane.Vec{X: c, Y: d})}}
}

func (s *shop) strip(a, b, c, d, from, to float64, round bool) outline.Shape {
	return outline.Shape{Kind: outline.Strip, P: [2]outline.Place{s.at(plane.Vec{X: a, Y: b}), s.at(plane.Vec{X: c, Y: d})},
		W: [2]expr.ID{s.g.Const(from), s.g.Const(to)}, Round: round}
}

// bent is a band of a ring about (0, 0), of middle radius r, from heading a to b, rad, anticlockwise; with round ends or
// straight ones.
func (s *shop) bent(r, wide, a, b float64, round bool) outline.Shape {
	in, out := r-wide/2, r+wide/2
	to := func(radius, heading float64) outline.Step {
		return outline.Step{To: s.at(plane.Polar(heading).Scale(radius)), Radius: expr.None}
	}
	sh := outline.Shape{Kind: outline.Path, P: [2]outline.Place{s.at(plane.Polar(a).Scale(out))}}
	outer := to(out, b)
	outer.Radius, outer.Left = s.g.Const(out), true
	far := to(in, b)
	inner := to(in, a)
	inner.Radius = s.g.Const(in)
	near := to(out, a)
	if round {
		far.Radius, far.Left = s.g.Const(wide/2), true
		near.Radius, near.Left = s.g.Const(wide/2), true
	}
	sh.Steps = []outline.Step{outer, far, inner, near}
	return sh
}

func hole(s outline.Shape) outline.Shape {
	s.Hole = true
	return s
}

func (s *shop) make() (*Part, error) {
	s.tb.Helper()
	m, err := machine.New(s.p, expr.Resolve(s.g, nil))
	if err != nil {
		s.tb.Fatal(err)
	}
	return New(m, arm, "")
}

func (s *shop) part() *Part {
	s.tb.Helper()
	p, err := s.make()
	if err != nil {
		s.tb.Fatal(err)
	}
	return p
}

// options are those of a sketch in mm.
func options(paper string) Options {
	figure := func(mm float64) string {
		return strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.3f", mm), "0"), ".")
	}
	return Options{Paper: paper, Sheet: sheet.Options{Block: office.Block{Title: "Test piece", File: "test.motion", Values: "as it stands", Unit: "mm"},
		Words: sheet.Words{Unit: "mm", Length: func(mm float64) string { return fmt.Sprintf("%.3f", mm) }, Size: figure}}}
}

// listed are the rows of a part's list in short.
func listed(p *Part) (out []string) {
	o := options("A4")
	for _, r := range p.Rows() {
		s := fmt.Sprintf("%d: %.2f %.2f %s %s", r.Number, r.At.X, r.At.Y, r.Feature.Kind, r.Feature.Say(o.Sheet.Words.Size))
		if r.Narrow {
			s += " narrow"
		}
		out = append(out, strings.Join(strings.Fields(s+" "+strings.Join(r.Profiles, "+")+" "+strings.Join(r.Names, "+")), " "))
	}
	return out
}

// TestWhatIsSetOut: which holes, slots, ends and points are found of which shapes, and where, from the leftmost and lowest
// edges. All places follow from the shapes by hand.
func TestWhatIsSetOut(t *testing.T) {
	half := math.Pi / 6
	for _, c := range []struct {
		name string
		make func(s *shop)
		want []string
	}{
		{"rod with two eyes", func(s *shop) {
			s.profile("rod", 5, s.strip(0, 0, 100, 0, 20, 16, true), hole(s.disc(0, 0, 10)), hole(s.disc(100, 0, 4)))
		}, []string{"1: 10.00 10.00 hole 10 dia rod shaft", "1: 10.00 10.00 round end 10 radius rod shaft",
			"2: 110.00 10.00 hole 4 dia narrow rod pin", "2: 110.00 10.00 round end 8 radius rod pin"}},
		{"one hole through two thicknesses", func(s *shop) {
			s.profile("plate", 3, s.box(-20, -20, 120, 20), hole(s.disc(0, 0, 10)))
			s.profile("boss", 12, s.disc(0, 0, 30), hole(s.disc(0, 0, 10)))
		}, []string{"1: 20.00 20.00 hole 10 dia narrow plate+boss shaft", "1: 20.00 20.00 round 30 dia boss shaft", "2: 120.00 20.00 centre pin"}},
		{"ring with a hub", func(s *shop) {
			s.profile("wheel", 5, s.disc(0, 0, 200), hole(s.disc(0, 0, 160)), s.disc(0, 0, 40))
		}, []string{"1: 100.00 100.00 hole 160 dia wheel shaft", "1: 100.00 100.00 round 200 dia wheel shaft", "1: 100.00 100.00 round 40 dia wheel shaft",
			"2: 200.00 100.00 centre pin"}},
		{"straight slots", func(s *shop) {
			s.profile("plate", 5, s.box(0, 0, 100, 50), hole(s.strip(20, 25, 40, 25, 8, 8, true)), hole(s.strip(60, 10, 70, 20, 6, 6, false)))
		}, []string{"1: 0.00 0.00 centre shaft", "2: 20.00 25.00 slot, round end 8 wide plate", "3: 40.00 25.00 slot, round end 8 wide plate",
			"4: 60.00 10.00 slot, square end 6 wide plate", "5: 70.00 20.00 slot, square end 6 wide plate", "6: 100.00 0.00 centre pin"}},
		{"a window", func(s *shop) { s.profile("plate", 5, s.box(-5, -5, 105, 50), hole(s.box(20, 10, 50, 30))) },
			[]string{"1: 5.00 5.00 centre shaft", "2: 40.00 25.00 opening 30 × 20 plate", "3: 105.00 5.00 centre pin"}},
		{"a curved slot with straight ends, along an arc", func(s *shop) {
			s.arc("groove", plane.Vec{}, 80)
			s.profile("plate", 5, s.box(-10, -60, 110, 60), hole(s.bent(80, 8, -half, half, false)))
		}, []string{"1: 10.00 60.00 slot, centre 80 radius plate groove+shaft", "2: 79.28 20.00 slot, square end 8 wide plate",
			"3: 79.28 100.00 slot, square end 8 wide plate", "4: 110.00 60.00 centre pin"}},
		{"a curved slot with round ends", func(s *shop) {
			s.profile("plate", 5, s.box(-10, -60, 110, 60), hole(s.bent(80, 8, -half, half, true)))
		}, []string{"1: 10.00 60.00 slot, centre 80 radius plate shaft", "2: 79.28 20.00 slot, round end 8 wide plate",
			"3: 79.28 100.00 slot, round end 8 wide plate", "4: 110.00 60.00 centre pin"}},
		{"an arc that nothing is cut along", func(s *shop) {
			s.arc("groove", plane.Vec{Y: 5}, 80)
			s.profile("plate", 5, s.box(0, 0, 100, 50))
		}, []string{"1: 0.00 0.00 centre shaft", "2: 0.00 5.00 arc centre 80 radius groove", "3: 100.00 0.00 centre pin"}},
		{"a bay in the edge", func(s *shop) { s.profile("plate", 5, s.box(0, -10, 100, 20), hole(s.disc(50, 20, 24))) },
			[]string{"1: 0.00 10.00 centre shaft", "2: 50.00 30.00 hollow 12 radius plate", "3: 100.00 10.00 centre pin"}},
		{"two holes run together", func(s *shop) {
			s.profile("plate", 5, s.box(0, 0, 100, 50), hole(s.disc(30, 20, 20)), hole(s.disc(40, 20, 20)))
		}, []string{"1: 0.00 0.00 centre shaft", "2: 35.00 20.00 opening 30 × 20 plate", "3: 100.00 0.00 centre pin"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := newShop(t)
			c.make(s)
			if d := cmp.Diff(c.want, listed(s.part())); d != "" {
				t.Error(d)
			}
		})
	}
}

// TestOrder: places run from left to right and in a column from below, whatever order the sketch has.
func TestOrder(t *testing.T) {
	s := newShop(t)
	s.profile("plate", 5, s.box(-50, -50, 150, 50))
	for i, at := range []plane.Vec{{X: 120, Y: 40}, {X: 20, Y: 30}, {X: 20 + same/5, Y: -30}, {X: 20, Y: 0}, {X: -40, Y: 49}} {
		s.point(fmt.Sprintf("p%d", i), at)
	}
	var got []string
	for _, m := range s.part().Marks {
		got = append(got, m.Names()...)
	}
	if want := []string{"p4", "shaft", "p2", "p3", "p1", "pin", "p0"}; !slices.Equal(got, want) {
		t.Errorf("in the order %v, want %v", got, want)
	}
}

// TestDatums: places do not change with where the part lies in its own axes, and the words say from which edges they are.
func TestDatums(t *testing.T) {
	var before []string
	for _, by := range []plane.Vec{{}, {X: 1e4, Y: -3e3}, {X: -0.1, Y: 7}} {
		s := newShop(t)
		s.profile("plate", 5, s.box(by.X, by.Y+3, by.X+80, by.Y+40), hole(s.disc(by.X+10, by.Y+20, 6)))
		s.profile("foot", 5, s.box(by.X+10, by.Y, by.X+20, by.Y+30))
		p := s.part()
		var now []string
		for _, l := range listed(p) {
			if strings.Contains(l, "hole") {
				now = append(now, l[2:]) // without its number: the part's own points stay where they are
			}
		}
		if before != nil && !slices.Equal(now, before) {
			t.Errorf("moved by %v: %v, before %v", by, now, before)
		}
		before = now
		if p.Profiles[p.Left].Short != "plate" || p.Profiles[p.Low].Short != "foot" || math.Abs(p.Wide-80) > 1e-6 || math.Abs(p.High-40) > 1e-6 {
			t.Errorf("moved by %v: datums %d %d, %v × %v", by, p.Left, p.Low, p.Wide, p.High)
		}
		if p.Origin.Add(by).Len() > 1e-9 {
			t.Errorf("moved by %v: the origin at %v", by, p.Origin)
		}
	}
	if len(before) != 1 || before[0] != " 10.00 20.00 hole 6 dia plate" {
		t.Errorf("%q", before)
	}
}

// TestWhatCannotBeMade: a part of no profile and one of great size are reported.
func TestWhatCannotBeMade(t *testing.T) {
	s := newShop(t)
	if _, err := s.make(); !errors.Is(err, ErrNoProfile) {
		t.Errorf("no profile: %v", err)
	}
	s = newShop(t)
	s.profile("pole", 5, s.box(0, 0, 60_000, 10))
	if _, err := s.make(); err == nil || !strings.Contains(err.Error(), "it is 60 m long") {
		t.Errorf("60 m: %v", err)
	}
	s = newShop(t)
	s.profile("pole", 5, s.box(0, 0, 10_000, 10))
	p := s.part()
	for _, err := range []error{second(p.Pages(options("A0"))), second(p.Whole(options("A0")))} {
		if err == nil || !strings.Contains(err.Error(), "it is 10 m long: no template is made on paper beyond 5 m; a .dxf file takes 50 m") {
			t.Errorf("10 m on paper: %v", err)
		}
	}
	if f := p.File(options("A0"), false); len(f.Layers) != 4 {
		t.Errorf("10 m as DXF: %d layers", len(f.Layers))
	}
	s = newShop(t)
	s.profile("plate", 5, s.box(0, 0, 4900, 4900))
	if _, err := s.part().Pages(options("A4")); err == nil || !strings.Contains(err.Error(), "sheets of A4") {
		t.Errorf("4.9 m square on A4: %v", err)
	}
	if _, err := s.part().Pages(options("A5")); err == nil {
		t.Error("A5 is taken for paper")
	}
}

func second[T any](_ T, err error) error { return err }
