package solver

import (
	"cmp"
	"math"
)

// Became is what a change did to a check.
type Became uint8

// What a change did.
const (
	FallsShortNow Became = iota // it held, and does not hold now
	StillShort                  // it holds neither before nor after
	Mended                      // it did not hold, and does now
	Worse                       // it holds still, by less
	Better                      // it held, and holds by as much or more
	Came                        // it is asked only after the change
	Went                        // it was asked only before
)

var becameWords = [...]string{"falls short", "still short", "mended", "worse", "better", "new", "gone"}

func (b Became) String() string { return word(becameWords[:], b, "became") }

// Change is what became of a check. Before or after is nil where only the other engine asks it.
func Change(before, after *Judgement) Became {
	switch {
	case before == nil:
		return Came
	case after == nil:
		return Went
	case !after.OK && before.OK:
		return FallsShortNow
	case !after.OK:
		return StillShort
	case !before.OK:
		return Mended
	case after.Margin < before.Margin:
		return Worse
	}
	return Better
}

// Word says what became of a check, and how it came out where it does not hold: "now fouls", "still low", "mended", "new,
// holds". A check that still falls short, but in another way than before, is "now fouls".
func (b Became) Word(before, after *Judgement) string {
	switch {
	case b == FallsShortNow, b == StillShort && before.State != after.State:
		return "now " + after.State.String()
	case b == StillShort:
		return "still " + after.State.String()
	case b == Came:
		return b.String() + ", " + after.State.String()
	}
	return b.String()
}

// Weight is how much a change of a check matters: the change of its room as a share of the larger of the rooms before and
// after. So a little off a little room weighs more than a lot off a lot. A pair that lay apart, or lies apart now, has no
// room to compare: its weight is zero if it lies apart now, and infinite if it did before.
func Weight(before, after *Judgement) float64 {
	switch {
	case after.Apart:
		return 0
	case before.Apart:
		return 1
	}
	most := math.Max(math.Abs(before.Margin), math.Abs(after.Margin))
	if math.IsInf(most, 0) {
		return 1
	}
	if most == 0 {
		return 0
	}
	return math.Abs(after.Margin-before.Margin) / most
}

// Mattering puts what a change made fall short first, then what still falls short, what it mended, and the rest. Within
// each group the larger weight comes first.
func Mattering(b Became, weight float64, c Became, other float64) int {
	return cmp.Or(cmp.Compare(rank(b), rank(c)), cmp.Compare(other, weight), order(b == Better, c == Better))
}

// rank puts better and worse on one level, where the weight decides.
func rank(b Became) int { return int(min(b, Worse)) }
