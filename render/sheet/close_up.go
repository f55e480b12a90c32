package sheet

import (
	"cmp"
	"math"
	"slices"

	"barover/render/drawing"
	"barover/render/labels"
	"barover/solver"
	"barover/solver/linkage"
	"barover/solver/plane"
)

// The pair of an enlarged place.
var (
	isEdge    = &drawing.Style{Name: "after-edge", Width: 0.7, Line: drawing.Continuous, Stroke: black}
	wasEdge   = &drawing.Style{Name: "before-edge", Width: 0.18, Line: drawing.Continuous, Stroke: blue}
	quietEdge = &drawing.Style{Name: "edge-unchanged", Width: 0.35, Line: drawing.Continuous, Stroke: black}
)

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
