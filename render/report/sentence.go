package report

import (
	"fmt"
	"slices"
	"strings"

	"barover/render/report/figures"
	"barover/sketch/quantity"
	"barover/solver"
)

// holds reports whether every check holds and the parts assemble all the way round.
func (r *Report) holds() bool {
	return r.Assembled && !slices.ContainsFunc(r.Checks, func(a checkAnswer) bool { return !a.OK })
}

// Status is what a verb ends with that judges the checks.
func (r *Report) Status() int { return StatusOf(r.holds()) }

// most is how sure most of the answers are, of those that measured something.
func (r *Report) most() string {
	count := map[string]int{}
	for i := range r.Checks {
		if !r.Checks[i].apart() {
			count[r.Checks[i].Sure]++
		}
	}
	if count["proved"] >= count["sampled"] && count["proved"] > 0 {
		return "proved"
	}
	return "sampled"
}

// Surety says in words how sure the answers are.
func (r *Report) Surety() string {
	all, proved := 0, 0
	short, holds := r.rows()
	for _, a := range append(short, holds...) {
		if a.apart() {
			continue
		}
		if all++; a.Sure == "proved" && a.judged.State != solver.HoldsWhereSeen {
			proved++
		}
	}
	over := "at every position of the turn"
	switch {
	case r.fixed:
		over = "at every travel"
	case len(r.moves) > 0:
		over += " and every travel"
	}
	if !r.Assembled {
		over = r.whereAssembled()
	}
	switch {
	case all == 0:
		return ""
	case proved == all && r.fixed && len(r.moves) == 0:
		return "Proved. The sketch has no turn line: it stands in one position."
	case proved == all:
		return "Proved " + over + ", not only at those drawn." + r.elsewhere()
	case proved > 0:
		return fmt.Sprintf("%d of %d are proved %s; the others say so.", proved, all, over) + r.elsewhere()
	}
	return "Nothing of this is proved."
}

// whereAssembled is over what the answers go where the parts cannot be assembled over all of the turn.
func (r *Report) whereAssembled() string {
	over := "at every position"
	if len(r.moves) > 0 {
		over += " and every travel"
	}
	return over + " in which it can be assembled"
}

// elsewhere says how sure it is that the parts cannot be assembled over the rest of the turn, or can be assembled over all of it;
// nothing where that is proved.
func (r *Report) elsewhere() string {
	if r.followed && r.most() == "proved" {
		return " No check depends on the motion: that it can be assembled was tried step by step, not proved."
	}
	if r.Assembled {
		return ""
	}
	var tried []string
	some := false
	for _, b := range r.Broken {
		some = some || b.sure
		for _, over := range b.tried {
			text := over.stretch(r)
			if from, to, _ := strings.Cut(text, " to "); from == to {
				text = from
			}
			if !slices.Contains(tried, text) {
				tried = append(tried, text)
			}
		}
	}
	switch {
	case !some:
		return " That it cannot be assembled elsewhere was tried step by step, not proved."
	case len(tried) == 0:
		return " That it cannot be assembled elsewhere is proved too."
	}
	return " That it cannot be assembled elsewhere is proved too, except for " + Few(tried, ", ") + ": there it was tried step by step."
}

// onlyAssembled says of measures and marks that they leave out where the parts cannot be assembled; nothing where they do
// not.
func (r *Report) onlyAssembled() string {
	has := ""
	switch {
	case r.Assembled:
		return ""
	case len(r.Measures) > 0 && len(r.Marks)+len(r.never) > 0:
		has = "Marks and measures"
	case len(r.Measures) > 0:
		has = "Measures"
	case len(r.Marks)+len(r.never) > 0:
		has = "Marks"
	default:
		return ""
	}
	return has + " cover only the positions in which it can be assembled."
}

// Caution says what the answers do not claim; nothing where all of them are proved.
func (r *Report) Caution() string {
	if r.looked() == 0 {
		return ""
	}
	over := "of the turn"
	if r.fixed {
		over = "of the travels"
	}
	words := "A check with holds? was looked at position by position and refined between them. A touch over a narrower stretch " + over +
		" than that may have been missed."
	if r.most() == "proved" {
		return words // each says why
	}
	var of []UnprovedSpan
	for i := range r.Checks {
		of = append(of, r.Checks[i].Unproved...)
	}
	whys := r.notProved(of)
	for i, why := range whys {
		whys[i] = strings.ToUpper(why[:1]) + why[1:] + "."
	}
	return words + "\n" + strings.Join(FewOf(whys, MostFaults, "%d more {reason; --json has it|reasons; --json has them all}."), "\n")
}

// looked counts the checks that do not fall short and rest on looking.
func (r *Report) looked() (n int) {
	for i := range r.Checks {
		if a := &r.Checks[i]; a.judged.State == solver.HoldsWhereSeen {
			n++
		}
	}
	return n
}

// Sentence says how it all came out.
func (r *Report) Sentence() string {
	short, holds := r.rows()
	n := len(short) + len(holds)
	var words string
	switch {
	case n == 0 && len(r.Checks) == 0 && len(r.LeftOut) > 0:
		words = "Every pair is left out: nothing is asked."
	case n == 0 && len(r.Checks) == 0 && r.clearsAll:
		words = "Nothing is asked: clear all finds no two parts with an outline."
	case n == 0 && len(r.Checks) == 0:
		words = "Nothing is asked: the sketch has no clear, gap or keep line."
	case n == 0:
		words = "No two of the profiles asked about ever share a band across: nothing can touch."
	case len(short) == 0:
		if looked := lookedRows(holds); len(looked) > 0 {
			words = OnlyLooked(n, subjects(looked))
		} else {
			words = AllOf(n, "holds", "hold")
		}
		if len(r.met()) == 0 {
			words += r.nearest(holds)
		}
	default:
		words = r.shortfall(short, holds) + r.trial(short)
	}
	words = r.warned(words, n > 0 && len(short) == 0) + r.playCaution()
	if r.Assembled {
		return words
	}
	b := &r.Broken[0]
	what := "Cannot be assembled with"
	if b.Either {
		what = "Which way it goes cannot be told with"
	}
	told := fmt.Sprintf("%s %s from %s", what, r.Turn.Name, b.stretch(r))
	if n := len(r.gathered()) - 1; n > 0 {
		told += fmt.Sprintf(", and over %d more", n)
	}
	return told + ". Where it can be: " + strings.ToLower(words[:1]) + words[1:]
}

// shortfall names the fouls, then what else falls short, and how many hold. Rows come with the fouls first.
func (r *Report) shortfall(short, holds []*row) string {
	fouls := 0
	for fouls < len(short) && short[fouls].judged.State == solver.Fouls {
		fouls++
	}
	if len(holds) == 0 && len(short) == 1 {
		return "The one check falls short: " + r.faults(short) + "."
	}
	var words []string
	if fouls > 0 {
		words = append(words, InWords(fouls, "foul", "fouls")+": "+r.faults(short[:fouls]))
	}
	if n := len(short) - fouls; n > 0 {
		one, many := "falls short", "fall short"
		if fouls > 0 {
			one, many = "more falls short", "more fall short"
		}
		words = append(words, InWords(n, one, many)+": "+r.faults(short[fouls:]))
	}
	if rest := others(holds); rest != "" {
		words = append(words, rest)
	}
	return strings.Join(words, ". ") + "."
}

// AllOf says of all checks that they hold, or whatever is said.
func AllOf(n int, one, many string) string {
	if n == 1 {
		return "The one check " + one
	}
	return fmt.Sprintf("All %d checks %s", n, many)
}

// nearest reports the check with the least margin, by which the tables are ordered, and beside it the least clearance in the
// side view: sideplay across is the tightest of most engines, and says nothing of what passes what. Rows come tightest first.
func (r *Report) nearest(holds []*row) string {
	tight := holds[0]
	if tight.apart() {
		return "."
	}
	words := ". The least margin"
	var clear *row
	for _, a := range holds {
		if a.Kind == "clear" && !a.apart() && !a.judged.Upper && (clear == nil || a.judged.Worst < clear.judged.Worst) {
			clear = a
		}
	}
	if clear == tight {
		words += ", and the least clearance in the side view,"
	}
	words += fmt.Sprintf(" is that of %s: %s, asked %s.", tight.named, r.worstAt(tight), tight.asked(r.units))
	if clear != nil && clear != tight {
		words += fmt.Sprintf(" The least clearance in the side view is %s: %s.", clear.named, r.worstAt(clear))
	}
	return words
}

// MostFaults is how many faults a sentence names.
const MostFaults = 2

func (r *Report) faults(short []*row) string {
	return strings.Join(FirstFew(short, MostFaults, "and %d more", r.fault), "; ")
}

// fault tells what one check falls short by, and where.
func (r *Report) fault(a *row) string {
	switch a.judged.State {
	case solver.NoValue:
		if a.NoValue != nil {
			return a.named + " " + a.NoValue.over()
		}
		return a.named + " has no value over part of the turn"
	case solver.Unknown:
		return "nothing is known of " + a.named
	case solver.Fouls:
		depth := figures.Figure(-a.Least)
		return fmt.Sprintf("%s, by %s%s", a.named, depth.Read(r.units, a.kind), r.where(a))
	}
	if a.judged.State == solver.Short {
		return fmt.Sprintf("%s, %s of %s asked%s", a.named, a.worst(r.units).Read(r.units, a.kind), a.AtLeast.Size(r.units, a.kind), r.where(a))
	}
	return fmt.Sprintf("%s, %s: %s", a.named, a.judged.State, r.worstAt(a))
}

func (r *Report) worstAt(a *row) string {
	return a.worst(r.units).Read(r.units, a.kind) + r.where(a)
}

// where is the position at which a check holds by least.
func (r *Report) where(a *row) string {
	switch {
	case len(a.At) == 0 || a.Kind == "gap" || r.fixed && len(r.moves) == 0:
		return ""
	case r.fixed && r.travels(a) != "":
		return " at " + r.travels(a)
	case r.fixed:
		return " with travels at rest"
	case a.still():
		return " at every position"
	}
	at := r.travels(a)
	switch turn := a.At[0].Value.Read(r.units, quantity.Angle) + "°"; {
	case a.stays && at == "":
		return ""
	case a.stays:
		return " at " + at
	case at == "":
		return " at " + turn
	default:
		return " at " + turn + ", " + at
	}
}
