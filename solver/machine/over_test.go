package machine

import (
	"context"
	"math"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"barover/solver"
)

// TestFound: every finding that is proved to the end is told once, as it is in the result, before the study is done.
func TestFound(t *testing.T) {
	d, _ := sprung()
	m, err := New(d.p, d.drawn())
	if err != nil {
		t.Fatal(err)
	}
	var mu sync.Mutex
	told := map[int][]solver.Finding{}
	var early []solver.Result
	res, err := m.Study(t.Context(), Options{Checks: true, Levers: ShortLevers, Answered: func(r solver.Result) { early = append(early, r) }, Found: func(f solver.Finding) {
		mu.Lock()
		defer mu.Unlock()
		told[f.Check] = append(told[f.Check], f)
	}})
	if err != nil {
		t.Fatal(err)
	}
	if len(early) != 1 {
		t.Fatalf("all answers are told %d times", len(early))
	}
	if diff := cmp.Diff(*res, early[0], cmpopts.EquateNaNs(), cmpopts.EquateEmpty(), cmpopts.IgnoreFields(solver.Finding{}, "Levers")); diff != "" {
		t.Error(diff)
	}
	proved := 0
	for i := range res.Findings {
		f := res.Findings[i]
		if f.Sure != solver.Proved || len(f.Unproved) > 0 {
			continue
		}
		proved++
		f.Levers = nil // they are computed after
		if diff := cmp.Diff([]solver.Finding{f}, told[i], cmpopts.EquateNaNs(), cmpopts.EquateEmpty()); diff != "" {
			t.Errorf("check %d: %s", i, diff)
		}
	}
	if proved == 0 || len(told) > len(res.Findings) {
		t.Errorf("%d proved, %d told of %d", proved, len(told), len(res.Findings))
	}
}

// TestFiguresAt holds the figures over the turn against closed forms: the height of a crankpin, and the distance of its disc
// from one that stands still.
func TestFiguresAt(t *testing.T) {
	d, _ := sprung()
	m, err := New(d.p, d.drawn())
	if err != nil {
		t.Fatal(err)
	}
	turns := []float64{0, 1, 2.5, 4}
	travel := []float64{1.25, 2} // between the steps of the range
	v, err := m.FiguresAt(t.Context(), 1, travel, turns)
	if err != nil {
		t.Fatal(err)
	}
	for i, turn := range turns {
		if want := 1.25 + 20*math.Sin(turn); math.Abs(v[i]-want) > 1e-9 {
			t.Errorf("at %v the pin is at %v, want %v", turn, v[i], want)
		}
	}
	if v, err = m.FiguresAt(t.Context(), 2, travel, turns); err != nil || math.Abs(v[2]-2.5) > 1e-9 {
		t.Errorf("the heading is %v, %v", v, err)
	}
}

// TestNearest: the least over the turn at one setting is no more than at any position, and is what stands at its own place.
func TestNearest(t *testing.T) {
	d, over := sprung()
	m, err := New(d.p, d.drawn())
	if err != nil {
		t.Fatal(err)
	}
	travel := []float64{3, 2}
	c := d.p.Checks[over]
	at, least, err := m.Nearest(t.Context(), c.A, c.B, travel)
	if err != nil {
		t.Fatal(err)
	}
	var turns []float64
	for i := range 721 {
		turns = append(turns, float64(i)*math.Pi/360)
	}
	v, err := m.FiguresAt(t.Context(), over, travel, append(turns, at))
	if err != nil {
		t.Fatal(err)
	}
	for i, x := range v[:len(turns)] {
		if x < least-1e-9 {
			t.Errorf("at %v it is %v, less than %v", turns[i], x, least)
		}
	}
	if x := v[len(turns)]; math.Abs(x-least) > 1e-9 {
		t.Errorf("at its own place it is %v, not %v", x, least)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, _, err := m.Nearest(ctx, c.A, c.B, []float64{2.9, 2}); err == nil {
		t.Error("nobody waits for it, and it goes on")
	}
}
