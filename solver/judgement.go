package solver

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// A finding is judged here and nowhere else: its margin, its worst figure, its state in one word, and which of two comes
// first. Terminal, JSON, Markdown and sheets show what is judged here.

// State is how a check came out. It has one word, the same everywhere.
type State uint8

// The states.
const (
	Fouls          State = iota // clear, gap: the two run into each other
	Short                       // clear, gap: they are nearer than asked
	Wide                        // clear, gap: they are farther apart than asked
	Low                         // keep: below its lower limit
	High                        // keep: above its upper limit
	Binds                       // loose: missed by more than its play
	NoValue                     // keep: somewhere its sum, or a limit, has no value
	Unknown                     // the engine assembles nowhere, so nothing was measured
	HoldsWhereSeen              // it holds at every sample, but that is not proved, or not over all of the turn
	HoldsProved                 // it holds at every position
	LiesApart                   // the two never pass each other: there is nothing to measure
)

var stateWords = [...]string{"fouls", "short", "wide", "low", "high", "binds", "no value", "unknown", "holds?", "holds", "apart"}

func (s State) String() string { return word(stateWords[:], s, "state") }

var pastWords = [...]string{"fouled", "was short", "was wide", "was low", "was high", "bound", "had no value", "was unknown", "held?", "held", "was apart"}

// Past is the word of a check that is no longer asked.
func (s State) Past() string { return word(pastWords[:], s, "state") }

// word returns the word of kind k. A number without a word would be a mistake in the program; it is shown as the number.
func word[K ~uint8](words []string, k K, of string) string {
	if int(k) < len(words) {
		return words[k]
	}
	return fmt.Sprintf("%s %d", of, k)
}

// Judgement is a finding with its judgement.
type Judgement struct {
	*Finding
	Check *Check
	// Margin is by how much the check holds, in its own unit; below zero, by how much it falls short. Where there is no
	// figure, it is +Inf for a check that holds and -Inf for one that does not.
	Margin float64
	Worst  float64 // the figure at which it holds by least; NaN where nothing was measured
	Upper  bool    // Worst is the greatest figure, at an upper limit
	State  State
}

// Judge judges a finding.
func (p *Problem) Judge(f *Finding) Judgement {
	j := Judgement{Finding: f, Check: &p.Checks[f.Check], Worst: math.NaN(), Margin: math.Inf(1)}
	if !f.Apart {
		j.Margin, j.Upper = p.RoomOf(f)
		if j.Fouling() {
			j.Upper = false // whatever the figure on the other side
		}
		if j.Worst = f.Least; j.Upper {
			j.Worst = OrNumber(f.Greatest, f.Least)
		}
	}
	told := !math.IsNaN(j.Margin) && !math.IsInf(j.Margin, 0)
	switch {
	case f.OK && !told:
		j.Margin = math.Inf(1)
	case !f.OK && !(told && j.Margin < 0):
		j.Margin = math.Inf(-1)
	}
	j.State = j.state()
	return j
}

// RoomOf is by how much the figures of a finding keep within its limits, and whether the upper limit is the nearer. It is
// NaN where nothing was measured, and +Inf where the check has no constant limit.
func (p *Problem) RoomOf(f *Finding) (v float64, upper bool) {
	if f.Apart || math.IsNaN(f.Least) {
		return math.NaN(), false
	}
	return p.Checks[f.Check].Room(f.Least, f.Greatest, f.AtLeast, f.AtMost)
}

// Room is by how much figures from least to greatest keep within the limits of a check, and whether the upper limit is the
// nearer. A limit is NaN where there is none; a pair must not be below zero even so. Greatest is NaN where it is the least.
func (c *Check) Room(least, greatest, atLeast, atMost float64) (v float64, upper bool) {
	lo, hi := c.limits(atLeast, atMost)
	below, above := OrGreatest(least-lo), OrGreatest(hi-OrNumber(greatest, least))
	if above < below {
		return above, true
	}
	return below, false
}

// RoomOn is by how much the figures of a finding keep within the lower or the upper limit, false where that is no number.
func (c *Check) RoomOn(f *Finding, upper bool) (v float64, ok bool) {
	least, greatest := f.Least, math.Inf(-1)
	if upper {
		least, greatest = math.Inf(1), OrNumber(f.Greatest, f.Least)
	}
	v, _ = c.Room(least, greatest, f.AtLeast, f.AtMost)
	return v, !math.IsNaN(v) && !math.IsInf(v, 0)
}

// limits are the limits of the figure of a check; NaN for no limit.
func (c *Check) limits(atLeast, atMost float64) (lo, hi float64) {
	switch c.Kind {
	case Clear, Gap:
		return OrNumber(atLeast, 0), atMost
	case Loose:
		return -atMost, atMost
	}
	return atLeast, atMost
}

// Fouling reports whether the two of a pair run into each other.
func (j *Judgement) Fouling() bool { return !j.OK && j.OfPair() && Overlap(j.Least) }

// OfPair reports whether the check is about two profiles.
func (j *Judgement) OfPair() bool { return j.Check.Kind == Clear || j.Check.Kind == Gap }

func (j *Judgement) state() State {
	switch {
	case j.Apart:
		return LiesApart
	case j.OK && j.Sure == Proved:
		return HoldsProved
	case j.OK:
		return HoldsWhereSeen
	case j.Check.Kind == Keep && math.IsInf(j.Margin, -1): // it is within its limits wherever it has a value
		return NoValue
	case math.IsNaN(j.Least):
		return Unknown
	case math.IsInf(j.Margin, -1): // it has no place at some position
		return NoValue
	case j.Check.Kind == Loose:
		return Binds
	case j.Check.Kind == Keep && j.Upper:
		return High
	case j.Check.Kind == Keep:
		return Low
	case j.Upper:
		return Wide
	case j.Fouling():
		return Fouls
	}
	return Short
}

// Compare puts what does not hold before what does, fouls before everything else, and then the tighter one. A length
// cannot be compared with an angle or a bare number: lengths come first.
func (j *Judgement) Compare(o *Judgement) int {
	return cmp.Or(order(j.OK, o.OK), order(o.State == Fouls, j.State == Fouls), order(j.Check.otherThanLength(), o.Check.otherThanLength()),
		cmp.Compare(j.Margin, o.Margin))
}

// order puts false before true.
func order(a, b bool) int {
	switch {
	case a == b:
		return 0
	case b:
		return -1
	}
	return 1
}

func (c *Check) otherThanLength() bool { return c.Angle || c.Number }

// Subject is the subject of a check for a reader: clear lines about the same pair have one subject.
type Subject struct{ a, b, check int }

// Subject is that of a check.
func (p *Problem) Subject(check int) Subject {
	c := &p.Checks[check]
	if c.Kind != Clear {
		return Subject{check: check}
	}
	return Subject{min(c.A, c.B), max(c.A, c.B), -1}
}

// Told is one judgement for all lines that ask about the same pair.
type Told struct {
	Judgement           // of the line that holds by least
	Same      []Finding // those of the others, in the order given
}

// Once judges findings, a pair once, in the order of the tables. A clear line whose pair never shares a band across asks
// nothing and is left out.
func (p *Problem) Once(list []Finding) []Told {
	var out []Told
	at := map[Subject]int{}
	for i := range list {
		j := p.Judge(&list[i])
		if j.Apart && j.Check.Kind == Clear {
			continue
		}
		k, again := at[p.Subject(j.Finding.Check)]
		if !again {
			at[p.Subject(j.Finding.Check)] = len(out)
			out = append(out, Told{Judgement: j})
			continue
		}
		t := &out[k]
		if j.Margin < t.Margin {
			j, t.Judgement = t.Judgement, j
		}
		t.Same = append(t.Same, *j.Finding)
	}
	slices.SortStableFunc(out, func(a, b Told) int { return a.Compare(&b.Judgement) })
	return out
}

// Called is the author's name for a check: its note, or for a keep line the name of the measure that it keeps; "" where
// it has neither.
func (p *Problem) Called(check int) string {
	if c := &p.Checks[check]; c.Note != "" {
		return c.Note
	}
	if m := p.Kept(check); m != nil {
		return m.Name
	}
	return ""
}

// Kept is the measure of a keep line, nil where it has none.
func (p *Problem) Kept(check int) *Measure {
	c := &p.Checks[check]
	for i := range p.Measures {
		if c.Kind == Keep && p.Measures[i].Sum == c.Sum {
			return &p.Measures[i]
		}
	}
	return nil
}

// OrNumber is v, or other if v is NaN.
func OrNumber(v, other float64) float64 {
	if math.IsNaN(v) {
		return other
	}
	return v
}

func OrGreatest(v float64) float64 {
	if math.IsNaN(v) {
		return math.Inf(1)
	}
	return v
}

var stateMeanings = [...]string{"they run into each other", "nearer than asked", "farther apart than asked", "below the lower limit", "above the upper limit",
	"missed by more than its play", "it has no value somewhere", "the engine cannot be assembled", "it holds wherever it was looked at, not proved everywhere",
	"proved at every position", "they never pass each other"}

// Meaning explains the state in a few words, for a key.
func (s State) Meaning() string { return word(stateMeanings[:], s, "state") }
