package tube

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver/linkage"
	"barover/solver/trial"
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
	for i := range 400 {
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
	if ends < 200 {
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
