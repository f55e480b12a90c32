package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// TestMendFight draws small sets of sums and gaps of three dimensions and holds what mend says of them against a grid over all that
// it looks at: what it says cannot hold together holds together nowhere, what is left of it without one does somewhere or is
// not met by a hair, and where the grid has a place at which everything holds there is a way.
func TestMendFight(t *testing.T) {
	fights, ways := 0, 0
	for k := range 150 {
		rng := rand.New(rand.NewPCG(3, uint64(k)))
		text, checks := fighting(rng)
		if len(checks) == 0 {
			continue
		}
		e, a := mended(t, text, nil)
		if a.Holds {
			continue
		}
		lo, hi := make([]float64, 3), make([]float64, 3)
		for i := range 3 {
			v := e.Dims[i].Value
			lo[i], hi[i] = math.Max(v-math.Max(v/2, e.Machine.Size/20), v/10), v+math.Max(v/2, e.Machine.Size/20)
		}
		together := func(list []int, room float64) bool { return onGrid(checks, list, lo, hi, room) }
		all := make([]int, len(checks))
		for i := range all {
			all[i] = i
		}
		switch {
		case len(a.Ways) > 0:
			ways++
			for i := range a.Ways {
				holdsAnew(t, e, &a.Ways[i])
			}
		case together(all, 0.06):
			t.Errorf("sketch %d: no way, but one is there:\n%s", k, text)
		case a.Fight == nil:
			t.Logf("sketch %d: no way and no fight", k)
		default:
			fights++
			if !a.Fight.Proved {
				t.Errorf("sketch %d: the fight of straight sums is not proved:\n%s", k, text)
			}
			if together(a.Fight.Checks, 0.001) {
				t.Errorf("sketch %d: %v are said not to hold together, and do:\n%s", k, a.Fight.Checks, text)
			}
			for i := range a.Fight.Checks {
				rest := slices.Delete(slices.Clone(a.Fight.Checks), i, i+1)
				if len(rest) > 0 && !together(rest, -0.2) {
					t.Errorf("sketch %d: of %v %v alone do not hold together either:\n%s", k, a.Fight.Checks, rest, text)
				}
			}
		}
	}
	t.Logf("%d fights, %d with a way", fights, ways)
	if fights < 20 || ways < 20 {
		t.Error("too few to tell anything")
	}
}

// straightCheck is a check that v·c keeps from lo to hi.
type straightCheck struct {
	c      [3]float64
	lo, hi float64
}

// fighting draws a sketch without a turn: three dimensions, keeps of their sums and gaps between bands that they give.
func fighting(rng *rand.Rand) (string, []straightCheck) {
	var b strings.Builder
	names := []string{"p", "q", "r"}
	b.WriteString("units mm\n")
	var v [3]float64
	for i, n := range names {
		v[i] = tenth(rng, 3, 8)
		fmt.Fprintf(&b, "dim %s = %.1f\n", n, v[i])
	}
	b.WriteString("point origin at 0, 0\npart inner at origin heading 0\npart outer at origin heading 0\n")
	b.WriteString("profile inner.band across 0 to p\n   disc origin dia 4\nprofile outer.band across p + q - 3 to p + q + r\n   disc origin dia 4\n")
	var checks []straightCheck
	for range 2 + rng.IntN(3) {
		var c straightCheck
		sum := "0mm"
		for i := range 3 {
			c.c[i] = float64(rng.IntN(5) - 2)
			sum += fmt.Sprintf(" + %g*%s", c.c[i], names[i])
		}
		c.lo = tenth(rng, -6, 5)
		for i := range 3 {
			c.lo += c.c[i] * v[i]
		}
		c.lo = math.Round(10*c.lo) / 10
		c.hi = c.lo + math.Round(40*rng.Float64())/10
		fmt.Fprintf(&b, "keep %s above %g below %g\n", strings.ReplaceAll(sum, "+ -", "- "), c.lo, c.hi)
		checks = append(checks, c)
	}
	if rng.IntN(2) == 0 { // the opening is q - 3, as long as the outer one stays outside
		lo := tenth(rng, 0, 6)
		fmt.Fprintf(&b, "gap inner outer at least %g\n", lo)
		checks = append(checks, straightCheck{[3]float64{0, 1, 0}, lo + 3, math.Inf(1)})
	}
	return b.String(), checks
}

// onGrid reports whether some checks hold together at a place of a grid over the box with room to spare; below zero, if they are
// missed by no more than that.
func onGrid(checks []straightCheck, list []int, lo, hi []float64, room float64) bool {
	const n = 60
	at := func(i, k int) float64 { return lo[i] + (hi[i]-lo[i])*float64(k)/n }
	for x := range n + 1 {
		for y := range n + 1 {
		next:
			for z := range n + 1 {
				v := [3]float64{at(0, x), at(1, y), at(2, z)}
				for _, i := range list {
					c := &checks[i]
					sum := v[0]*c.c[0] + v[1]*c.c[1] + v[2]*c.c[2]
					if sum < c.lo+room || sum > c.hi-room {
						continue next
					}
				}
				return true
			}
		}
	}
	return false
}
