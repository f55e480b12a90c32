package clearance

import (
	"math"
	"slices"

	"barover/solver/expr"
	"barover/solver/outline"
	"barover/solver/plane"
	"barover/solver/taylor"
	"barover/solver/tube"
)

// Form is an outline in which some sizes may have every value within their tolerances: convex pieces that cover it for
// all of them. Holes are left out, so a form may cover more than its outline, never less.
type Form struct {
	part    int
	shapes  []outline.Shape
	solid   bool // a single convex shape: its depth in another is that of the form
	drawn   bool // it depends on no size
	pieces  []formed
	feature []feature
	hub     plane.Vec // of a circle round everything, and its radius with any of the sizes
	reach   float64
}

// formed is a piece of a Form: the features whose hull it is.
type formed struct {
	of    []int     // features
	taper bool      // two discs; the outline leaves slivers of their hull out along its sides
	inner *formed   // what of the outline surely lies within it, if that is not the piece itself
	sides [][2]int  // pairs of them, by their numbers in of, that a straight side of the piece touches, with the sizes in the middle
	hub   plane.Vec // as of a Form
	reach float64
}

// feature is a corner or a disc, or an arc as a disc that counts only where the arc faces.
type feature struct {
	at    plane.Vec // with the sizes in the middle, mm in the axes of the part
	r     float64
	move  [3][]float64 // deviations of place and radius from that, over the sizes; nil where they depend on no size
	off   [3]float64   // radii of these
	stray float64      // the greatest deviation of place and radius together
	arc   *arc         // nil where the disc counts in every direction
	sway  float64      // how far, rad, the directions that the arc faces may move with other sizes
}

// former makes forms of the shapes of profiles.
type former struct {
	*taylor.Builder
	sums   taylor.Compiler
	space  *taylor.Space
	plan   *tube.Plan
	form   *Form
	sliver float64          // mm: a round bar of two widths is the hull of two discs where that adds no more
	slots  [][3]taylor.Slot // of each feature: x, y and radius; none for no radius
	facing []facing
	widths []taylor.Slot // must stay above zero for there to be an outline
}

// Form makes the form of a profile. It reports false where a shape has no enclosure over all sizes.
func (o *Over) Form(part int, region *outline.Region, shapes []outline.Shape) (*Form, bool) {
	b := taylor.NewBuilder()
	m := &former{Builder: b, space: o.space, plan: o.plan, sliver: o.tolerance / 50, form: &Form{part: part, shapes: shapes, solid: len(shapes) == 1 && region.Convex()}}
	m.sums = taylor.Compiler{Builder: b, Values: o.plan.Values, Sizes: o.plan.Params()}
	if m.form.drawn = m.still(shapes); m.form.drawn {
		m.drawn(region)
	} else {
		for i := range shapes {
			if !shapes[i].Hole && !m.shape(&shapes[i]) {
				return nil, false
			}
		}
		if !m.fill() {
			return nil, false
		}
	}
	if !m.finish() {
		return nil, false
	}
	m.form.solid = m.form.solid && len(m.form.pieces) == 1
	return m.form, true
}

// still reports whether the shapes depend on no size.
func (m *former) still(shapes []outline.Shape) bool {
	for i := range shapes {
		for _, id := range shapes[i].Sums() {
			if m.sums.Sized(id) {
				return false
			}
		}
	}
	return true
}

// drawn takes the pieces of an outline that depends on no size.
func (m *former) drawn(r *outline.Region) {
	f := m.form
	for _, s := range solidsOf(r, plane.Vec{}) {
		var p formed
		for _, c := range s.corners {
			p.of = append(p.of, len(f.feature))
			f.feature = append(f.feature, feature{at: c})
		}
		for i := range s.arcs {
			p.of = append(p.of, len(f.feature))
			f.feature = append(f.feature, feature{at: s.arcs[i].c, r: s.arcs[i].r, arc: &s.arcs[i]})
		}
		f.pieces = append(f.pieces, p)
	}
}

// corner adds a corner at slots, and disc a disc. They return the number of the feature.
func (m *former) corner(x, y taylor.Slot) int { return m.disc(x, y, taylor.None) }

func (m *former) disc(x, y, r taylor.Slot) int {
	m.slots = append(m.slots, [3]taylor.Slot{x, y, r})
	m.form.feature = append(m.form.feature, feature{})
	return len(m.slots) - 1
}

func (m *former) sum(id expr.ID, failed *bool) taylor.Slot {
	s, err := m.sums.Sum(id)
	if err != nil {
		*failed = true
		return m.Number(0)
	}
	return s
}

// shape adds the pieces of one shape. It reports false where a sum of it has no enclosure.
func (m *former) shape(s *outline.Shape) bool {
	failed := false
	at := func(p outline.Place) [2]taylor.Slot {
		return [2]taylor.Slot{m.sum(p.X, &failed), m.sum(p.Y, &failed)}
	}
	half := func(id expr.ID) taylor.Slot {
		w := m.Mul(m.sum(id, &failed), m.Number(0.5))
		m.widths = append(m.widths, w)
		return w
	}
	add := func(of ...int) { m.form.pieces = append(m.form.pieces, formed{of: of}) }
	switch s.Kind {
	case outline.Disc:
		p := at(s.P[0])
		add(m.disc(p[0], p[1], half(s.W[0])))
	case outline.Box:
		p, q := at(s.P[0]), at(s.P[1])
		add(m.corner(p[0], p[1]), m.corner(q[0], p[1]), m.corner(q[0], q[1]), m.corner(p[0], q[1]))
	case outline.Strip:
		p, q := at(s.P[0]), at(s.P[1])
		if s.Round {
			m.bar(s, p, q, half(s.W[0]), half(s.W[1]))
			break
		}
		add(m.flanks(p, q, half(s.W[0]), half(s.W[1]))...)
	case outline.Path:
		return m.path(s) && !failed
	default:
		return false
	}
	return !failed
}

// fill encloses the features over all sizes.
func (m *former) fill() bool {
	st := taylor.NewState(&m.Tape, m.space)
	n := 1 + m.plan.Schedule.Model.Travels
	box := taylor.Box{Mid: make([]float64, n), Half: make([][taylor.MaxVars]float64, n)}
	m.plan.Deviate(&box)
	st.Place(&box, 0, taylor.Slot(m.Len()))
	if !st.Fill(0, taylor.Slot(m.Len())) {
		return false
	}
	for _, w := range m.widths {
		if lo, _ := st.Range(w); !(lo > 0) {
			return false
		}
	}
	for i := range m.form.feature {
		f := &m.form.feature[i]
		for k, s := range m.slots[i] {
			if s == taylor.None {
				continue
			}
			p := append([]float64(nil), st.Poly(s)...)
			head := p[0]
			switch p[0] = 0; k {
			case 0:
				f.at.X = head
			case 1:
				f.at.Y = head
			default:
				f.r = head
			}
			f.off[k] = st.Rad(s)
			moves := st.Rad(s) + taylor.SizeOf(p)
			if f.stray += moves; moves > 0 {
				f.move[k] = p
			}
		}
	}
	for i := range m.facing {
		m.face(&m.facing[i])
	}
	return true
}

// finish finds the circles round the form and its pieces, and the sides of the pieces.
func (m *former) finish() bool {
	f := m.form
	var all []int
	for i := range f.pieces {
		p := &f.pieces[i]
		p.hub, p.reach = f.round(p.of)
		p.sides = f.sidesOf(p.of)
		all = append(all, p.of...)
	}
	if len(all) == 0 {
		return false
	}
	f.hub, f.reach = f.round(all)
	return !math.IsNaN(f.reach) && !math.IsInf(f.reach, 0)
}

// round is a circle round some features with any of the sizes.
func (f *Form) round(of []int) (hub plane.Vec, reach float64) {
	lo, hi := f.feature[of[0]].at, f.feature[of[0]].at
	for _, i := range of {
		g := &f.feature[i]
		lo = plane.Vec{X: math.Min(lo.X, g.at.X-g.r), Y: math.Min(lo.Y, g.at.Y-g.r)}
		hi = plane.Vec{X: math.Max(hi.X, g.at.X+g.r), Y: math.Max(hi.Y, g.at.Y+g.r)}
	}
	hub = lo.Add(hi).Scale(0.5)
	for _, i := range of {
		g := &f.feature[i]
		reach = math.Max(reach, (g.at.Sub(hub).Len()+g.r+g.stray)*(1+1e-12))
	}
	return hub, reach
}

// sidesOf lists the pairs of features that lie side by side on the hull, with the sizes in the middle; an arc lies on it where it faces.
func (f *Form) sidesOf(of []int) (sides [][2]int) {
	size := 0.0
	for _, i := range of {
		size = math.Max(size, f.feature[i].at.Sub(f.feature[of[0]].at).Len()+f.feature[i].r)
	}
	for p, i := range of {
		for q, j := range of {
			if n, ok := f.outward(i, j); ok && f.faces(i, n) && f.faces(j, n) && f.outermost(of, i, n, 1e-9*size) {
				sides = append(sides, [2]int{p, q})
			}
		}
	}
	return sides
}

// outward is the normal of the line that touches two features from the outside, with both to its left.
func (f *Form) outward(i, j int) (plane.Vec, bool) {
	return tangentTo(f.feature[i].at, f.feature[i].r, f.feature[j].at, f.feature[j].r)
}

func tangentTo(a plane.Vec, ra float64, b plane.Vec, rb float64) (n plane.Vec, ok bool) {
	d := b.Sub(a)
	l := d.Len()
	q := (ra - rb) / l
	if !(l > 0) || !(math.Abs(q) < 1) {
		return n, false
	}
	u := d.Scale(1 / l)
	return u.Scale(q).Sub(u.Turned().Scale(math.Sqrt(1 - q*q))), true
}

// faces reports whether a feature reaches out in a direction, with the sizes in the middle.
func (f *Form) faces(i int, n plane.Vec) bool {
	a := f.feature[i].arc
	return a == nil || a.faces(n, 0)
}

func (f *Form) outermost(of []int, i int, n plane.Vec, slack float64) bool {
	far := f.feature[i].at.Dot(n) + f.feature[i].r
	return !slices.ContainsFunc(of, func(k int) bool { return f.faces(k, n) && f.feature[k].at.Dot(n)+f.feature[k].r > far+slack })
}
