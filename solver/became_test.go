package solver

import (
	"math"
	"testing"
)

// held is a judgement of a check that keeps so much room, or falls short by it.
func held(margin float64) *Judgement {
	return &Judgement{Finding: &Finding{OK: margin >= 0}, Check: &Check{Kind: Loose}, Margin: margin, State: Binds}
}

// short is a judgement of a check that falls short in that way.
func short(s State) *Judgement {
	return &Judgement{Finding: new(Finding), Check: &Check{Kind: Clear}, Margin: -1, State: s}
}

func TestChange(t *testing.T) {
	for _, c := range []struct {
		was, is *Judgement
		want    Became
		word    string
	}{
		{held(1), held(-1), FallsShortNow, "now binds"},
		{held(-1), held(-0.1), StillShort, "still binds"},
		{short(Short), short(Fouls), StillShort, "now fouls"},
		{short(Fouls), short(Short), StillShort, "now short"},
		{held(-1), held(1), Mended, "mended"},
		{held(2), held(1), Worse, "worse"},
		{held(1), held(2), Better, "better"},
		{nil, held(-1), Came, "new, binds"},
		{held(1), nil, Went, "gone"},
	} {
		if got := Change(c.was, c.is); got != c.want || got.Word(c.was, c.is) != c.word {
			t.Errorf("from %v to %v: %v, %q; want %v", c.was, c.is, got, got.Word(c.was, c.is), c.want)
		}
	}
}

// A little off a little room weighs more than a lot off a lot, and as much as the same put back.
func TestWeight(t *testing.T) {
	apart := &Judgement{Finding: &Finding{OK: true, Apart: true}, Margin: math.Inf(1)}
	for _, c := range []struct {
		name    string
		was, is *Judgement
		want    float64
	}{
		{"half of little", held(0.03), held(0.015), 0.5},
		{"and put back", held(0.015), held(0.03), 0.5},
		{"a hundredth of much", held(9.4), held(9.306), 0.01},
		{"as it was", held(1), held(1), 0},
		{"no room before and after", held(0), held(0), 0},
		{"nothing tells", held(1), held(math.Inf(-1)), 1},
		{"lay apart", apart, held(1), 1},
		{"lies apart now", held(1), apart, 0},
	} {
		if got := Weight(c.was, c.is); !alike(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
	for i, c := range []struct {
		a      Became
		weight float64
		b      Became
		other  float64
	}{{FallsShortNow, 0.1, StillShort, 2}, {StillShort, 0.1, Mended, 2}, {Mended, 0.1, Better, 1}, {Better, 0.5, Worse, 0.4}, {Worse, 0.5, Better, 0.5}} {
		if !(Mattering(c.a, c.weight, c.b, c.other) < 0) || !(Mattering(c.b, c.other, c.a, c.weight) > 0) {
			t.Errorf("pair %d is not in order", i)
		}
	}
}
