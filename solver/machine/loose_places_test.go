package machine

import (
	"fmt"
	"math"
	"testing"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// coupled is two coupled axles with both their rods, and a bar that the leading eye of the near rod passes.
type coupled struct {
	throw, base, eye float64
	play, quarter    float64 // of each rod, mm either way; by how much the quartering is out, rad
}

func (c *coupled) draft(by float64) (*draft, int) {
	d := newDraft(0, 360, 5)
	drive, lead := d.fixed("driving_axle", 0, 0), d.fixed("leading_axle", c.base, 0)
	near := d.found("drive_near")
	d.crank(drive, near, d.num(c.throw))
	driving := d.part("driving", drive, near)
	far := d.onPart("drive_far", driving, d.num(0), d.num(c.throw))
	leadNear := d.near("lead_near", c.base+c.throw, 0)
	d.length(lead, leadNear, d.num(c.throw))
	leading := d.part("leading", lead, leadNear)
	leadFar := d.onPart("lead_far", leading, d.num(c.throw*math.Cos(math.Pi/2+c.quarter)), d.num(c.throw*math.Sin(math.Pi/2+c.quarter)))
	for _, e := range [2][2]int{{near, leadNear}, {far, leadFar}} {
		d.hold(schedule.Equation{Kind: schedule.Length, P: e[0], Q: e[1], R: -1, V: d.num(c.base), On: -1, Loose: true, Play: d.num(c.play)})
	}
	rod := d.part("near_rod", near, leadNear)
	d.part("far_rod", far, leadFar)
	eye := d.profile(rod, "eye", d.num(0), d.num(5), d.disc(d.num(c.base), d.num(0), d.num(2*c.eye)))
	bar := d.profile(0, "bar", d.num(0), d.num(5), d.box(d.num(200), d.num(11.1), d.num(270), d.num(17.5)))
	return d, d.check(solver.Check{Kind: solver.Clear, A: eye, B: bar, AtLeast: d.num(by), AtMost: expr.None})
}

// least is that over a grid of every pose that both rods allow, without the solver: the eye stands anywhere about its pin that the near
// rod allows, which is next to the whole disc of half the play.
func (c *coupled) least() float64 {
	best := math.Inf(1)
	miss := func(a, b float64) float64 {
		return math.Abs(math.Hypot(c.base+c.throw*(math.Cos(b)-math.Cos(a)), c.throw*(math.Sin(b)-math.Sin(a))) - c.base)
	}
	width := 3 * (c.play + math.Abs(c.quarter)*c.throw) / c.throw
	step := width / 400
	for k := range 1440 {
		t := 2 * math.Pi * float64(k) / 1440
		for i := -400; i <= 400; i++ {
			at := t + step*float64(i)
			if beyond := math.Max(miss(t, at), miss(t+math.Pi/2, at+math.Pi/2+c.quarter)) - c.play; beyond > 0 {
				i += int(beyond / (c.throw * step)) // a step moves the pin by no more than this
				continue
			}
			pin := plane.Vec{X: c.base}.Add(plane.Polar(at).Scale(c.throw))
			dx, dy := math.Max(0, 200-pin.X), math.Max(0, math.Max(11.1-pin.Y, pin.Y-17.5))
			best = math.Min(best, math.Hypot(dx, dy)-c.eye-c.play/2)
		}
	}
	return best
}

// A coupling rod counts with every place that its play allows: no pose that both rods allow lies below what is proved, and that is near
// to the worst of them.
func TestLooseRodsEverywhere(t *testing.T) {
	for _, c := range []coupled{{25.4, 165.1, 8.73, 0.05, 0}, {25.4, 165.1, 8.73, 0.2, 0}, {25.4, 165.1, 8.73, 0.5, 0}, {25.4, 165.1, 8.73, 0.2, 0.2 * deg}} {
		t.Run(fmt.Sprint(c.play, c.quarter), func(t *testing.T) {
			d, check := c.draft(1)
			f := d.study(t, d.drawn()).Findings[check]
			if f.Play == nil || f.Sure != solver.Proved || !f.OK {
				t.Fatalf("not proved: %+v", f)
			}
			want := c.least()
			if f.Play.Least > want+1e-6 {
				t.Errorf("proved %v, a pose has %v", f.Play.Least, want)
			}
			// The near rod's eye takes the whole of its disc, and the pose that rods with all their play make.
			if f.Play.Least < want-0.004-0.05*c.play {
				t.Errorf("proved %v, the worst pose has %v", f.Play.Least, want)
			}
			if f.Least < want-1e-4 || f.Least > want+0.01*c.play+1e-3 {
				t.Errorf("found %v, the worst pose has %v", f.Least, want)
			}
			t.Logf("tight %.4f, found %.4f, proved %.4f, by grid %.4f", f.Play.Tight, f.Least, f.Play.Least, want)
		})
	}
}
