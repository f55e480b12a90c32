package position

import (
	"math"
	"math/rand/v2"
	"slices"

	"barover/solver/plane"
	"barover/solver/schedule"
)

// This file finds all the ways in which a block can be assembled: by a formula where one or two unknowns allow it, else
// by a search from a fixed, seeded set of starts, which may miss some.

// Ways returns the values of the step's scalars for every way found. The operands of the step must be placed. The scalars
// are left undefined. Without a formula it searches from first and from as many places about it as starts says.
func (e *State) Ways(step *schedule.Step, first []float64, starts int) [][]float64 {
	if len(step.Loose) > 0 {
		found, _ := e.Good(step, e.Ends(step, e.Starts(step, first, starts)))
		return found
	}
	found, ok := e.formula(step)
	if !ok {
		found = e.Search(step, e.Starts(step, first, starts))
	}
	return e.good(step, found)
}

// formula returns about where every way is; ok is false where there is no formula.
func (e *State) formula(step *schedule.Step) (found [][]float64, ok bool) {
	switch len(step.Scalars) {
	case 1:
		return e.roots(step), true
	case 2:
		return e.crossings(step)
	}
	return nil, false
}

// good polishes the places found, and returns each one once where the block is assembled.
func (e *State) good(step *schedule.Step, found [][]float64) [][]float64 {
	var good [][]float64
	for _, x := range found {
		if x, ok := e.Polish(step, x); ok && !e.Known(step, good, x) {
			good = append(good, x)
		}
	}
	return good
}

// Polish takes a nearly right place to a solution, and reports whether there is one.
func (e *State) Polish(step *schedule.Step, x []float64) ([]float64, bool) {
	e.Put(step, x)
	off := e.Closest(step, nil, 12)
	return e.Scalars(step), off <= e.Scale.solvedOver(e.sizeOf(step)) && e.aheadIn(step)
}

// Known reports whether x is among the ways found.
func (e *State) Known(step *schedule.Step, found [][]float64, x []float64) bool {
	same := SameShare * e.sizeOf(step)
	return slices.ContainsFunc(found, func(y []float64) bool {
		for j := range x {
			if !(math.Abs(x[j]-y[j]) <= same) {
				return false
			}
		}
		return true
	})
}

// poly is a polynomial of degree two in x and y: xx·x² + xy·xy + yy·y² + x·x + y·y + one.
type poly struct{ xx, xy, yy, x, y, one float64 }

// sampled finds the polynomial of a row from its values at six places, h apart.
func (e *State) sampled(step *schedule.Step, row int, h float64) poly {
	at := func(x ...float64) float64 {
		e.Put(step, x[:len(step.Scalars)])
		return step.Rows[row].Value(e.C, e.Z)
	}
	o, l, r := at(0, 0), at(-h, 0), at(h, 0)
	p := poly{one: o, x: (r - l) / (2 * h), xx: (r + l - 2*o) / (2 * h * h)}
	if len(step.Scalars) == 2 {
		d, u, c := at(0, -h), at(0, h), at(h, h)
		p.y, p.yy = (u-d)/(2*h), (u+d-2*o)/(2*h*h)
		p.xy = (c - r - u + o) / (h * h)
	}
	return p
}

// roots solves a block of one scalar.
func (e *State) roots(step *schedule.Step) [][]float64 {
	p := e.sampled(step, 0, e.Scale.Size)
	var out [][]float64
	for _, s := range quadratic(p.xx, p.x, p.one, 1/e.Scale.Size) {
		out = append(out, []float64{s})
	}
	return out
}

// quadratic returns the real roots of a·s² + b·s + c, and the place between them where there are nearly some, which is
// polished later. A term that is lost in rounding is zero; unit is the reciprocal of a usual s.
func quadratic(a, b, c, unit float64) []float64 {
	if math.Abs(a) <= 1e-13*max(math.Abs(b)*unit, math.Abs(c)*unit*unit) {
		if b == 0 {
			return nil
		}
		return []float64{-c / b}
	}
	b /= -2 * a
	c /= a
	d := b*b - c
	if d < 0 {
		if d < -1e-8*max(b*b, 1/(unit*unit)) {
			return nil
		}
		d = 0
	}
	r := math.Sqrt(d)
	s := b + math.Copysign(r, b)
	if s == 0 {
		return []float64{0}
	}
	return []float64{s, c / s}
}

// crossings solves a block of two scalars of which each row is a circle or a straight line in them; ok is false if one
// is not.
func (e *State) crossings(step *schedule.Step) (found [][]float64, ok bool) {
	var c [2]poly
	for i := range c {
		p := e.sampled(step, i, e.Scale.Size)
		if math.Abs(p.xx-p.yy) > 1e-9*math.Abs(p.xx) || math.Abs(p.xy) > 1e-9*math.Abs(p.xx) && p.xx != 0 {
			return nil, false
		}
		if k := max(math.Abs(p.x), math.Abs(p.y), math.Abs(p.one)/e.Scale.Size) / e.Scale.Size; math.Abs(p.xx) <= 1e-12*k {
			p.xx = 0
		}
		c[i] = p
	}
	if math.Abs(c[0].xx) < math.Abs(c[1].xx) {
		c[0], c[1] = c[1], c[0]
	}
	line := c[1]
	if c[0].xx != 0 {
		k := c[1].xx / c[0].xx
		line.x -= k * c[0].x
		line.y -= k * c[0].y
		line.one -= k * c[0].one
	}
	n := plane.Vec{X: line.x, Y: line.y}
	if n.Dot(n) == 0 {
		return nil, true
	}
	base, along := n.Scale(-line.one/n.Dot(n)), n.Turned().Unit()
	at := func(t float64) plane.Vec { return base.Add(along.Scale(t)) }
	value := func(t float64) float64 {
		q := at(t)
		return c[0].xx*q.Dot(q) + c[0].x*q.X + c[0].y*q.Y + c[0].one
	}
	h := e.Scale.Size
	o, l, r := value(0), value(-h), value(h)
	for _, t := range quadratic((r+l-2*o)/(2*h*h), (r-l)/(2*h), o, 1/h) {
		q := at(t)
		found = append(found, []float64{q.X, q.Y})
	}
	return found, true
}

// Search tries each of some starts: the first few patiently, since they are the likeliest, the others by Newton's method
// alone, which is fast and finds most ways in a number of tries.
func (e *State) Search(step *schedule.Step, starts [][]float64) [][]float64 {
	var found [][]float64
	m := NewMatrix(len(step.Scalars))
	for i, x := range starts {
		e.Put(step, x)
		var off float64
		if i < patient {
			off = e.Closest(step, nil, 40)
		} else {
			off = e.plunge(step, m)
		}
		if off <= SameShare*e.sizeOf(step) && e.aheadIn(step) {
			if x := e.Scalars(step); !e.Known(step, found, x) {
				found = append(found, x)
			}
		}
	}
	return found
}

// plunge follows Newton's method from the present scalars, and returns the largest residual that is left, mm.
func (e *State) plunge(step *schedule.Step, m *Matrix) float64 {
	off := math.NaN()
	for range plungeSteps {
		e.Place(step)
		if off = e.Residuals(step, m.R); !(off <= 1e3*e.Scale.Size) || off <= SameShare*e.sizeOf(step) {
			break
		}
		e.Jacobian(step, m.A)
		m.Solve()
		for j, s := range step.Scalars {
			e.X[s] -= m.R[j]
		}
	}
	return off
}

// Starts returns first and count places about it, the same ones each time.
func (e *State) Starts(step *schedule.Step, first []float64, count int) [][]float64 {
	n := len(step.Scalars)
	rnd := rand.New(rand.NewPCG(uint64(n), 1))
	out := [][]float64{first}
	for range count {
		x := slices.Clone(first)
		for j, s := range step.Scalars {
			w := 2*rnd.Float64() - 1
			switch k := e.Schedule.Scalars[s]; {
			case k.Direction:
				x[j] = w
			case k.Kind == schedule.ScalarAlong:
				x[j] += 2 * e.Scale.Size * w
			default:
				x[j] += 1.5 * e.Scale.Size * w
			}
		}
		out = append(out, x)
	}
	return out
}

// StartsFor says from how many starts a block of n scalars is searched: fewer where each takes longer.
func StartsFor(n int) int { return max(startsLeast, min(startsMost, 2000/n, StartsWork/4/(n*n*n))) }
