package change_test

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"barover/solver/change"
	"barover/solver/machine"
	"barover/solver/trial/engine"
)

var seed = flag.Uint64("seed", 7, "seed of the random tests")

// side makes of an engine one of the two to be compared, its checks in the order given.
func side(e *engine.Engine, order ...int) *change.Engine {
	p := *e.Problem
	p.Checks = slices.Clone(p.Checks)
	for i, k := range order {
		p.Checks[i] = e.Problem.Checks[k]
	}
	out := &change.Engine{Problem: &p, Values: e.Values(), Vary: engine.Varied(&p, e.Values())}
	for i := range p.Checks {
		out.About = append(out.About, fmt.Sprint("check ", p.Checks[i].Stmt))
		out.Line = append(out.Line, fmt.Sprint("line ", p.Checks[i].Stmt))
	}
	return out
}

func compare(t interface {
	Fatal(...any)
	Helper()
}, before, after *change.Engine) *change.Comparison {
	t.Helper()
	c, err := change.Compare(ctx, before, after, machine.Options{Workers: 2})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestCompareWithItself(t *testing.T) {
	e := engine.New()
	c := compare(t, side(e), side(e))
	if n := len(c.Dims) + len(c.Checks) + len(c.Came) + len(c.Went) + len(c.Measures) + len(c.Marks) + len(c.DimsCame) + len(c.DimsWent); n != 0 {
		t.Errorf("%d things differ between an engine and itself: %+v", n, c)
	}
}

// A rod set 1.0 mm further out and a bearing made 0.35 mm thinner about its middle open the gap beside it by 1.0 and by
// half of 0.35: common practice, and plain subtraction.
func TestGapOpensByItsParts(t *testing.T) {
	now := engine.New().Set("rod_out", 13).Set("bearing_thick", 4.65)
	c := compare(t, side(engine.New()), side(now))
	i := slices.IndexFunc(c.Checks, func(d change.Check) bool { return d.After == engine.Beside })
	if i < 0 {
		t.Fatal("the gap did not move")
	}
	d := c.Checks[i]
	if !near(d.Is-d.Was, 1.175, 1e-9) || !near(d.Together, 0, 1e-9) {
		t.Errorf("moved by %v, together %v; want 1.175, 0", d.Is-d.Was, d.Together)
	}
	got := map[string]float64{}
	for _, s := range d.Shares {
		got[c.Dims[s.Dim].Name] = s.By
	}
	want := map[string]float64{"rod_out": 1, "bearing_thick": 0.175}
	for name, w := range want {
		if !near(got[name], w, 1e-9) {
			t.Errorf("share of %s: got %v, want %v", name, got[name], w)
		}
	}
	if len(got) != len(want) {
		t.Errorf("shares %v, want %v", got, want)
	}
}

// A pin that is made stays as it is while the sum that gives it goes on: the whole change is the share of what it should
// have followed.
func TestHeldDimensionHasNoShare(t *testing.T) {
	now := engine.New().Set("rod_out", 13).Set("pin_length", 8)
	c := compare(t, side(engine.New()), side(now))
	var names []string
	for _, d := range c.Dims {
		names = append(names, d.Name)
	}
	if diff := cmp.Diff([]string{"pin_length", "rod_out"}, names); diff != "" {
		t.Errorf("changed dimensions (-want +got):\n%s", diff)
	}
	for _, d := range c.Checks {
		if d.After != engine.Pin {
			continue
		}
		if len(d.Shares) != 1 || c.Dims[d.Shares[0].Dim].Name != "rod_out" || !near(d.Shares[0].By, -1, 1e-12) || !near(d.Together, 0, 1e-12) || d.OKNow {
			t.Errorf("got %+v; want the whole of −1 from rod_out, and the check broken", d)
		}
		return
	}
	t.Error("the pin's check did not move")
}

// What follows by its own sum has no share of its own.
func TestFollowerHasNoShare(t *testing.T) {
	c := compare(t, side(engine.New()), side(engine.New().Set("throw", 25)))
	if len(c.Dims) != 1 || c.Dims[0].Name != "throw" {
		t.Errorf("changed by themselves: %+v; want throw alone, which cover follows", c.Dims)
	}
	if len(c.Measures) != 2 || len(c.Marks) != 1 {
		t.Errorf("%d measures and %d marks moved; want the stroke and the height, and the mark that shows it", len(c.Measures), len(c.Marks))
	}
}

// Whatever is changed, the shares and what is left come to the whole change, and each share is what the dimension does
// alone.
func TestSharesAddUp(t *testing.T) {
	t.Logf("seed %d", *seed)
	rng := rand.New(rand.NewPCG(*seed, 1))
	dims := []string{"throw", "rod", "rod_deep", "mouth", "half_bore", "lip_room", "rod_out", "rod_thick", "bearing_thick", "pin_length", "cover"}
	checked := 0
	for range 12 {
		before, after := engine.New(), engine.New()
		for _, d := range dims {
			for _, e := range []*engine.Engine{before, after} {
				if rng.IntN(3) == 0 {
					e.Set(d, e.Value(d)*(1+0.04*(rng.Float64()-0.5)))
				}
			}
		}
		c := compare(t, side(before), side(after))
		for _, d := range c.Checks {
			if math.IsNaN(d.Was) || math.IsNaN(d.Is) {
				continue
			}
			sum := d.Together
			for _, s := range d.Shares {
				sum += s.By
				alone := before.Number(c.Dims[s.Dim].Name)
				fixed := map[int]float64{alone: c.Dims[s.Dim].After}
				for _, other := range c.Dims {
					if other.Name != c.Dims[s.Dim].Name {
						fixed[before.Number(other.Name)] = other.Before
					}
				}
				m, err := before.Vary().Machine(fixed)
				if err != nil {
					t.Fatal(err)
				}
				res, err := m.Some(ctx, machine.Options{}, []int{d.Before})
				if err != nil {
					t.Fatal(err)
				}
				v := res.Findings[0].Least
				if d.Upper {
					v = res.Findings[0].Greatest
				}
				if !near(v-d.Was, s.By, 1e-7) {
					t.Errorf("share of %s in check %d: got %v, alone it does %v", c.Dims[s.Dim].Name, d.Before, s.By, v-d.Was)
				}
				checked++
			}
			if !near(sum, d.Is-d.Was, 1e-9) {
				t.Errorf("check %d: shares and together come to %v, the change is %v", d.Before, sum, d.Is-d.Was)
			}
		}
	}
	if checked < 50 {
		t.Errorf("only %d shares were checked", checked)
	}
}

// The order in which the checks are written does not matter.
func TestOrderOfChecks(t *testing.T) {
	before, after := engine.New(), engine.New().Set("throw", 25).Set("rod_out", 12.5).Set("half_bore", 15)
	want := words(compare(t, side(before), side(after)), side(before), side(after))
	rapid.Check(t, func(t *rapid.T) {
		orders := [2][]int{}
		for i := range orders {
			orders[i] = rapid.Permutation([]int{0, 1, 2, 3, 4}).Draw(t, "order")
		}
		a, b := side(before, orders[0]...), side(after, orders[1]...)
		if diff := cmp.Diff(want, words(compare(t, a, b), a, b)); diff != "" {
			t.Fatalf("orders %v (-want +got):\n%s", orders, diff)
		}
	})
}

// words tells a comparison without the numbers of the checks.
func words(c *change.Comparison, before, after *change.Engine) (out []string) {
	for _, d := range c.Checks {
		line := fmt.Sprint(before.About[d.Before], after.About[d.After], d.Upper, d.Was, d.Is, d.OKBefore, d.OKNow, d.Together)
		for _, s := range d.Shares {
			line += fmt.Sprint(" ", c.Dims[s.Dim].Name, s.By)
		}
		out = append(out, line)
	}
	return out
}

// Checks that only one side asks are named, and a limit that was changed does not make a check another one.
func TestCameAndWent(t *testing.T) {
	before, after := side(engine.New()), side(engine.New())
	after.Line[engine.Lip] = "another limit"
	after.About[engine.End], before.About[engine.Pin] = "new", "old"
	c := compare(t, before, after)
	if !slices.Equal(c.Came, []int{engine.Pin, engine.End}) || !slices.Equal(c.Went, []int{engine.End, engine.Pin}) {
		t.Errorf("came %v, went %v; want checks %d and %d both", c.Came, c.Went, engine.Pin, engine.End)
	}
	if len(c.Checks) != 0 {
		t.Errorf("moved: %+v; want nothing", c.Checks)
	}
}

// A dimension with which, changed alone, the engine cannot be assembled has no share; what it does is in what is left.
func TestAloneImpossible(t *testing.T) {
	before, after := engine.New(), engine.New().Set("rod", 20).Set("throw", 10)
	c := compare(t, side(before), side(after))
	for i, d := range c.Dims {
		if want := d.Name != "rod"; c.Alone[i] != want {
			t.Errorf("%s alone: got %v, want %v", d.Name, c.Alone[i], want)
		}
	}
}

func near(got, want, tol float64) bool { return math.Abs(got-want) <= tol }
