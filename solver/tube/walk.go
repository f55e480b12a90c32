package tube

import (
	"math"

	"barover/solver/taylor"
)

// fix holds the scalars at one position, and how far each may be off.
type fix struct{ at, off []float64 }

// walk follows the motion along a straight line through the turn and the travels, and returns the scalars at its end. It
// reports whether the whole way is proved to be one branch without a jump.
func (m *marcher) walk(from, to []float64, start fix) (fix, bool) {
	v := newSolver(m.Plan, taylor.For(1, m.Space.Order), m.solver.widest, m.solver.size)
	here := fix{append([]float64(nil), start.at...), append([]float64(nil), start.off...)}
	guess := make([]float64, len(here.at))
	var tau [taylor.MaxVars]float64
	done, step := 0.0, 1.0
	for done < 1 {
		if m.spent() || step < 1e-6 {
			return here, false
		}
		m.left--
		end := stop(done, step, 1)
		box := lineBox(from, to, done, end)
		m.Plan.Deviate(&box)
		copy(guess, here.at)
		if !v.enclose(&box, guess) || !v.fine() || !v.meets(here, -1) {
			step = (end - done) / 2
			continue
		}
		tau[0] = 1
		for _, k := range m.Plan.known {
			s := m.Plan.scalar[k]
			here.at[k] = v.space.Value(v.st.Poly(s), &tau)
			here.off[k] = v.st.Rad(s)
		}
		done, step = end, min(1, 2*(end-done))
	}
	return here, true
}

// fine reports whether every scalar of the present box is known closely enough to link the next box to its end.
func (v *solver) fine() bool {
	for _, k := range v.plan.known {
		if !(v.st.Rad(v.plan.scalar[k]) <= linkable*v.widest*v.unit[k]) {
			return false
		}
	}
	return true
}

// linkable is the share of the widest tube that a radius may have.
const linkable = 0.02

// meets reports whether the scalars of the present box, at its end, are those of a fix.
func (v *solver) meets(f fix, end float64) bool {
	tau := [taylor.MaxVars]float64{end}
	for _, k := range v.plan.known {
		p := v.st.Poly(v.plan.scalar[k])
		size := taylor.SizeOf(p)
		if !(math.Abs(v.space.Value(p, &tau)-f.at[k])+f.off[k]+slip*size < v.wide[k]) {
			return false
		}
	}
	return true
}

// lineBox is the stretch from a to b, in parts of the whole, of the line between two positions.
func lineBox(from, to []float64, a, b float64) taylor.Box {
	box := taylor.Box{Mid: make([]float64, len(from)), Half: make([][taylor.MaxVars]float64, len(from))}
	for j := range from {
		way := to[j] - from[j]
		box.Mid[j] = from[j] + way*(a+b)/2
		if way != 0 {
			box.Half[j][0] = way*(b-a)/2*(1+0x1p-50) + math.Copysign(math.Abs(box.Mid[j])*0x1p-51, way)
		}
	}
	return box
}
