package sheet

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"barover/render/chart"
	"barover/render/drawing"
	"barover/render/labels"
	"barover/render/office"
	"barover/solver"
	"barover/solver/linkage"
	"barover/solver/plane"
)

const (
	mostPlaces   = 16 // of one engine
	mostHolding  = 3  // of them that hold
	mostEnlarged = 9  // of a change
)

// The pair of an enlarged place.
var (
	isEdge    = &drawing.Style{Name: "after-edge", Width: 0.7, Line: drawing.Continuous, Stroke: black}
	wasEdge   = &drawing.Style{Name: "before-edge", Width: 0.18, Line: drawing.Continuous, Stroke: blue}
	quietEdge = &drawing.Style{Name: "edge-unchanged", Width: 0.35, Line: drawing.Continuous, Stroke: black}
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

// closeUp draws a place as large as its gap and its change need, and returns the scale.
func (v *bothView) closeUp(l *drawing.Layer, window drawing.Box, c *ChangedCheck, a *answer, overlay drawing.Scale) drawing.Scale {
	near, _ := v.is.near(a)
	gap := near[0].Sub(near[1]).Len()
	if c.Before != nil && math.Abs(c.Before.Least-a.Least) < 1e9 {
		gap = max(gap, math.Abs(c.Before.Least-a.Least))
	}
	s := v.now.enlarged(window, gap, overlay)
	if a.Check.Kind == solver.Keep {
		s = v.now.whole(window, gap)
	}
	v.now.k = s.K()
	v.now.shift = window.Centre().Sub(near[0].Add(near[1]).Scale(0.5 * v.now.k))
	v.old.k, v.old.shift = v.now.k, v.now.shift
	v.closeBodies(l, window, a)
	p, q := v.now.on(near[0]), v.now.on(near[1])
	switch {
	case len(v.is.reached(a)) > 0: // its outlines are thick
	case a.Check.Kind == solver.Keep:
		for _, at := range []plane.Vec{p, q} {
			if window.Grown(-2).Holds(at) {
				l.Draw(drawing.Circle(at, 1.5), foulLead, "")
			}
		}
	case !(p.Sub(q).Len() < window.Max.Sub(window.Min).Len()/3):
	case solver.Overlap(a.Least):
		l.Draw(drawing.Circle(p.Add(q).Scale(0.5), max(1.5, p.Sub(q).Len()/2+1)), foulLead, "")
	default:
		v.now.dimension(l, p, q, "")
	}
	l.Draw(drawing.Rect(window.Min, window.Max), thinLine, "")
	off := drawing.BoxOf([]plane.Vec{p, q}).Grown(3)
	if len(v.is.reached(a)) > 0 { // the places are corners round all of it
		off = drawing.BoxOf([]plane.Vec{off.Centre()})
	}
	v.closeNames(l, window, a, off)
	return s
}

// closeNames names the bodies of an enlarged place at leaders, off the place itself.
func (v *bothView) closeNames(l *drawing.Layer, window drawing.Box, a *answer, off drawing.Box) {
	pose := v.is.pose(a.At.Turn, a.At.Travel)
	if pose == nil {
		return
	}
	placed := labels.New(off.Grown(1))
	placed.Claim(off) // no leader may run through it either
	wide, _ := window.Size()
	areas := make([][][]plane.Vec, len(v.is.bodies))
	for i := range areas {
		areas[i] = window.Clip(v.now.flat(&v.is.bodies[i], pose))
	}
	for i := range v.is.bodies {
		b := &v.is.bodies[i]
		if !v.is.concerns(a, b) {
			continue
		}
		room := labels.New(window.Grown(-1))
		room.Beside(placed)
		for k, area := range areas {
			if room.Line(area); k != i && v.is.concerns(a, &v.is.bodies[k]) { // a name inside the other body would be taken for its own
				room.Cover(area)
			}
		}
		v.now.labels = room
		edges, name := v.now.edgesIn(window.Grown(-4), b, pose, off), []string{label25.FitMiddle(b.name, wide-12)}
		on := func(at plane.Vec, far, most float64) bool {
			room.Far = far
			return v.now.flagged(l, at, 0, 0, name, label25, nameLine, most)
		}
		if slices.ContainsFunc(edges, func(at plane.Vec) bool { return on(at, 12, 0) }) ||
			slices.ContainsFunc(edges, func(at plane.Vec) bool { return on(at, 50, closeHides) }) {
			placed = room
		}
	}
}

// edgesIn are places on a body's outline in a window, apart from one another: off a box, and those that are not far from it first.
func (v *view) edgesIn(window drawing.Box, b *body, pose *linkage.Pose, off drawing.Box) (chosen []plane.Vec) {
	const away, apart, most = 14.0, 7.0, 6
	var all []plane.Vec
	runs, closed := b.path.Scaled(v.k).Placed(v.at(pose.Part[b.part])).Flat(0.02)
	lines, _ := window.Cut(runs, closed).Flat(0.02)
	for _, line := range lines {
		for k := 1; k < len(line); k++ {
			n := int(line[k].Sub(line[k-1]).Len()/2) + 1
			for i := range n + 1 {
				if p := line[k-1].Add(line[k].Sub(line[k-1]).Scale(float64(i) / float64(n))); !off.Holds(p) {
					all = append(all, p)
				}
			}
		}
	}
	wrong := func(p plane.Vec) float64 { return math.Round(math.Abs(p.Sub(off.Centre()).Len()-away) * 10) }
	slices.SortStableFunc(all, func(p, q plane.Vec) int { return cmp.Compare(wrong(p), wrong(q)) })
	for _, p := range all {
		if len(chosen) < most && !slices.ContainsFunc(chosen, func(q plane.Vec) bool { return p.Sub(q).Len() < apart }) {
			chosen = append(chosen, p)
		}
	}
	return chosen
}

// closeHides is the share of a name in an enlarged place that may lie over lines where there is no place without.
const closeHides = 0.9

// enlarged chooses a scale of ISO 5455. The gap, mm, is some 12 mm on paper, but at least a thirtieth of the engine is
// visible, and the scale is larger than the overlay's where that is possible.
func (v *view) enlarged(window drawing.Box, gap float64, overlay drawing.Scale) drawing.Scale {
	w, h := window.Size()
	most := max(overlay.K(), math.Sqrt(w*h)/(v.diagonal()/30))
	for _, s := range drawing.Scales {
		if s.K() <= most*(1+1e-9) && s.K()*gap <= 12 && s.K() >= overlay.K() {
			return s
		}
	}
	return overlay
}

// diagonal is the size of the engine, corner to corner, mm.
func (s *scene) diagonal() float64 {
	if s.box.Empty() {
		return 1
	}
	return max(s.box.Max.Sub(s.box.Min).Len(), 1e-6)
}

// whole chooses a scale at which a distance, mm, is visible with its surroundings, and at least a twelfth of the engine.
func (v *view) whole(window drawing.Box, gap float64) drawing.Scale {
	w, h := window.Size()
	seen := max(1.5*gap, v.diagonal()/12)
	s, _ := drawing.Fitting(seen, seen, w, h)
	return s
}

// closeBodies draws the pair thick and tinted, nearby bodies in hairlines, and thin what of the pair differed before.
func (v *bothView) closeBodies(l *drawing.Layer, window drawing.Box, a *answer) {
	now := v.is.pose(a.At.Turn, a.At.Travel)
	if now == nil {
		return
	}
	for i := range v.is.bodies {
		if b := &v.is.bodies[i]; !v.is.concerns(a, b) {
			v.now.cut(l, window, b, now, nearLine)
		}
	}
	v.now.tintPair(l, window, a, now)
	var old *linkage.Pose
	if v.changes() {
		old = v.oldPose(a.At)
	}
	for i := range v.twins {
		if t := &v.twins[i]; t.is >= 0 && v.is.concerns(a, &v.is.bodies[t.is]) {
			v.closeTwin(l, window, t, old, now)
		}
	}
	v.now.closePlay(l, window, a, now)
}

// nearLine is the line of bodies near an enlarged pair.
var nearLine = &drawing.Style{Name: "near", Width: 0.18, Line: drawing.Continuous, Stroke: grey}

// concerns reports whether an answer is about a body: it is of the pair, or of a part with a point of the sum.
func (s *scene) concerns(a *answer, b *body) bool {
	if a.OfPair() {
		return b.profile == a.Check.A || b.profile == a.Check.B
	}
	if list := s.reached(a); len(list) > 0 {
		return slices.Contains(list, b.profile)
	}
	part := s.Problem.Linkage.Parts[b.part]
	return !b.fixed && slices.ContainsFunc(s.pointsOf(a), func(p int) bool { return part.P == p || part.Q == p })
}

// closeTwin draws one of a pair: thick as it is and thin as it was, or once where both are the same here. Without an
// engine before, or where that cannot be assembled, it draws the body as it is.
func (v *bothView) closeTwin(l *drawing.Layer, window drawing.Box, t *twin, old, now *linkage.Pose) {
	is := &v.is.bodies[t.is]
	if !v.changes() {
		v.now.cut(l, window, is, now, pairLine)
		return
	}
	if t.was < 0 || old == nil {
		v.now.cut(l, window, is, now, isEdge)
		return
	}
	was := &v.was.bodies[t.was]
	if was.region.Alike(is.region, little) && standsAlike(is, old.Part[was.part], now.Part[is.part]) {
		v.now.cut(l, window, is, now, quietEdge)
		return
	}
	v.now.cut(l, window, is, now, isEdge)
	lines, whole := drawing.Apart(v.old.flat(was, old), v.now.flat(is, now), isEdge.Width/2)
	if whole {
		v.old.cut(l, window, was, old, wasEdge)
		return
	}
	runs, closed := lines.Flat(0.01)
	if lines := window.Cut(runs, closed); len(lines) > 0 {
		l.Draw(lines, wasEdge, v.old.about(was))
	}
}

// cut draws the part of a body's outline in a window.
func (v *view) cut(l *drawing.Layer, window drawing.Box, b *body, p *linkage.Pose, style *drawing.Style) {
	runs, closed := b.path.Scaled(v.k).Placed(v.at(p.Part[b.part])).Flat(0.01)
	if lines := window.Cut(runs, closed); len(lines) > 0 {
		l.Draw(lines, style, v.about(b))
	}
}

// tintPair fills the bodies of an answer within a window, and hatches the overlap of a pair that fouls.
func (v *view) tintPair(l *drawing.Layer, window drawing.Box, a *answer, p *linkage.Pose) {
	var pair [][][]plane.Vec
	for i := range v.bodies {
		b := &v.bodies[i]
		if !v.concerns(a, b) {
			continue
		}
		runs, _ := b.path.Scaled(v.k).Placed(v.at(p.Part[b.part])).Flat(0.01)
		area := window.Clip(runs)
		pair = append(pair, area)
		if fill := drawing.Closed(area); len(fill) > 0 {
			l.Draw(fill, detailFill(b), "")
		}
	}
	if len(pair) == 2 && a.OfPair() && a.Least < 0 {
		metal(l, pair[0], pair[1], "")
	}
}

// metal draws the overlap of two outlines, tinted and hatched. It returns the box round it, and false where there is
// none.
func metal(l *drawing.Layer, one, two [][]plane.Vec, label string) (drawing.Box, bool) {
	fill := drawing.Hatch(0, 0.3, one, two)
	if len(fill) == 0 {
		return drawing.NoBox(), false
	}
	l.Draw(fill, foulTint, label)
	l.Draw(drawing.Hatch(math.Pi/4, 1.2, one, two), foulHatch, label)
	return fill.Bounds(), true
}

// detailFill is the tint of a body in a detail.
func detailFill(b *body) *drawing.Style {
	if b.fixed {
		return fillFixed
	}
	return fills[b.part%len(fills)]
}
