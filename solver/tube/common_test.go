package tube

import (
	"context"
	"testing"

	"barover/solver/linkage"
	"barover/solver/trial"
)

// notched is a slider-crank whose axle moves by travel 0, and a link from its crosshead to a slide as high as travel 1.
func notched() *trial.Sketch {
	s := trial.New(2)
	o := s.Driven(s.Num(0), s.Graph.Travel(0))
	c, x, y := s.Found(22, 0), s.Found(155.35, 0), s.Found(235, 20)
	s.Length(o, c, s.Num(22))
	s.Heading(o, c, s.Graph.Turn())
	s.Length(c, x, s.Num(133.35))
	s.Slide(x, s.Line(s.Fixed(0, 0), s.Num(0)))
	s.Length(x, y, s.Num(80))
	s.Slide(y, s.Line(s.Driven(s.Num(0), s.Graph.Travel(1)), s.Num(0)))
	s.Part(o, c)
	s.Part(c, x)
	s.Part(x, y)
	return s
}

// What one tube leaves for another encloses the motion there as well.
func TestCommon(t *testing.T) {
	l, err := notched().Link(0, 0, 20)
	if err != nil {
		t.Fatal(err)
	}
	s := l.Schedule()
	for part, want := range []uint64{0, 1, 1, 3} {
		if got := s.PartRides(part); got != want {
			t.Errorf("part %d rides on the travels %b, want %b", part, got, want)
		}
	}
	p, err := NewPlan(s, l.Values())
	if err != nil {
		t.Fatal(err)
	}
	ctx := context.Background()
	c := NewCommon(p, 1<<1)
	ask := Ask{Turn: round(0), Rest: []float64{0, 20}, Size: 180, Tolerance: 1e-3, Common: c}
	for _, height := range []float64{20, -15, 45} {
		ask.Travel = []Range{{-3, 3}, {height, height}}
		tube, err := Enclose(ctx, p, Following(ctx, l, ask.Turn, nil), ask)
		if err != nil || !tube.Whole() {
			t.Fatalf("at %g: %v, gaps %v", height, err, tube.Gaps)
		}
		if !c.full {
			c.Made(tube)
		} else if shared := c.sharedWith(tube); shared < len(tube.Boxes)/2 {
			t.Errorf("at %g: %d of %d boxes are shared; want most", height, shared, len(tube.Boxes))
		}
		for _, rise := range []float64{-3, 0.7, 2} {
			comparePoses(t, tube, l, []float64{rise, height})
		}
	}
}

// sharedWith counts the boxes of a tube that are known.
func (c *Common) sharedWith(t *Tube) (n int) {
	for i := range t.Boxes {
		if _, ok := c.boxes[c.key(&t.Boxes[i].at)]; ok {
			n++
		}
	}
	return n
}

func comparePoses(t *testing.T, tube *Tube, l *linkage.Linkage, travel []float64) {
	t.Helper()
	mo, err := l.Follow(context.Background(), travel, tube.Turn.From, tube.Turn.To, degree)
	if err != nil {
		t.Fatal(err)
	}
	var pose linkage.Pose
	for turn := 0.003; turn < tube.Turn.To; turn += 0.05 {
		if mo.At(turn, &pose) != linkage.Solved {
			t.Fatalf("no position at %g", turn)
		}
		if miss := tube.off(tube.find(turn, travel), &pose, 2e-9); miss != "" {
			t.Fatalf("at %g, travels %v: %s", turn/degree, travel, miss)
		}
	}
}
