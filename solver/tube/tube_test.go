package tube

import (
	"context"
	"math"
	"testing"
)

func TestSliderCrank(t *testing.T) {
	s := sliderCrank()
	p := s.plan(t)
	for i, st := range p.steps {
		t.Logf("step %d: %d scalars, slots %v", i, len(st.scalars), st)
	}
	g := newCreeper(t, p, 0, []float64{0}, []pointAt{{p.Schedule.Point[2], 155.35, 0}})
	tube, err := Enclose(context.Background(), p, g, Ask{Turn: Range{0, 2 * math.Pi}, Travel: []Range{{0, 0}}, Size: 180, Tolerance: 1e-3})
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%d boxes, gaps %v, closes %v, reached %v, one %v", len(tube.Boxes), tube.Gaps, tube.Closes, tube.Reached, tube.OneBranch)
	for i := range tube.Boxes {
		b := &tube.Boxes[i]
		t.Logf("%v %v", b.Turn, b.rad)
	}
}
