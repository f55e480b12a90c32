package tube

import (
	"math"
	"slices"

	"barover/solver/linkage"
	"barover/solver/taylor"
)

// At the dead centre at which a motion ends, no box with the turn as coordinate can be proved, since the unknowns change there
// as a square root of the turn. So the coordinate of the last box is s, one unknown of the block that turns back.
//
// The turn is enclosed in a band: a polynomial p(s), plus or minus a radius. With s and the turn given, the block has one row
// too many; that row, G, is left out. For every turn in the band it is proved that the other rows have exactly one solution.
// On p plus the radius G is proved to have one sign everywhere, and on p minus the radius the other sign. G is zero along the
// motion, so the motion cannot leave the band through its sides. Nor can it leave through the ends in s: there the turn lies
// behind the turn at which the motion came in. It came in from the box before, which has only one solution there. In the band
// the motion goes forward in the turn, so it ends no more than the radius beyond the greatest value of p.

const (
	// foldReach is how far before a dead centre its box may begin, rad.
	foldReach = 1e-5
	// foldWide is the half width of the box in s while it is proved, as a multiple of the distance in s from the dead centre to
	// where the motion comes in. At the ends of the box the turn lies 9 times as far back, since it goes as the square of s.
	foldWide = 3
	// bandFirst and bandMost are the least and the greatest radius of the turn that are tried, as shares of the box's stretch of
	// the turn. With a radius of r such shares the box reaches √(2r) of its own length beyond the dead centre. Rounding in the
	// rows decides how small a radius can be proved.
	bandFirst, bandMost = 1e-9, 1e-3
	// bandRounding is the least radius that is tried, in units in the last place of the turn.
	bandRounding = 64
)

// folding is a box up to a dead centre, as it is proved.
type folding struct {
	step   int       // index in the Plan
	rest   step      // the step without s and without G
	driven int       // the scalar s
	out    slot      // the row G
	at     float64   // s at the dead centre
	half   float64   // s is at + half·τ, with the box's coordinate τ from -1 to 1
	turn   []float64 // p, in powers of τ, rad
	band   float64   // the radius of the turn, rad
	lo, hi float64   // bounds of G over the box enclosed last
}

// fold encloses the motion between the box prev and the dead centre f at which the motion ends or begins. It reports whether
// that is proved; the new box is then the last of Boxes.
func (m *marcher) fold(f *linkage.Fold, strip []Range, prev int) bool {
	if f == nil || prev < 0 || len(m.vary) > 1 || m.idle || len(m.Plan.Sizes) > 0 {
		return false
	}
	before := &m.Boxes[prev]
	b := Box{Turn: Range{before.Turn.To, f.Turn}, Travel: strip, part: before.part}
	if f.Sense < 0 {
		b.Turn = Range{f.Turn, before.Turn.From}
	}
	if !(b.Turn.From < b.Turn.To) {
		return false
	}
	b.at = m.boxOver(b.Turn, strip)
	o := m.folding(f, before, &b)
	if o == nil {
		return false
	}
	common := m.solver.common
	m.solver.folding, m.solver.common = o, nil
	defer func() { m.solver.folding, m.solver.common = nil, common }()
	wide := b.Turn.To - b.Turn.From
	rounding := bandRounding * 0x1p-52 * (1 + math.Abs(f.Turn))
	for band := max(bandFirst*wide, rounding); band <= bandMost*wide && !m.spent(); band *= 2 {
		if m.band(f, o, before, &b, band) {
			m.Boxes = append(m.Boxes, b)
			return true
		}
	}
	return false
}

// folding prepares the proof of a box up to a dead centre: it interpolates p. It returns nil where the Plan does not contain the
// block, or where the turns to interpolate are not found.
func (m *marcher) folding(f *linkage.Fold, before, b *Box) *folding {
	for k := range m.Plan.steps {
		s := &m.Plan.steps[k]
		j := slices.Index(s.scalars, f.Scalar)
		if j < 0 {
			continue
		}
		tau := m.local(before, m.joint(f, b), middle(b.Travel))
		o := &folding{step: k, rest: s.without(f.Row, j), driven: f.Scalar, out: s.row[f.Row], at: f.X[f.Scalar]}
		o.half = foldWide * (m.value(before, m.Plan.kept[m.Plan.scalar[f.Scalar]], &tau) - o.at)
		if o.half == 0 {
			return nil
		}
		nodes, values := make([]float64, m.Space.Order+1), make([]float64, m.Space.Order+1)
		for i := range nodes {
			nodes[i] = math.Cos(math.Pi * (float64(i) + 0.5) / float64(len(nodes)))
			values[i] = o.at + o.half*nodes[i]
		}
		var ok bool
		if o.turn, ok = f.Turns(values); !ok {
			return nil
		}
		for i := range o.turn {
			o.turn[i] -= f.Turn
		}
		powers(nodes, o.turn, 1)
		o.turn[0] += f.Turn
		return o
	}
	return nil
}

// joint returns the turn, rad, at which a box up to a dead centre meets the box before it.
func (m *marcher) joint(f *linkage.Fold, b *Box) float64 {
	if f.Sense > 0 {
		return b.Turn.From
	}
	return b.Turn.To
}

// band tries to prove the box b with one radius of the turn, rad. If that succeeds, b holds the enclosure.
func (m *marcher) band(f *linkage.Fold, o *folding, before, b *Box, band float64) bool {
	joint := m.joint(f, b)
	from, beyond, ok := o.reach(f.Sense, joint, band)
	if !ok {
		return false
	}
	sides := [2]float64{}
	var edge [2]Box
	p0 := o.turn[0]
	for i, sign := range [2]float64{1, -1} {
		o.turn[0], o.band = p0+sign*band, 0
		stands := m.proved(f, &edge[i], b)
		o.turn[0] = p0
		switch {
		case !stands:
			return false
		case o.lo > 0:
			sides[i] = 1
		case o.hi < 0:
			sides[i] = -1
		}
	}
	if o.band = band; sides[0]*sides[1] >= 0 || !m.proved(f, b, b) || !m.fineEnough() {
		return false
	}
	for i := range edge {
		if !m.within(&edge[i], b) {
			return false
		}
	}
	if !m.comesIn(before, b, joint, from) {
		return false
	}
	m.restrict(b, beyond, from.To)
	return true
}

// proved encloses the box b with the present turn and radius, and stores the enclosure in into. It reports whether it is proved.
func (m *marcher) proved(f *linkage.Fold, into, b *Box) bool {
	m.left--
	copy(m.guess, f.X)
	if !m.solver.enclose(&b.at, m.guess) {
		return false
	}
	m.solver.store(into)
	return true
}

// within reports whether the solution on an edge of the band is the one that the box has there: it lies in the region in which
// the box's solution is the only one.
func (m *marcher) within(edge, b *Box) bool {
	n := m.Space.N
	for i, k := range m.Plan.known {
		off := edge.rad[i] + slip*(m.sizeOf(edge, i)+m.sizeOf(b, i))
		for c := range n {
			off += math.Abs(edge.poly[i*n+c] - b.poly[i*n+c])
		}
		if !(off < b.wide[k]) {
			return false
		}
	}
	return true
}

// comesIn reports whether the motion of the box before enters the band. The band crosses the turn of the joint within from, in
// the coordinate of b. There b must lie in the region in which the solution of the box before is the only one.
func (m *marcher) comesIn(before, b *Box, joint float64, from Range) bool {
	at, off := m.local(before, joint, middle(b.Travel)), (from.To-from.From)/2
	tau := [taylor.MaxVars]float64{from.Mid()}
	for i, k := range m.Plan.known {
		va, vb := m.value(b, i, &tau), m.value(before, i, &at)
		steep := 0.0
		for p, c := range b.poly[i*m.Space.N+1 : (i+1)*m.Space.N] {
			steep += float64(p+1) * math.Abs(c)
		}
		if !(math.Abs(va-vb)+b.rad[i]+steep*off+slip*(m.sizeOf(b, i)+m.sizeOf(before, i)) < before.wide[k]) {
			return false
		}
	}
	return true
}

// restrict cuts a box to the stretch from lo to hi of its coordinate. The proof needs a wider box than the motion fills.
func (m *marcher) restrict(b *Box, lo, hi float64) {
	p := Full()
	p.Mid[0], p.Half[0] = (lo+hi)/2, (hi-lo)/2
	n := m.Space.N
	b.folded = make([]float64, n)
	m.Space.Shift(b.folded, m.solver.folding.turn, &p.Mid, &p.Half)
	for i := range m.Plan.keep {
		from := slices.Clone(b.poly[i*n : i*n+n])
		b.rad[i] += m.Space.Shift(b.poly[i*n:i*n+n], from, &p.Mid, &p.Half)
	}
}

// reach returns the stretch of the box's coordinate within which the band crosses the turn joint, and the coordinate beyond
// which the motion cannot go. It reports false unless p falls from near the dead centre to both ends of the box, and lies
// behind joint at both ends. (Behind and falls are as seen in the sense of the motion.)
func (o *folding) reach(sense, joint, band float64) (from Range, beyond float64, ok bool) {
	rest := 0.0
	for k, c := range o.turn {
		if k > 2 {
			rest += float64(k) * math.Abs(c)
		}
	}
	bend := -sense * o.turn[2]
	skew := math.Abs(o.turn[1]) / bend
	if !(bend > 0 && rest < bend/2 && skew < 1e-3) {
		return from, 0, false
	}
	back := func(tau float64) float64 { return sense * (o.turn[0] - turnAt(o.turn, tau)) } // how far the turn lies behind p's greatest
	if slack := 2 * band; !(back(1) > sense*(o.turn[0]-joint)+slack && back(-1) > sense*(o.turn[0]-joint)+slack) {
		return from, 0, false
	}
	in := sense * (o.turn[0] - joint)
	from = Range{rootOf(back, 2*skew, in-2*band), rootOf(back, 2*skew, in+2*band)}
	beyond = -max(2*skew, rootOf(func(tau float64) float64 { return back(-tau) }, 2*skew, 2*band*(1+1e-6)))
	return from, beyond, from.From > 2*skew && from.To < 1
}

// rootOf returns by bisection where a function that rises from a to 1 passes a level: a place at or just above it.
func rootOf(f func(float64) float64, a, level float64) float64 {
	b := 1.0
	for range 60 {
		if mid := a + (b-a)/2; f(mid) < level {
			a = mid
		} else {
			b = mid
		}
	}
	return b
}

// turnAt evaluates a turn, rad, that is a polynomial in the coordinate of its box.
func turnAt(p []float64, tau float64) (sum float64) {
	for k := len(p) - 1; k >= 0; k-- {
		sum = sum*tau + p[k]
	}
	return sum
}

// dead and joint are the turns, rad, at the two ends of a folded box: where its coordinate is -1 and where it is 1.
func (b *Box) dead() float64 {
	if turnAt(b.folded, 1) < turnAt(b.folded, 0) {
		return b.Turn.To
	}
	return b.Turn.From
}

func (b *Box) joint() float64 { return b.Turn.From + b.Turn.To - b.dead() }

// turnOn returns the turn, rad, at a place of a folded box's coordinate, to within the band.
func (b *Box) turnOn(tau float64) float64 {
	switch {
	case tau <= -1:
		return b.dead()
	case tau >= 1:
		return b.joint()
	}
	return min(max(turnAt(b.folded, tau), b.Turn.From), b.Turn.To)
}

// along returns where on a folded box's coordinate a turn (rad) lies, to within the band.
func (b *Box) along(turn float64) float64 {
	return rootOf(func(tau float64) float64 { return math.Abs(b.turnOn(tau) - b.dead()) }, -1, math.Abs(turn-b.dead()))
}

// place writes p and its radius into every slot of the tape that holds the turn.
func (o *folding) place(v *solver) {
	for k := range slot(v.plan.tape.Len()) {
		if j, ok := v.plan.tape.ParamOf(k); ok && j == 0 {
			clear(v.st.Poly(k))
			copy(v.st.Poly(k), o.turn)
			v.st.SetRad(k, o.band+4*0x1p-52*math.Abs(o.turn[0]))
		}
	}
}

// solve encloses the block that turns back, without the row G, and bounds G. It reports false where that is not proved.
func (o *folding) solve(v *solver, guess []float64) bool {
	at := v.plan.scalar[o.driven]
	v.st.Clear(at)
	p := v.st.Poly(at)
	p[0], p[1] = o.at, o.half
	v.st.SetRad(at, 0)
	v.wide[o.driven] = math.Abs(o.half)
	if !v.centre(&o.rest, guess) {
		return false
	}
	v.series(&o.rest)
	if !v.prove(&o.rest) || !v.st.RadiiAgain(o.rest.rows, o.rest.slopes) {
		return false
	}
	o.lo, o.hi = v.st.Range(o.out)
	return true
}

// foldIn returns the dead centre at most foldReach from a turn (rad), forward (sense 1) or backward (-1); nil where there is
// none.
func (m *marcher) foldIn(turn, sense float64, over Range, strip []Range) *linkage.Fold {
	if len(m.vary) > 1 || m.idle {
		return nil
	}
	near := Range{turn, min(turn+foldReach, over.To)}
	if sense < 0 {
		near = Range{max(turn-foldReach, over.From), turn}
	}
	f := m.guide.Fold(near, middle(strip))
	if f == nil || f.Sense != sense {
		return nil
	}
	return f
}
