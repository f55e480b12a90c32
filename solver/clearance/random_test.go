package clearance

import (
	"context"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"barover/solver/linkage"
	"barover/solver/outline"
	"barover/solver/taylor"
	"barover/solver/trial"
	"barover/solver/trial/draws"
	"barover/solver/tube"
)

var (
	full = flag.Bool("full", false, "draw many more linkages: 1500 in TestNoSampleBelow, not 40")
	seed = flag.Uint64("seed", 20260517, "seed of the drawn linkages")
)

// linkages is how many linkages are drawn: of some as many as random tests draw, or many in the long form.
func linkages(some, many int) int {
	if *full {
		return many
	}
	return draws.Of(some)
}

// TestNoSampleBelow draws linkages with outlines and proves the least distance of every pair. No sampled distance may lie
// below it; and at the place named, none above by more than the tolerance.
func TestNoSampleBelow(t *testing.T) {
	n := linkages(40, 1500)
	tally, misses := drawMany(t, n, false, func(*Prover) {})
	t.Logf("seed %d: %s", *seed, tally)
	for _, m := range misses {
		t.Error(m)
	}
	if tally.samples < 100*n || tally.open*10 > tally.pairs {
		t.Errorf("too little came of it: %s", tally)
	}
}

// TestRemainderIsNoticed leaves out the parts of higher degree when distances are bounded: samples must then be found below.
func TestRemainderIsNoticed(t *testing.T) {
	if tally, misses := drawMany(t, 25, true, func(p *Prover) { p.lower = withoutTail }); len(misses) == 0 {
		t.Errorf("bounds without their remainders passed: %s", tally)
	}
}

// TestSkippedCellIsNoticed leaves one box in five out of the search: samples must then be found below.
func TestSkippedCellIsNoticed(t *testing.T) {
	if tally, misses := drawMany(t, 25, true, func(p *Prover) { p.skips = func(box int) bool { return box%5 == 2 } }); len(misses) == 0 {
		t.Errorf("a search that skips boxes passed: %s", tally)
	}
}

// tally counts what was looked at.
type tally struct {
	linkages, gaps, pairs, open, samples int
	tightest                             float64 // least of sampled less proved
}

func (t tally) String() string {
	return fmt.Sprintf("%d linkages (%d with gaps), %d pairs (%d left open), %d samples, nearest to its bound %.3g above it",
		t.linkages, t.gaps, t.pairs, t.open, t.samples, t.tightest)
}

// drawMany draws linkages, n at most: where the bounds are spoilt, others, until that is noticed.
func drawMany(t *testing.T, n int, spoilt bool, spoil func(*Prover)) (sum tally, misses []string) {
	stream := uint64(7)
	if spoilt {
		stream = 10
	}
	rng := rand.New(rand.NewPCG(*seed, stream))
	sum.tightest = math.Inf(1)
	for i := 0; i < n && !(spoilt && len(misses) > 0); i++ {
		d, err := trial.Random(rng)
		if err != nil {
			continue
		}
		l, err := d.Link(d.From, 0)
		if err != nil {
			continue // drawn so that it cannot be assembled at the start
		}
		for _, m := range drawOne(t, rng, d, l, spoil, &sum) {
			misses = append(misses, fmt.Sprintf("linkage %d, %s: %s", i, d.Kind, m))
		}
	}
	return sum, misses
}

func drawOne(t *testing.T, rng *rand.Rand, d *trial.Drawn, l *linkage.Linkage, spoil func(*Prover), sum *tally) (misses []string) {
	ctx := context.Background()
	plan, err := tube.NewPlan(l.Schedule(), l.Values())
	if err != nil {
		t.Fatal(err)
	}
	over := tube.Range{From: d.From, To: d.From + 2*math.Pi}
	tb, err := tube.Enclose(ctx, plan, tube.Following(ctx, l, over, nil), tube.Ask{Turn: over, Travel: []tube.Range{{From: -d.Rise, To: d.Rise}},
		Rest: []float64{0}, Reach: reaches(l, d.Bodies), Size: 150, Tolerance: 1e-3})
	if err != nil {
		t.Fatal(err)
	}
	sum.linkages++
	if !tb.Whole() {
		sum.gaps++
	}
	p := New([]*tube.Tube{tb}, 1e-3)
	spoil(p)
	p = p.Fork()
	s := &sampler{rng: rng, l: l, tube: tb, rise: d.Rise, motions: map[float64]*linkage.Motion{}}
	for _, q := range trial.Pairs(d.Bodies, 100) {
		a, b := Body{d.Bodies[q[0]].Region, d.Bodies[q[0]].Part}, Body{d.Bodies[q[1]].Region, d.Bodies[q[1]].Part}
		ans := p.Least(ctx, a, b)
		sum.pairs++
		if !ans.Done {
			sum.open++
		}
		if m := s.check(t, a, b, &ans, sum); m != "" {
			misses = append(misses, fmt.Sprintf("%s against %s, [%.9g, %.9g] at %v: %s", d.Bodies[q[0]].Name, d.Bodies[q[1]].Name, ans.Lo, ans.Hi, ans.At, m))
		}
	}
	return misses
}

// sampler looks at positions of one linkage.
type sampler struct {
	rng     *rand.Rand
	l       *linkage.Linkage
	tube    *tube.Tube
	rise    float64
	motions map[float64]*linkage.Motion
	pose    linkage.Pose
}

// distance is that of two bodies at a position, false where there is none or nothing is claimed. After a gap where the linkage can go
// either way the motion sampled may have gone the other.
func (s *sampler) distance(t *testing.T, a, b Body, turn, height float64) (float64, bool) {
	for _, g := range s.tube.Gaps {
		if turn >= g.Turn.From && (turn <= g.Turn.To || g.Cause == tube.EitherWay) {
			return 0, false
		}
	}
	mo := s.motions[height]
	if mo == nil {
		var err error
		if mo, err = s.l.Follow(context.Background(), []float64{height}, s.tube.Turn.From, s.tube.Turn.To, degree); err != nil {
			t.Fatal(err)
		}
		s.motions[height] = mo
	}
	if mo.At(turn, &s.pose) != linkage.Solved {
		return 0, false
	}
	return outline.Distance(a.Region, s.pose.Part[a.Part], b.Region, s.pose.Part[b.Part]).D, true
}

const (
	// What a sampled distance may be off, mm: rounding, and beside a toggle by how much the motion itself may be.
	rounding     = 1e-8
	besideToggle = 1e-6
	// endOff is how far, rad, the turn of a place may be off beside the end of a motion, where the turn is enclosed as a polynomial.
	endOff = 1e-6
)

func (s *sampler) check(t *testing.T, a, b Body, ans *Answer, sum *tally) string {
	if len(s.tube.Boxes) == 0 {
		return ""
	}
	at := ans.At.Travel[0]
	for i := range 120 {
		turn, height := s.tube.Turn.From+(s.tube.Turn.To-s.tube.Turn.From)*s.rng.Float64(), at
		switch {
		case i < 60: // ever nearer to the place named
			turn = ans.At.Turn + s.rng.NormFloat64()*math.Pow(10, -float64(i)/8)
			turn = min(max(turn, s.tube.Turn.From), s.tube.Turn.To)
		case i < 64 && s.rise > 0:
			height = s.rise * (2*s.rng.Float64() - 1)
		}
		v, ok := s.distance(t, a, b, turn, height)
		if !ok {
			continue
		}
		sum.samples++
		sum.tightest = min(sum.tightest, v-ans.Lo)
		if v < ans.Lo-rounding {
			return fmt.Sprintf("%.9g at %.9g°, height %g", v, turn/degree, height)
		}
	}
	v, ok := s.distance(t, a, b, ans.At.Turn, at)
	if !ok || v <= ans.Hi+besideToggle {
		return ""
	}
	for _, off := range []float64{-endOff, endOff} {
		if !s.atEnd(ans.At.Turn) {
			break
		}
		if u, ok := s.distance(t, a, b, ans.At.Turn+off, at); ok && v-math.Abs(u-v) <= ans.Hi+besideToggle {
			return ""
		}
	}
	return fmt.Sprintf("%.9g at the place named", v)
}

// atEnd reports whether a gap begins or ends at a turn.
func (s *sampler) atEnd(turn float64) bool {
	return slices.ContainsFunc(s.tube.Gaps, func(g tube.Gap) bool {
		return min(math.Abs(turn-g.Turn.From), math.Abs(turn-g.Turn.To)) < endOff
	})
}

// withoutTail bounds a polynomial as if it had no parts above degree two.
func withoutTail(s *taylor.Space, c []float64) (float64, [taylor.MaxVars]float64) {
	short := append([]float64(nil), c...)
	clear(short[s.At[3]:])
	return s.Least(short)
}
