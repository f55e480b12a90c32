package machine

import (
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/outline"
	"barover/solver/plane"
)

// playedCrank is a slider-crank whose rod passes a bar, with play at both of its eyes and at its slide. Its poses are computed
// here from the play alone, without the solver.
type playedCrank struct {
	throw, rod, half   float64
	big, little, slide float64 // play, mm on the diameter or from side to side
	shank, lip         *outline.Region
}

func (c *playedCrank) draft() (*draft, int) {
	d := newDraft(0, 360, 5)
	s := d.sliderCrank(d.dim("throw", c.throw), d.dim("rod", c.rod), 150)
	shank := d.profile(s.rod, "shank", d.num(0), d.num(5), d.strip(d.num(c.rod), d.num(13), d.num(9), false))
	lip := d.profile(0, "lip", d.num(0), d.num(5), d.box(d.num(100), d.num(c.half), d.num(170), d.num(c.half+5)))
	check := d.clear(shank, lip, d.num(0.2))
	d.keep(d.g.X(s.crosspin), d.num(50), d.num(200))
	add := func(part, point, line int, v float64) {
		d.p.Plays = append(d.p.Plays, solver.Play{Stmt: d.next(), Part: part, Point: point, Line: line, V: d.num(v), Named: true})
	}
	add(s.rod, s.crankpin, -1, c.big)
	add(s.rod, s.crosspin, -1, c.little)
	add(s.slipper, -1, s.bore, c.slide)
	c.shank = mustBuild(d.p.Profiles[shank].Shapes, d)
	c.lip = mustBuild(d.p.Profiles[lip].Shapes, d)
	return d, check
}

func mustBuild(shapes []outline.Shape, d *draft) *outline.Region {
	r, err := outline.Build(shapes, d.drawn())
	if err != nil {
		panic(err)
	}
	return r
}

// pose is the rod and the pin of the crosshead with the eyes at places within their play, by the triangle that they make.
func (c *playedCrank) pose(turn float64, big, little plane.Vec, off float64) (rod plane.Placement, pin plane.Vec) {
	a := plane.Polar(turn).Scale(c.throw).Add(big)
	y := off + little.Y // of the little eye
	x := a.X + math.Sqrt(c.rod*c.rod-(y-a.Y)*(y-a.Y))
	return plane.Placement{Origin: a, Dir: plane.Vec{X: x, Y: y}.Sub(a).Unit()}, plane.Vec{X: x - little.X, Y: off}
}

// The least with play against brute force: eyes round their discs and the slide from bar to bar, at every degree and beside the
// place named. No pose lies below what is proved, and one comes near to it.
func TestPlayAgainstEveryPlace(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 9))
	for range 6 {
		c := &playedCrank{throw: 18 + 6*rng.Float64(), rod: 120 + 20*rng.Float64(), half: 9 + 2*rng.Float64(),
			big: 0.3 * rng.Float64(), little: 0.3 * rng.Float64(), slide: 0.2 * rng.Float64()}
		d, check := c.draft()
		f := d.study(t, d.drawn()).Findings[check]
		if f.Play == nil || f.Sure != solver.Proved {
			t.Fatalf("nothing is proved with play: %+v", f)
		}
		least, least0 := math.Inf(1), math.Inf(1)
		look := func(turn float64) {
			const n = 12
			for i := range n + 1 {
				for j := range n + 1 {
					for _, off := range [2]float64{-c.slide / 2, c.slide / 2} {
						big, little := plane.Polar(2*math.Pi*float64(i)/n).Scale(c.big/2), plane.Polar(2*math.Pi*float64(j)/n).Scale(c.little/2)
						rod, _ := c.pose(turn, big, little, off)
						least = math.Min(least, outline.Distance(c.shank, rod, c.lip, plane.Fixed).D)
					}
				}
			}
			rod, _ := c.pose(turn, plane.Vec{}, plane.Vec{}, 0)
			least0 = math.Min(least0, outline.Distance(c.shank, rod, c.lip, plane.Fixed).D)
		}
		for k := range 180 {
			look(2 * math.Pi * float64(k) / 180)
		}
		for k := range 41 {
			look(f.At.Turn + (float64(k)-20)*0.1*deg)
		}
		if least < f.Play.Least-1e-9 {
			t.Errorf("a pose has %v, below the proved %v", least, f.Play.Least)
		}
		if lost := f.Play.Tight - f.Least; !(least-f.Play.Least < 0.004+0.05*lost) {
			t.Errorf("proved %v, the worst pose has %v; tight %v", f.Play.Least, least, f.Play.Tight)
		}
		if f.Least > least+1e-3 {
			t.Errorf("told %v, a pose has %v", f.Least, least)
		}
		if math.Abs(least0-f.Play.Tight) > 1e-3 {
			t.Errorf("tight %v, want %v", f.Play.Tight, least0)
		}
	}
}

// A keep line is judged with tight pins and has beside it what play makes of it: the crosspin goes as far out as throw and rod reach,
// and half the play of both eyes further.
func TestKeepWithPlay(t *testing.T) {
	c := &playedCrank{throw: 22, rod: 130, half: 12, big: 0.1, little: 0.2, slide: 0.05}
	d, check := c.draft()
	f := d.study(t, d.drawn()).Findings[check+1]
	if math.Abs(f.Greatest-152) > 1e-3 || f.Play == nil || math.Abs(f.Play.Greatest-152.15) > 2e-3 || math.Abs(f.Play.Least-(108-0.15)) > 2e-3 {
		t.Errorf("greatest %v, with play %+v; want 152, and 107.85 to 152.15", f.Greatest, f.Play)
	}
}

// A rod with play is thrown one way at one dead centre and the other way at the other: the stroke is longer, or shorter, by the play of
// both eyes, and so is what a sum makes of two places of the turn.
func TestStrokeWithPlay(t *testing.T) {
	c := &playedCrank{throw: 22, rod: 130, half: 12, big: 0.1, little: 0.2, slide: 0.05}
	d, check := c.draft()
	x := d.p.Checks[check+1].Sum
	at := func(turn float64) expr.ID { return d.g.Binary(expr.AtPlace, x, d.num(turn)) }
	sums := map[string]expr.ID{
		"span":                 d.g.Unary(expr.Span, x),
		"greatest less least":  d.g.Sub(d.g.Unary(expr.Greatest, x), d.g.Unary(expr.Least, x)),
		"one place from other": d.g.Sub(at(0), at(math.Pi)),
	}
	checks := map[string]int{}
	for name, sum := range sums {
		checks[name] = d.keep(sum, d.num(30), d.num(50))
	}
	list := d.study(t, d.drawn()).Findings
	for name, i := range checks {
		if f := list[i]; f.Play == nil || math.Abs(f.Play.Greatest-44.3) > 3e-3 || math.Abs(f.Play.Least-43.7) > 3e-3 {
			t.Errorf("%s: with play %+v; want 43.7 to 44.3", name, f.Play)
		}
	}
}

// Play that a clear line has no part in leaves it as it is, and a clear line of an engine without play costs no more and tells
// nothing of it.
func TestNoPlay(t *testing.T) {
	c := &playedCrank{throw: 22, rod: 130, half: 12}
	d, check := c.draft()
	d.p.Plays = nil
	if f := d.study(t, d.drawn()).Findings[check]; f.Play != nil {
		t.Errorf("play %+v where none is written", f.Play)
	}
}

// Where the two overlap how deep they do is not proved with play. The answer is then the worst that was found with play, never that of
// tight pins, and where it falls short the stretch of the turn is told.
func TestPlayWhereNothingIsProved(t *testing.T) {
	c := &playedCrank{throw: 22, rod: 130, half: 8, big: 0.2, little: 0.2, slide: 0.1}
	d, check := c.draft()
	lip := &d.p.Profiles[d.p.Checks[check].B] // of two boxes: not one convex shape
	lip.Shapes = append(lip.Shapes, d.box(d.num(100), d.num(60), d.num(170), d.num(65)))
	f := d.study(t, d.drawn()).Findings[check]
	if f.OK || f.Sure != solver.Sampled || f.Play == nil {
		t.Fatalf("got %+v, want that it falls short and is not proved", f)
	}
	if f.Play.Tight >= 0 || !(f.Least < f.Play.Tight-0.05) {
		t.Errorf("%v with play, %v tight: play takes 0.1 at each eye", f.Least, f.Play.Tight)
	}
	if len(f.Fouls) == 0 || !(f.Fouls[0].To-f.Fouls[0].From > 10*deg) {
		t.Errorf("not met from %v", f.Fouls)
	}
}

// Where play alone makes a line fall short the stretch over which it may is told, and the places that brute force finds lie within.
func TestStretchWithPlay(t *testing.T) {
	c := &playedCrank{throw: 22, rod: 130, half: 11, big: 0.2, little: 0.2, slide: 0.1}
	d, check := c.draft()
	f := d.study(t, d.drawn()).Findings[check]
	c.half -= f.Least - 0.2 + 0.02 // now it falls short by about 0.02 with play, and not with tight pins
	d, check = c.draft()
	f = d.study(t, d.drawn()).Findings[check]
	if f.OK || !(f.Play.Tight > 0.2) || len(f.Fouls) == 0 {
		t.Fatalf("got %+v with %+v", f, f.Play)
	}
	for k := range 720 {
		turn := 2 * math.Pi * float64(k) / 720
		least := math.Inf(1)
		for i := range 24 {
			for j := range 24 {
				for _, off := range [2]float64{-c.slide / 2, c.slide / 2} {
					rod, _ := c.pose(turn, plane.Polar(2*math.Pi*float64(i)/24).Scale(c.big/2), plane.Polar(2*math.Pi*float64(j)/24).Scale(c.little/2), off)
					least = math.Min(least, outline.Distance(c.shank, rod, c.lip, plane.Fixed).D)
				}
			}
		}
		in := false
		for _, i := range f.Fouls {
			in = in || i.From <= turn && turn <= i.To
		}
		if least < 0.2-1e-6 && !in {
			t.Errorf("at %v° a place has %v, and the stretches told are %v", turn/deg, least, f.Fouls)
		}
	}
}
