package sheet

import (
	"math"
	"strconv"
	"strings"

	"barover/render/chart"
	"barover/render/drawing"
	"barover/render/office"
	"barover/solver"
	"barover/solver/plane"
)

const (
	mostPlaces   = 16 // of one engine
	mostHolding  = 3  // of them that hold
	mostEnlarged = 9  // of a change
)

// place is a check at its worst position, enlarged, beside its figure over the turn.
type place struct {
	*ChangedCheck // as it is, and where there is a change as it was
	no            int
}

// placesShown lists the places shown of an engine: everything that does not hold, as far as it has a place or a curve.
// Where all holds, it lists the tightest pairs that are near to trouble.
func (s *scene) placesShown() (list []place) {
	holding := 0
	for _, a := range s.answers() {
		if len(list) == mostPlaces || !s.hasPlace(&a) && !s.hasCurve(&a) {
			continue
		}
		if a.OK {
			if holding++; a.Check.Kind != solver.Clear || holding > mostHolding || !s.tight(&a) || list != nil && list[0].no > 0 {
				continue
			}
		}
		list = append(list, place{&ChangedCheck{After: a.Finding}, a.no})
	}
	return list
}

// notEnlarged is the section of the checks that do not hold and have no panel, so that none is missed, with what mends
// them.
func (b *both) notEnlarged(shown []place) section {
	enlarged := map[*solver.Finding]bool{}
	for _, p := range shown {
		enlarged[p.After] = true
	}
	var list []answer
	var words []string
	for _, a := range b.is.answers() {
		if !a.OK && !enlarged[a.Finding] {
			list = append(list, a)
			if mends := b.words.Mends(a.Finding); mends != "" {
				words = append(words, strconv.Itoa(a.no)+": "+mends)
			}
		}
	}
	words = append(words, "These stand in the plan, across the engine, and among the curves of loose lengths.")
	t := tabled{office.Table{Columns: answerColumns, Rows: b.is.answerRows(list, b.words)}, words}
	return t.section("What does not hold", "what does not hold")
}

// changedPlaces lists the places shown of a change.
func (b *both) changedPlaces() (list []place) {
	for _, c := range b.shown() {
		if c.After != nil && len(list) < mostEnlarged && (c.rank() < 2 || c.moved() >= thou) {
			list = append(list, place{ChangedCheck: c})
		}
	}
	return list
}

// thou is the least change of a check that holds and held for which it is enlarged, mm: less would not be visible.
const thou = 0.0254

// moved is by how much the figure of a check changed, mm; infinite where only one of the two engines has it.
func (c *ChangedCheck) moved() float64 {
	if d := math.Abs(least(c.After) - least(c.Before)); !math.IsNaN(d) {
		return d
	}
	return math.Inf(1)
}

// hasPlace reports whether an answer can be shown enlarged.
func (s *scene) hasPlace(a *answer) bool {
	near, ok := s.near(a)
	return ok && sound(&solver.Finding{Least: a.Least, Near: near})
}

// near is the place of an answer at its worst: the two nearest places of a pair; the points in a sum, or corners round
// the outlines whose reach it takes.
func (s *scene) near(a *answer) (near [2]plane.Vec, ok bool) {
	if a.Check.Kind == solver.Clear {
		return a.Near, true
	}
	p := s.pose(a.At.Turn, a.At.Travel)
	if a.Check.Kind != solver.Keep || p == nil {
		return near, false
	}
	box := drawing.NoBox()
	for _, i := range s.reached(a) {
		if b := s.body(i); b != nil && !b.fixed {
			box = box.Join(b.path.Placed(p.Part[b.part]).Bounds())
		}
	}
	if list := s.pointsOf(a); box.Empty() && len(list) > 0 && len(list) <= 2 {
		return [2]plane.Vec{p.Point[list[0]], p.Point[list[len(list)-1]]}, true
	}
	return [2]plane.Vec{box.Min, box.Max}, !box.Empty()
}

// reached lists the profiles whose reach the sum of a keep check takes.
func (s *scene) reached(a *answer) []int {
	if a.Check.Kind != solver.Keep || a.Check.Sum < 0 || int(a.Check.Sum) >= len(s.Problem.Graph.Nodes) {
		return nil
	}
	return s.Problem.ReachedIn(a.Check.Sum)
}

// pointsOf lists the points that the sum of a keep check is about.
func (s *scene) pointsOf(a *answer) []int {
	if a.Check.Kind != solver.Keep || a.Check.Sum < 0 || int(a.Check.Sum) >= len(s.Problem.Graph.Nodes) {
		return nil
	}
	return s.Problem.Graph.Points(a.Check.Sum)
}

// hasCurve reports whether an answer has a figure over the turn.
func (s *scene) hasCurve(a *answer) bool {
	switch a.Check.Kind {
	case solver.Clear:
		return s.body(a.Check.A) != nil && s.body(a.Check.B) != nil
	case solver.Keep:
		return s.Sums != nil && !s.still(a, plain)
	}
	return false
}

// places is the section of the places in a list.
func (b *both) places(l layout, list []place) section {
	c := panelled{n: len(list), wide: 122, high: 66}
	c.draw = func(v *view, box drawing.Box, i int) { b.beside(v).place(box, list[i], l.scale) }
	kind, short := "Tightest places", "tightest places"
	switch {
	case b.changes():
		kind, short = "Changed places, thin: before", "changed places"
	case len(list) > 0 && list[0].no > 0:
		kind, short = "What does not hold", "what does not hold"
	}
	return c.section(kind, short, asShown)
}

// Rooms of a panel, mm.
const (
	panelHead = 7.0 // for its flag, name and scale
	panelLine = 4.2 // a line of words at its foot, or a further one of its name
	scaleRoom = 18.0
	mostHeads = 2 // lines of its name
)

// place draws one place in a panel: its name above, the figure and what mends it below, and between them the close-up and
// the curve.
func (v *bothView) place(panel drawing.Box, p place, overlay drawing.Scale) {
	l := v.now.d.Layer("places", "Places enlarged")
	_, a := v.answer(p.ChangedCheck)
	a.no = p.no
	v.is.say(&a, v.now.w)
	head := v.headWords(panel, p.ChangedCheck, &a)
	words, figure := v.placeWords(p.ChangedCheck, &a, panel.Max.X-panel.Min.X-4)
	l.Draw(drawing.Rect(panel.Min, panel.Max), blockLine, "")
	middle := panel
	middle.Min.Y += panelLine*float64(len(words)) + 2
	middle.Max.Y -= panelHead + panelLine*float64(len(head)-1)
	scale := ""
	window, curve := middle, middle
	if v.is.hasCurve(&a) && v.is.hasPlace(&a) {
		window.Max.X = middle.Min.X + 0.42*(middle.Max.X-middle.Min.X)
		curve.Min.X = window.Max.X
	}
	if v.is.hasCurve(&a) {
		v.placeCurve(l, curve, p.ChangedCheck, &a)
	}
	if v.is.hasPlace(&a) {
		scale = v.closeUp(l, window, p.ChangedCheck, &a, overlay).String()
	}
	v.placeHead(l, panel, head, a.no, scale)
	style := bold25
	for i, w := range words {
		if i == figure {
			style = text25
		}
		l.Write(plane.Vec{X: panel.Min.X + 2, Y: panel.Min.Y + 2 + panelLine*float64(len(words)-1-i)}, drawing.Start, style, w)
	}
}

// headWords is the name of a panel, in the lines that it takes beside a scale.
func (v *bothView) headWords(panel drawing.Box, c *ChangedCheck, a *answer) []string {
	name := a.title()
	if v.changes() {
		name = c.sign() + " " + c.What
	}
	wide, _ := panel.Size()
	return office.Wrapped(bold25, name, wide-scaleRoom-office.FlagWide, mostHeads)
}

// placeHead writes the head of a panel.
func (v *bothView) placeHead(l *drawing.Layer, panel drawing.Box, words []string, no int, scale string) {
	x, y := panel.Min.X+2, panel.Max.Y-panelHead/2
	if no > 0 {
		office.Flag(l, plane.Vec{X: x + 2, Y: y}, no)
		x += office.FlagWide
	}
	for i, t := range words {
		l.Write(plane.Vec{X: x, Y: y - 1.2 - panelLine*float64(i)}, drawing.Start, bold25, t)
	}
	if scale != "" {
		l.Write(plane.Vec{X: panel.Max.X - 2, Y: y - 1.2}, drawing.End, bold25, scale)
	}
}

// mostMends is the greatest number of lines about what mends an answer at the foot of its panel, if whole ways to mend it
// can be left out. One way is always written whole.
const mostMends = 4

// mendsIn is what mends an answer, in lines: as many ways as have room, and then a word that there are others.
func mendsIn(mends string, wide float64) []string {
	ways := strings.Split(mends, otherWay)
	for n := len(ways); ; n-- {
		text := strings.Join(ways[:n], otherWay)
		if n < len(ways) {
			text += "; other ways: check"
		}
		if lines := text25.Wrap(text, wide); len(lines) <= mostMends || n == 1 {
			return lines
		}
	}
}

// otherWay separates ways to mend an answer.
const otherWay = "; or with "

// placeWords are the lines at the foot of a panel: the figure, which takes so many of them, and what mends it.
func (v *bothView) placeWords(c *ChangedCheck, a *answer, wide float64) (lines []string, heads int) {
	figure := v.is.short(a, v.now.w)
	if v.changes() {
		figure = v.labelLines(v.is, c, a)[1]
	}
	if a.asked != "–" {
		figure += "; " + a.asked + " asked"
	}
	lines = bold25.Wrap(figure, wide)
	heads = len(lines)
	if a.Play != nil && a.OfPair() && v.is.hasPlace(a) {
		lines = append(lines, text25.Wrap("broken line: how far play lets them come", wide)...)
	}
	if mends := v.now.w.Mends(a.Finding); mends != "" && !a.OK {
		lines = append(lines, mendsIn(mends, wide)...)
	}
	return lines, heads
}

// placeCurve draws the figure of an answer over the turn; of a change also as it was, at the same travels.
func (v *bothView) placeCurve(l *drawing.Layer, box drawing.Box, c *ChangedCheck, a *answer) {
	l.Draw(drawing.Rect(box.Min, box.Max), thinLine, "")
	curves := v.now.clearanceChart
	if a.Check.Kind == solver.Keep {
		curves = v.now.sumChart
	}
	drawn := curves(a)
	if v.changes() && c.After != nil && c.Is != v.is.worst(a, v.now.w) {
		drawn.Marks = nil // the text below gives the figure at the other limit
	}
	if v.changes() && c.Before != nil {
		was := answer{Judgement: v.Before.Problem.Judge(c.Before)}
		if v.was.hasCurve(&was) {
			line := chart.Curve{Name: "before", Style: chartWas, Points: v.old.figures(&was, carried(v.After.Problem, v.Before.Problem, a.At.Travel))}
			drawn.Curves = append(drawn.Curves, line)
			if y := was.Worst * v.now.perUnit(a); y < drawn.Y.From {
				drawn.Y.From = y - 0.1*(drawn.Y.To-y)
			} else if y > drawn.Y.To {
				drawn.Y.To = y + 0.1*(y-drawn.Y.From)
			}
		}
	}
	chart.Draw(l, box, drawn)
}
