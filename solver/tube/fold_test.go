package tube

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver/expr"
	"barover/solver/linkage"
	"barover/solver/trial"
	"barover/solver/trial/draws"
)

// folding four-bars and slider-cranks: the crank cannot go all the way round.
func randomFolding(rnd *rand.Rand, k int) (bench, bool) {
	size := func() float64 { return math.Exp(2*rnd.Float64() + 3) }
	a, b, c, d := size(), size(), size(), size()
	if k%2 == 0 { // a crank longer than its rod
		rise := (rnd.Float64() - 0.5) * a / 2
		if !((b+math.Abs(rise))/a < 0.97) || !(math.Abs(rise) < 0.9*b) {
			return bench{}, false
		}
		s := trial.New(0)
		o, p, x := s.Fixed(0, 0), s.Found(a, 0), s.Found(a+math.Sqrt(b*b-rise*rise), rise)
		s.Length(o, p, s.Num(a))
		s.Heading(o, p, s.Graph.Turn())
		s.Length(p, x, s.Num(b))
		s.Slide(x, s.Line(s.Fixed(0, rise), s.Num(0)))
		s.Part(p, x)
		return bench{"slider-crank", s, round(0), nil, nil}, true
	}
	from := 2 * math.Pi * rnd.Float64()
	cos := (a*a + d*d - (b+c)*(b+c)) / (2 * a * d)
	reach := math.Sqrt(a*a + d*d - 2*a*d*math.Cos(from))
	if !(math.Abs(cos) < 0.97) || !(reach < 0.95*(b+c) && reach > 1.05*math.Abs(b-c)) {
		return bench{}, false
	}
	return bench{"four-bar", fourBar(d, a, b, c, from, 1), round(from), nil, nil}, true
}

// TestUpToDeadCentre: a tube reaches up to the dead centres at which its motion ends and begins. Every position there lies
// within the box, and no stretch that can be assembled is left out.
func TestUpToDeadCentre(t *testing.T) {
	const seed = 5
	rnd := rand.New(rand.NewPCG(seed, 0))
	ends, looked, cases := 0, 0, 0
	for i := range draws.Of(400) {
		b, ok := randomFolding(rnd, i)
		if !ok {
			continue
		}
		cases++
		tube, l := b.enclose(t)
		mo, err := l.Follow(context.Background(), nil, b.over.From, b.over.To, degree)
		if err != nil {
			t.Fatal(err)
		}
		for _, g := range tube.Gaps {
			if g.Cause != CannotAssemble {
				t.Errorf("case %d, %s: %v from %.12g to %.12g, spans %.12g", i, b.name, g.Cause, g.Turn.From, g.Turn.To, mo.Spans())
			}
		}
		for k := range tube.Boxes {
			box := &tube.Boxes[k]
			if box.folded == nil {
				continue
			}
			ends++
			for n := range 20 {
				turn := box.Turn.From + (box.Turn.To-box.Turn.From)*float64(n)/19
				if n > 0 && n < 19 && n%2 == 0 {
					turn = box.Turn.To - (box.Turn.To-box.Turn.From)*math.Pow(10, -float64(n)/3)
				}
				if off := offFold(t, tube, box, l, mo, turn); !(off <= 0) {
					t.Fatalf("case %d, %s: at %.15g a place is %g outside the box from %.15g to %.15g", i, b.name, turn, off, box.Turn.From, box.Turn.To)
				}
				looked++
			}
		}
	}
	t.Logf("%d cases, %d ends, %d positions", cases, ends, looked)
	if ends < draws.Of(200) {
		t.Errorf("only %d ends in %d cases", ends, cases)
	}
}

// offFold returns by how much, mm, the position at a turn is outside a box up to a dead centre; below zero it is inside. The
// coordinate of the position is found from the value of a scalar that moves.
func offFold(t *testing.T, tube *Tube, box *Box, l *linkage.Linkage, mo *linkage.Motion, turn float64) float64 {
	t.Helper()
	var p linkage.Pose
	if s := mo.At(turn, &p); s > linkage.DeadCentre {
		t.Fatalf("%v at %.15g", s, turn)
	}
	x := make([]float64, len(tube.Plan.scalar))
	l.Scalars(&p, x)
	best := math.Inf(1)
	for _, k := range tube.Plan.known { // one of them is the box's own coordinate
		i := tube.Plan.kept[tube.Plan.scalar[k]]
		tau := [4]float64{}
		slope := box.poly[i*tube.Space.N+1]
		if math.Abs(slope) < 1e-300 {
			continue
		}
		tau[0] = (x[k] - box.poly[i*tube.Space.N]) / slope
		off := max(math.Abs(tau[0])-1-1e-9, 0)
		for _, k := range tube.Plan.known {
			i := tube.Plan.kept[tube.Plan.scalar[k]]
			at := [len(Part{}.Mid)]float64{tau[0]}
			off = max(off, math.Abs(tube.value(box, i, &at)-x[k])-box.rad[i]-1e-11*180)
		}
		best = min(best, off)
	}
	return best
}

// TestHeadingUpToDeadCentre: a heading is followed into a box up to a dead centre from where the motion comes in, even where two
// points pass one another within that box. A block on a bore ends under its driver, and passes a peg on the way.
func TestHeadingUpToDeadCentre(t *testing.T) {
	const long, x = 10., 0.01
	for _, y := range []float64{x, x / 10, -x} {
		s := trial.New(0)
		p := s.Driven(s.Num(0), s.Graph.Mul(s.Num(long), s.Graph.Turn())) // at the end of the turn as high as the rod is long
		q, peg := s.Found(long, 0), s.Fixed(x, y)
		s.Length(p, q, s.Num(long))
		s.Slide(q, s.Line(s.Fixed(0, 0), s.Num(0)))
		b := bench{"", s, Range{0, 1}, nil, nil}
		tube, l := b.enclose(t)
		last := len(tube.Boxes) - 1
		if !tube.Whole() || tube.Boxes[last].folded == nil {
			t.Fatalf("not enclosed up to the dead centre: %v", tube.Gaps)
		}
		g := s.Graph
		f, err := NewFigure(tube.Plan, l.Values(), g.Binary(expr.Heading, g.Sub(g.Y(peg), g.Y(q)), g.Sub(g.X(peg), g.X(q))), expr.None)
		if err != nil {
			t.Fatal(err)
		}
		r, ok := NewRunner(f, tube)
		if !ok {
			t.Fatalf("peg %v above the bore: the heading is lost", y)
		}
		for _, lead := range r.base[0][last] { // the coordinate is the block's place, 0 at the end
			at := tube.Boxes[last].poly[tube.Plan.kept[tube.Plan.at(tube.Plan.Schedule.Point[q]).x]*tube.Space.N:][:tube.Space.N]
			block := turnAt(at, lead.part.Mid[0])
			if want := math.Atan2(y, x-block); math.Abs(lead.at-want) > 1e-6 {
				t.Errorf("peg %v above the bore: heading %v with the block at %v, want %v", y, lead.at, block, want)
			}
		}
	}
}
