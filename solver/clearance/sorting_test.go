package clearance

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver/taylor"
	"barover/solver/trial"
	"barover/solver/tube"
)

// sortings counts engines that were told apart.
type sortings struct{ pairs, engines, holds, short, doubt, near int }

func (s sortings) String() string {
	return fmt.Sprintf("%d pairs, %d engines: %d surely hold, %d are surely short, %d in doubt, of which %d within a hundredth of what the sizes do",
		s.pairs, s.engines, s.holds, s.short, s.doubt, s.near)
}

// TestSortedEnginesAreRight draws sketches with tolerances and sorts engines by how near two bodies come. What is asked is what one of the
// engines has; that and others are enclosed and proved one by one, without sizes: none that surely holds may come nearer, none that
// is surely short may keep farther apart.
func TestSortedEnginesAreRight(t *testing.T) {
	n := max(80, linkages(80, 1000))
	sum, misses := sortMany(t, n, false, func(*Over) {})
	t.Logf("seed %d: %s", *seed, sum)
	for _, m := range misses {
		t.Error(m)
	}
	if sum.holds < n/2 || sum.short < n/2 || sum.doubt-sum.near > sum.engines/6 {
		t.Errorf("too little came of it: %s", sum)
	}
}

// TestSpoiledLineIsNoticed takes what a figure is in the middle of a part for all of the part: engines must then surely hold that do not.
func TestSpoiledLineIsNoticed(t *testing.T) {
	sum, misses := sortMany(t, 40, true, func(o *Over) {
		o.below = func(s *taylor.Space, poly []float64, disc []bool) taylor.Line {
			l := s.LineBelow(poly, disc)
			lo, _ := s.Least(s.Undeviated(poly))
			l.Lo += poly[0] - lo
			return l
		}
	})
	if len(misses) == 0 {
		t.Errorf("lines without their remainder passed: %s", sum)
	}
}

// sortMany draws sketches, n at most: where the lines are spoilt, until that is noticed.
func sortMany(t *testing.T, n int, spoilt bool, spoil func(*Over)) (sum sortings, misses []string) {
	rng := rand.New(rand.NewPCG(*seed, 17))
	for i := 0; i < n && !(spoilt && len(misses) > 0); i++ {
		e, ok := toleranced(t, rng)
		if e == nil || !ok || e.disc[0] {
			continue
		}
		spoil(e.over)
		for _, q := range trial.Pairs(e.d.Bodies, 2) {
			misses = append(misses, e.sortPair(t, rng, &e.d.Bodies[q[0]], &e.d.Bodies[q[1]], &sum)...)
		}
	}
	return sum, misses
}

// sortPair sorts engines by a pair of bodies.
func (e *engines) sortPair(t *testing.T, rng *rand.Rand, a, b *trial.Body, sum *sortings) (misses []string) {
	fa, oka := e.over.Form(a.Part, a.Region, a.Shapes)
	fb, okb := e.over.Form(b.Part, b.Region, b.Shapes)
	if !oka || !okb {
		return nil
	}
	type engine struct {
		dev    []float64
		lo, hi float64
	}
	var list []engine
	for range 8 {
		dev := e.drawDev(rng)
		if lo, hi, ok := e.proved(t, dev, a, b); ok {
			list = append(list, engine{dev, lo, hi})
		}
	}
	if len(list) < 3 || list[0].lo < 0.05 {
		return nil
	}
	width := 0.0
	for _, x := range list {
		width = max(width, math.Abs(x.lo-list[0].lo))
	}
	asked := list[0].hi + 3*besideToggle
	s, ok := e.over.SortLeast(fa, fb, a.Region, b.Region, unbroken(a) && unbroken(b), asked, asked)
	if !ok {
		return nil
	}
	sum.pairs++
	for _, x := range list {
		sum.engines++
		class, floor := s.Of(x.dev)
		switch {
		case class == SurelyHolds:
			if sum.holds++; x.hi < asked-besideToggle {
				misses = append(misses, fmt.Sprintf("%s: surely holds with %v: %.9g asked, has [%.9g, %.9g]", e.d.Kind, x.dev, asked, x.lo, x.hi))
			}
		case class == SurelyShort:
			if sum.short++; x.lo > asked+besideToggle {
				misses = append(misses, fmt.Sprintf("%s: surely short with %v: %.9g asked, has [%.9g, %.9g]", e.d.Kind, x.dev, asked, x.lo, x.hi))
			}
		default:
			if sum.doubt++; math.Abs(x.lo-asked) < 0.01*width {
				sum.near++
			}
		}
		if x.hi < floor-besideToggle {
			misses = append(misses, fmt.Sprintf("%s: nowhere below %.9g with %v, has [%.9g, %.9g]", e.d.Kind, floor, x.dev, x.lo, x.hi))
		}
	}
	return misses
}

// proved is between what the distance of two bodies lies in one engine, enclosed by itself.
func (e *engines) proved(t *testing.T, dev []float64, a, b *trial.Body) (lo, hi float64, ok bool) {
	l, v, ok := e.engine(dev)
	if !ok {
		return 0, 0, false
	}
	ctx := context.Background()
	plan, err := tube.NewPlan(l.Schedule(), l.Values())
	if err != nil {
		t.Fatal(err)
	}
	over := tube.Range{From: e.d.From, To: e.d.From + 2*math.Pi}
	tb, err := tube.Enclose(ctx, plan, tube.Following(ctx, l, over, nil), tube.Ask{Turn: over, Travel: []tube.Range{{From: -e.d.Rise, To: e.d.Rise}},
		Rest: []float64{0}, Reach: reaches(l, e.d.Bodies), Size: 150, Tolerance: 1e-5})
	if err != nil || !tb.Whole() {
		return 0, 0, false
	}
	q, ok := made(v, a, b)
	if !ok {
		return 0, 0, false
	}
	ans := New([]*tube.Tube{tb}, 1e-5).Least(ctx, q.a, q.b)
	return ans.Lo, ans.Hi, ans.Done
}
