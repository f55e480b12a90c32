package linkage

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/schedule"
	"barover/solver/trial/draws"
)

// machine grows a random linkage piece by piece. Each piece is laid where it stands at the start, and its lengths and
// angles are measured there, so that the whole can be assembled. Every number is a dimension.
type machine struct {
	*draft
	rnd  *rand.Rand
	turn float64 // at the start
	at   []plane.Vec
	dirs []plane.Vec // of parts
	rods []int       // parts that points can be fixed on
}

func newMachine(rnd *rand.Rand) *machine {
	m := &machine{draft: newDraft(), rnd: rnd, turn: rnd.Float64() * 6}
	m.dirs = []plane.Vec{{X: 1}}
	m.Travels = 1
	o := m.put(m.fixed("o", 0, 0), plane.Vec{})
	m.put(m.at2("ground", 130, 20), plane.Vec{X: 130, Y: 20})
	c := plane.Polar(m.turn + 0.3).Scale(25)
	p := m.put(m.found("crankpin"), c)
	m.length(o, p, m.dim(25))
	m.heading(o, p, m.g.Add(m.g.Turn(), m.dim(0.3)))
	m.rod1("crank", o, p, true)
	return m
}

func (m *machine) at2(name string, x, y float64) int { return m.draft.at(name, m.dim(x), m.dim(y)) }

func (m *machine) put(i int, z plane.Vec) int {
	m.at = append(m.at, z)
	return i
}

// somewhere is a place near the middle of the machine.
func (m *machine) somewhere() plane.Vec {
	return plane.Vec{X: 60 + 130*(m.rnd.Float64()-0.5), Y: 120 * (m.rnd.Float64() - 0.5)}
}

func (m *machine) free(z plane.Vec) int {
	return m.put(m.near(fmt.Sprint("p", len(m.at)), z.X, z.Y), z)
}

func (m *machine) any() int { return m.rnd.IntN(len(m.at)) }

// two are two different points that do not lie on one another.
func (m *machine) two() (p, q int) {
	for range 100 {
		p, q = m.any(), m.any()
		if m.at[p].Sub(m.at[q]).Len() > 8 {
			break
		}
	}
	return p, q
}

func (m *machine) dist(p, q int) float64 { return m.at[p].Sub(m.at[q]).Len() }

func (m *machine) far(p, q int) { m.length(p, q, m.dim(m.dist(p, q))) }

// rod1 adds a part from p to q, with a heading of its own in two cases of three.
func (m *machine) rod1(name string, p, q int, plain bool) int {
	d := m.at[q].Sub(m.at[p]).Unit()
	part := schedule.Part{Name: name, Kind: schedule.FromTo, P: p, Q: q, Line: -1, Heading: expr.None}
	if own := m.rnd.Float64() * 3; !plain && m.rnd.IntN(3) > 0 {
		part.Heading = m.dim(own)
		d = d.Against(plane.Polar(own))
	}
	return m.addPart(part, d)
}

func (m *machine) addPart(p schedule.Part, d plane.Vec) int {
	i := m.part(p)
	m.dirs = append(m.dirs, d)
	m.rods = append(m.rods, i)
	return i
}

// headingDim is a dimension for an angle, now and then one that the turn or the travel moves a little.
func (m *machine) headingDim(h float64) expr.ID {
	switch m.rnd.IntN(3) {
	case 0:
		return m.g.Add(m.dim(h-0.1*m.turn), m.g.Mul(m.num(0.1), m.g.Turn()))
	case 1:
		return m.g.Add(m.dim(h), m.g.Div(m.g.Travel(0), m.dim(300)))
	}
	return m.dim(h)
}

// lengthDim does the same for a length; the travel is at rest at 0.
func (m *machine) lengthDim(l float64) expr.ID {
	switch m.rnd.IntN(4) {
	case 0:
		return m.g.Add(m.dim(l), m.g.Mul(m.num(0.5), m.g.Travel(0)))
	case 1:
		return m.g.Add(m.dim(l-2*math.Sin(m.turn)), m.g.Mul(m.num(2), m.g.Unary(expr.Sin, m.g.Turn())))
	}
	return m.dim(l)
}

// pieces are the ways to add something.
var pieces = []func(m *machine){
	func(m *machine) { // a dyad
		p, q := m.two()
		z := m.free(m.somewhere())
		m.length(p, z, m.lengthDim(m.dist(p, z)))
		m.far(z, q)
		m.rod1("rod", p, z, false)
		m.rod1("rod", z, q, false)
	},
	func(m *machine) { // a crosshead
		p, z := m.any(), m.somewhere()
		base := m.put(m.at2("", z.X-30, z.Y), plane.Vec{X: z.X - 30, Y: z.Y})
		line := m.line("guide", base, m.headingDim(0))
		x := m.free(z)
		m.slide(x, line)
		m.far(x, p)
		i := m.along("crosshead", x, line)
		m.dirs, m.rods = append(m.dirs, plane.Vec{X: 1}), append(m.rods, i)
	},
	func(m *machine) { // a point fixed on a part
		i := m.rods[m.rnd.IntN(len(m.rods))]
		u := plane.Vec{X: 40 * (m.rnd.Float64() - 0.3), Y: 30 * (m.rnd.Float64() - 0.5)}
		z := m.at[m.Parts[i].P].Add(u.Times(m.dirs[i]))
		m.put(m.onPart(fmt.Sprint("p", len(m.at)), i, m.lengthDim(u.X), m.dim(u.Y)), z)
	},
	func(m *machine) { // a telescope
		p, q := m.two()
		m.rod1("telescope", p, q, false)
	},
	func(m *machine) { // by distance and heading
		p := m.any()
		z := m.free(m.somewhere())
		d := m.at[z].Sub(m.at[p])
		m.length(z, p, m.lengthDim(d.Len()))
		if m.rnd.IntN(2) == 0 {
			m.heading(p, z, m.headingDim(math.Atan2(d.Y, d.X)))
		} else {
			m.heading(z, p, m.headingDim(math.Atan2(-d.Y, -d.X)))
		}
		m.rod1("arm", p, z, false)
	},
	func(m *machine) { // by an angle and both lengths
		p, q := m.two()
		z := m.free(m.somewhere())
		m.far(p, q)
		m.removeIfKnown()
		m.far(q, z)
		m.turned(p, q, z, m.rnd.IntN(2) == 0)
	},
	func(m *machine) { // by an angle and a length to a third point
		p, q := m.two()
		z := m.free(m.somewhere())
		m.turned(p, q, z, m.rnd.IntN(2) == 0)
		m.far(z, m.any())
	},
	func(m *machine) { // in a curved slot
		i := m.rods[m.rnd.IntN(len(m.rods))]
		r := 20 + 20*m.rnd.Float64()
		u := plane.Vec{X: 20 * m.rnd.Float64(), Y: 10 * m.rnd.Float64()}
		c := m.at[m.Parts[i].P].Add(u.Times(m.dirs[i]))
		arc := m.arc("slot", i, u.X, u.Y, r)
		m.Arcs[arc].Radius = m.dim(r)
		m.at = append(m.at, c)
		x := m.free(c.Add(plane.Polar(6 * m.rnd.Float64()).Scale(r)))
		m.slideArc(x, arc)
		m.far(x, m.any())
	},
	func(m *machine) { // along a line that moves
		p, q := m.two()
		line := m.lineTo("axis", p, q)
		z := m.free(m.at[p].Add(m.at[q].Sub(m.at[p]).Scale(0.2 + m.rnd.Float64())))
		m.slide(z, line)
		m.far(z, m.any())
		if m.rnd.IntN(2) == 0 {
			i := m.along("block", z, line)
			m.dirs, m.rods = append(m.dirs, m.at[q].Sub(m.at[p]).Unit()), append(m.rods, i)
		}
	},
	func(m *machine) { // in a direction, to where a length ends it
		p := m.any()
		z := m.free(m.somewhere())
		d := m.at[z].Sub(m.at[p])
		if m.rnd.IntN(2) == 0 {
			m.heading(p, z, m.headingDim(math.Atan2(d.Y, d.X)))
		} else {
			m.heading(z, p, m.headingDim(math.Atan2(-d.Y, -d.X)))
		}
		m.far(z, m.any())
	},
	func(m *machine) { // a part that keeps its heading
		p := m.any()
		h := 6 * m.rnd.Float64()
		m.addPart(schedule.Part{Name: "shoe", Kind: schedule.AtHeading, P: p, Q: -1, Line: -1, Heading: m.headingDim(h)}, plane.Polar(h))
	},
	func(m *machine) { // a triangle of three that depends on three lengths
		a, b := m.free(m.somewhere()), m.free(m.somewhere())
		m.far(a, b)
		i := m.rod1("plate", a, b, false)
		u := plane.Vec{X: 15, Y: 25}
		c := m.put(m.onPart(fmt.Sprint("p", len(m.at)), i, m.dim(u.X), m.dim(u.Y)), m.at[a].Add(u.Times(m.dirs[i])))
		m.far(a, m.rnd.IntN(a))
		m.far(b, m.rnd.IntN(a))
		m.far(c, m.rnd.IntN(a))
	},
	func(m *machine) { // a telescope that is part of the circle: its own pin holds it
		p, o := m.two()
		z := m.free(m.somewhere())
		i := m.rod1("cylinder", o, z, false)
		u := plane.Vec{X: 10, Y: 6 * m.rnd.Float64()}
		c := m.put(m.onPart(fmt.Sprint("p", len(m.at)), i, m.dim(u.X), m.dim(u.Y)), m.at[o].Add(u.Times(m.dirs[i])))
		m.far(c, p)
		m.far(z, m.any())
	},
	func(m *machine) { // a heading that a dyad away
		a, b := m.free(m.somewhere()), m.any()
		i := m.rod1("arm", b, a, false)
		if m.dist(a, b) > 1 {
			m.far(a, b)
		}
		c := m.put(m.onPart(fmt.Sprint("p", len(m.at)), i, m.dim(12), m.dim(20)), m.at[b].Add(plane.Vec{X: 12, Y: 20}.Times(m.dirs[i])))
		d := m.at[c].Sub(plane.Vec{})
		m.heading(0, c, m.headingDim(math.Atan2(d.Y, d.X)))
	},
}

// turned asks the angle at q from p round to z, or from z round to p.
func (m *machine) turned(p, q, z int, back bool) {
	a, b := m.at[p].Sub(m.at[q]), m.at[z].Sub(m.at[q])
	w := b.Against(a)
	h := math.Atan2(w.Y, w.X)
	if back {
		m.angle(z, q, p, m.headingDim(-h))
	} else {
		m.angle(p, q, z, m.headingDim(h))
	}
}

// removeIfKnown takes the last length away again where its points hold it anyhow: it would be one too many.
func (m *machine) removeIfKnown() { m.Equations = m.Equations[:len(m.Equations)-1] }

// grow adds count pieces.
func (m *machine) grow(count int) {
	for range count {
		pieces[m.rnd.IntN(len(pieces))](m)
	}
}

// satisfied checks a pose against the statements, each in its own words and nothing of the solver's.
func satisfied(t *testing.T, m *schedule.Model, v *expr.Values, p *Pose, tol float64) {
	t.Helper()
	ev := expr.NewEval(v)
	at := expr.Context{Turn: p.Turn, Travel: p.Travel}
	val := func(id expr.ID) float64 {
		if id == expr.None {
			return 0
		}
		return ev.At(id, &at)
	}
	near := func(what string, stmt int, off float64) {
		if !(math.Abs(off) <= tol) {
			t.Errorf("%s, statement %d, is missed by %g", what, stmt, off)
		}
	}
	turned := func(what string, stmt int, d plane.Vec, h float64) {
		w := d.Against(plane.Polar(h))
		near(what, stmt, w.Y)
		if !(w.X > 0) {
			t.Errorf("%s, statement %d, points the other way", what, stmt)
		}
	}
	for i, q := range m.Points {
		switch q.Kind {
		case schedule.Driven:
			near("point", q.Stmt, p.Point[i].Sub(plane.Vec{X: val(q.U), Y: val(q.V)}).Len())
		case schedule.OnPart:
			near("point", q.Stmt, p.Point[i].Sub(p.Part[q.Part].Out(plane.Vec{X: val(q.U), Y: val(q.V)})).Len())
		}
	}
	for i, q := range m.Parts {
		d := p.Part[i].Dir
		near("part's direction", q.Stmt, 100*(d.Len()-1))
		switch q.Kind {
		case schedule.FromTo:
			turned("part", q.Stmt, p.Point[q.Q].Sub(p.Point[q.P]).Against(d), val(q.Heading))
		case schedule.AlongLine:
			near("part", q.Stmt, 100*d.Sub(p.Line[q.Line].Dir).Len())
		case schedule.AtHeading:
			turned("part", q.Stmt, d.Scale(100), val(q.Heading))
		}
	}
	for i, l := range m.Lines {
		d := p.Line[i].Dir
		if l.Q >= 0 {
			turned("line", l.Stmt, p.Point[l.Q].Sub(p.Point[l.P]).Against(d), 0)
		} else {
			turned("line", l.Stmt, d.Scale(100), val(l.Heading))
		}
	}
	for _, e := range m.Equations {
		switch e.Kind {
		case schedule.Length:
			near("length", e.Stmt, p.Point[e.P].Sub(p.Point[e.Q]).Len()-val(e.V))
		case schedule.Heading:
			turned("heading", e.Stmt, p.Point[e.Q].Sub(p.Point[e.P]), val(e.V))
		case schedule.Angle:
			a := p.Point[e.P].Sub(p.Point[e.Q])
			turned("angle", e.Stmt, p.Point[e.R].Sub(p.Point[e.Q]).Against(a).Scale(1/a.Len()), val(e.V))
		case schedule.OnLine:
			l := p.Line[e.On]
			near("slide", e.Stmt, p.Point[e.P].Sub(l.Origin).Cross(l.Dir))
		case schedule.OnArc:
			a := m.Arcs[e.On]
			near("slide", e.Stmt, p.Point[e.P].Sub(p.Point[a.Centre]).Len()-val(a.Radius))
		}
	}
}

// randomMachines calls f with linkages that can be assembled, made from a seed: with a share of them, and with each that has a kind of
// point, part, equation, op or row which few before it had.
func randomMachines(t *testing.T, seed uint64, count int, f func(name string, m *machine, l *Linkage)) {
	t.Helper()
	good, met := 0, make(map[string]int)
	for i := range count {
		rnd := rand.New(rand.NewPCG(seed, uint64(i)))
		m := newMachine(rnd)
		m.grow(1 + rnd.IntN(7))
		l, err := New(m.Model, m.values(), m.turn, m.turn+2*math.Pi, []float64{0})
		if err != nil {
			continue // a random piece may hold what is held already, or stand on a dead centre
		}
		good++
		if rare := countRare(met, m.Model, l.s); !rare && i >= draws.Of(count) {
			continue
		}
		f(fmt.Sprintf("seed %d, machine %d", seed, i), m, l)
		if t.Failed() {
			t.Fatalf("seed %d, machine %d", seed, i)
		}
	}
	if good < count/2 {
		t.Errorf("only %d of %d machines could be assembled", good, count)
	}
}

// At every position of random machines, and at other travels, every statement is met; finer steps lead to the same place;
// and the same question has the same answer to the last bit.
func TestRandomMachines(t *testing.T) {
	kinds := make(map[string]int)
	randomMachines(t, 11, 120, func(name string, m *machine, l *Linkage) {
		for _, step := range l.s.Steps {
			for _, op := range step.Ops {
				kinds[fmt.Sprint("op ", op.Kind)]++
			}
			for _, r := range step.Rows {
				kinds[fmt.Sprint("row ", r.Kind)]++
			}
		}
		for _, travel := range []float64{0, 4} {
			setting := []float64{travel}
			mo, err := l.Follow(t.Context(), setting, m.turn, m.turn+20*deg, deg)
			if err != nil {
				t.Fatal(err)
			}
			fine, _ := l.Follow(t.Context(), setting, m.turn, m.turn+20*deg, deg/5)
			again, _ := l.Follow(t.Context(), setting, m.turn, m.turn+20*deg, deg)
			var p, q, r Pose
			for turn := m.turn; turn <= m.turn+20*deg; turn += 0.37 * deg {
				status := mo.At(turn, &p)
				if s := again.At(turn, &r); s != status {
					t.Errorf("%s: %v and then %v at %g°", name, status, s, turn/deg)
				}
				if status != Solved {
					continue
				}
				satisfied(t, m.Model, l.v, &p, 1e-8)
				for i, z := range p.Point {
					if z != r.Point[i] {
						t.Errorf("%s: two answers at %g°: %v and %v", name, turn/deg, z, r.Point[i])
					}
				}
				if len(mo.Broken()) > 0 || fine.At(turn, &q) != Solved {
					continue // behind a break the nearest pose counts, which depends on where it is looked for
				}
				for i, z := range p.Point {
					if off := z.Sub(q.Point[i]).Len(); !(off < 1e-6) {
						t.Errorf("%s: finer steps lead to a place %g off at %g° of travel %g", name, off, turn/deg-m.turn/deg, travel)
						return
					}
				}
			}
		}
	})
	for k := schedule.OpAt; k <= schedule.OpFree; k++ {
		if kinds[fmt.Sprint("op ", k)] == 0 {
			t.Errorf("no machine had an op of kind %d", k)
		}
	}
	for k := schedule.RowLength; k <= schedule.RowUnit; k++ {
		if kinds[fmt.Sprint("row ", k)] == 0 {
			t.Errorf("no machine had a row of kind %d", k)
		}
	}
}
