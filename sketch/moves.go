package sketch

import (
	"fmt"
	"math"
	"slices"

	"barover/sketch/quantity"
	"barover/sketch/syntax"
	"barover/solver"
	"barover/solver/expr"
)

// How far the turn and the travels may go.
const (
	mostPositions = 100_000   // of the turn or of one travel
	mostStations  = 1_000_000 // positions of the turn times settings of every travel
	mostTurns     = 100       // whole turns either way
)

// still is the turn of a sketch that has none: it does not move, so one step is enough.
var still = solver.Turn{Stmt: -1, To: quantity.Degree, Step: quantity.Degree}

// moves makes the turn and the travels. Their ranges are figures, not sums: With makes them again for other values.
func (l *loader) moves() {
	p := l.sketch.Problem
	p.Turn = still
	used := l.namesUsed()
	if l.turn >= 0 {
		s := l.sketch.statements[l.turn].s.(*syntax.Turn)
		l.sketch.Turn = Moved{s.Name.Text, quantity.Angle, l.turn, used[s.Name.Text]}
		p.Turn = l.oneTurn(s)
	}
	stations := l.steps(p.Turn.From, p.Turn.To, p.Turn.Step)
	for _, t := range l.travels {
		k := l.kinds.KindOf(t.variable)
		if !l.kinds.IsBroken(t.variable) && !k.Is(quantity.Length) && !k.Is(quantity.Angle) && !k.Is(quantity.Plain) {
			l.tell(l.at(t.stmt, t.t.Name.Span), fmt.Sprintf("a travel is a length, an angle or a plain number, and %s is %s", t.t.Name.Text, k), "use it as a length or as an angle in every sum")
			k = quantity.Length
		}
		l.sketch.Travels = append(l.sketch.Travels, Moved{t.t.Name.Text, k, t.stmt, used[t.t.Name.Text]})
		one := l.oneTravel(t, k)
		p.Travels = append(p.Travels, one)
		stations *= max(1, len(one.Settings))
		if stations > mostStations {
			l.tell(l.at(t.stmt, t.t.Span), fmt.Sprintf("the turn and the travels up to here make %d positions, and %d is the most", stations, mostStations), "take larger steps or fewer settings")
			stations = 0
		}
	}
}

// namesUsed are the names that some sum has in it.
func (l *loader) namesUsed() map[string]bool {
	used := make(map[string]bool)
	for i := range l.wants {
		syntax.EachRef(l.wants[i].x, func(r *syntax.Ref) { used[r.Name.Text] = true })
	}
	return used
}

// figure is the value of a sum of dimensions; NaN where the sum has a mistake.
func (l *loader) figure(x syntax.Expr) float64 {
	if x == nil {
		return math.NaN()
	}
	return l.sketch.Values.At(l.id(x))
}

// anyBad reports whether one of the sums has a mistake that was reported.
func (l *loader) anyBad(sums ...syntax.Expr) bool {
	return slices.ContainsFunc(sums, func(x syntax.Expr) bool {
		out, ok := l.sum.root(x)
		return !ok || out.bad
	})
}

// steps counts the positions of a range, both ends included; 0 where the range is not valid.
func (l *loader) steps(from, to, step float64) int {
	n := math.Floor((to-from)/step+1e-9) + 1
	if !(n >= 1 && n < 1e9) {
		return 0
	}
	return int(n)
}

func (l *loader) oneTurn(s *syntax.Turn) solver.Turn {
	t := solver.Turn{Name: s.Name.Text, Stmt: l.turn, From: l.figure(s.From), To: l.figure(s.To), Step: l.figure(s.Step)}
	u := l.sketch.Units
	at := l.at(l.turn, s.From.Where())
	switch n := (t.To - t.From) / t.Step; {
	case l.anyBad(s.From, s.To, s.Step), !(t.Step > 0): // reported elsewhere
		return still
	case t.From >= t.To:
		l.tell(at, fmt.Sprintf("the turn goes from %s to %s", u.Angle(t.From), u.Angle(t.To)), "write the lesser first: turning the other way gives the same positions")
		return still
	case math.Abs(t.From) > mostTurns*2*math.Pi || math.Abs(t.To) > mostTurns*2*math.Pi:
		l.tell(at, fmt.Sprintf("the turn goes further than %d times round", mostTurns), "once round is enough: 0 to 360")
		return still
	case !(n <= mostPositions):
		l.tell(l.at(l.turn, s.Step.Where()), fmt.Sprintf("steps of %s make more than %d positions of the turn", u.Telling(t.Step, quantity.Angle), mostPositions), "take larger steps: what happens between them is found all the same")
		return still
	}
	return t
}

func (l *loader) oneTravel(t travel, k quantity.Kind) solver.Travel {
	s := t.t
	out := solver.Travel{Name: s.Name.Text, Stmt: t.stmt, Angle: k.Is(quantity.Angle), Number: k.Is(quantity.Plain), Range: s.Settings == nil}
	if out.Range {
		out.From, out.To = l.figure(s.From), l.figure(s.To)
		out.Sums = []expr.ID{l.id(s.From), l.id(s.To)}
		if !l.settingsOf(&out, t, k) {
			return out
		}
	}
	for _, x := range s.Settings {
		out.Settings = append(out.Settings, l.figure(x))
		out.Sums = append(out.Sums, l.id(x))
	}
	l.rest(&out, t, k)
	return out
}

// settingsOf makes the settings of a range: its steps from end to end, both included.
func (l *loader) settingsOf(out *solver.Travel, t travel, k quantity.Kind) bool {
	s, u := t.t, l.sketch.Units
	step := l.figure(s.Step)
	n := (out.To - out.From) / step
	switch {
	case l.anyBad(s.From, s.To, s.Step), !(step > 0):
		return false
	case out.From > out.To:
		l.tell(l.at(t.stmt, s.From.Where()), fmt.Sprintf("%s goes from %s to %s", s.Name.Text, u.Value(out.From, k), u.Value(out.To, k)),
			fmt.Sprintf("write the lesser first: %s to %s", syntax.TextOf(l.sketch.statements[t.stmt].file, s.To), syntax.TextOf(l.sketch.statements[t.stmt].file, s.From)))
		return false
	case !(n <= mostPositions):
		l.tell(l.at(t.stmt, s.Step.Where()), fmt.Sprintf("steps of %s make more than %d settings of %s", u.Telling(step, k), mostPositions, s.Name.Text), "take larger steps: what happens between them is found all the same")
		return false
	}
	whole := int(math.Floor(n + 1e-9))
	for i := range whole + 1 {
		v := math.Min(out.From+float64(i)*step, out.To)
		if math.Abs(v) < 1e-9*step { // a rounding error where a step is zero
			v = 0
		}
		out.Settings = append(out.Settings, v)
	}
	if last := &out.Settings[whole]; out.To-*last > 1e-9*step {
		out.Settings = append(out.Settings, out.To)
	} else {
		*last = out.To
	}
	return true
}

// rest finds the setting that is drawn and that a sweep starts from.
func (l *loader) rest(out *solver.Travel, t travel, k quantity.Kind) {
	s, u := t.t, l.sketch.Units
	switch {
	case s.Rest == nil && out.Range:
		out.Rest = math.Max(out.From, math.Min(0, out.To))
		return
	case s.Rest == nil:
		out.Rest = out.Settings[0]
		return
	}
	out.Rest = l.figure(s.Rest)
	if l.anyBad(s.Rest) || math.IsNaN(out.Rest) {
		return
	}
	at := l.at(t.stmt, s.Rest.Where())
	if out.Range {
		if slack := 1e-9 * (out.To - out.From); out.Rest < out.From-slack || out.Rest > out.To+slack {
			l.tell(at, fmt.Sprintf("rest is %s, outside %s to %s", u.Value(out.Rest, k), u.Value(out.From, k), u.Value(out.To, k)), "choose a rest within the range")
		}
		out.Rest = math.Max(out.From, math.Min(out.Rest, out.To))
		return
	}
	for _, v := range out.Settings {
		if math.Abs(v-out.Rest) <= 1e-9*math.Max(1, math.Abs(v)) {
			out.Rest = v
			return
		}
	}
	l.tell(at, fmt.Sprintf("rest is %s, which is none of the settings of %s", u.Value(out.Rest, k), s.Name.Text), "choose one of the settings")
}

// constant reports whether a sum follows from dimensions alone.
func (l *loader) constant(id expr.ID) bool { return l.sum.g.Uses(id).Constant() }
