package taylor

import "math"

const (
	ulp  = 0x1p-52
	grow = 1 + 0x1p-42 // more than the roundings in the computation of one radius
	tiny = 0x1p-1000   // more than a product can lose by underflow
	most = 1e250       // a radius above this is none
)

// State runs a Tape over boxes. It holds the polynomial of every slot, its radius, and the sum of the sizes of its
// coefficients degree by degree. Give each goroutine its own.
type State struct {
	Tape  *Tape
	Space *Space
	c     []float64 // coefficients, Space.N a slot
	g     []float64 // sum of sizes of the coefficients of each degree, Order+1 a slot
	rad   []float64
	near  map[Slot]float64 // the value that an angle is nearest to at the centre of the box
	zero  []float64
	ends  bool             // roots and powers may reach zero, or go beyond where they have a value
	jump  bool             // since the last Place, which side of a kink or a step a value is on is not known
	doubt bool             // since the last Place, one may have gone beyond
	lead  map[Slot]float64 // see Lead
}

// AllowEnds lets roots and powers be enclosed where they may reach zero, as far as they have a value. Doubt reports
// whether all of them have one all over the box.
func (s *State) AllowEnds() { s.ends = true }

// Doubt reports whether, since the last Place, a root or power was enclosed that may have no value somewhere on the box.
func (s *State) Doubt() bool { return s.doubt }

// Jump reports whether a value may jump since the last Place: a step, or the slope at a kink.
func (s *State) Jump() bool { return s.jump }

// NewState prepares to run a tape in a space.
func NewState(t *Tape, s *Space) *State {
	n := len(t.code)
	st := &State{Tape: t, Space: s, c: make([]float64, n*s.N), g: make([]float64, n*(s.Order+1)), rad: make([]float64, n),
		near: map[Slot]float64{}, zero: make([]float64, s.N)}
	st.settle()
	return st
}

// Poly returns the coefficients of a slot. They may be written to if the slot is an input.
func (s *State) Poly(i Slot) []float64 {
	at := int(i) * s.Space.N
	return s.c[at : at+s.Space.N : at+s.Space.N]
}

// Rad returns the radius of a slot.
func (s *State) Rad(i Slot) float64 { return s.rad[i] }

// SetRad gives an input its radius.
func (s *State) SetRad(i Slot, r float64) { s.rad[i] = r }

// Clear makes an input zero, without a radius.
func (s *State) Clear(i Slot) {
	copy(s.Poly(i), s.zero)
	s.rad[i] = 0
}

// Near sets which of an angle's values, whole turns apart, to take: the one nearest to v at the centre of the box; NaN
// for the principal value.
func (s *State) Near(i Slot, v float64) { s.near[i] = v }

// Box is the domain of a State: the parameter j is Mid[j] + Σ Half[j][k]·τ_k with every τ from -1 to 1.
type Box struct {
	Mid  []float64
	Half [][MaxVars]float64
	Off  []float64 // error bound of each; nil for none
	// Sizes are the half widths of the deviations: each is a parameter, after those of Mid, with the value Middle plus
	// Sizes times its deviation. In a Space without deviations all are at Middle.
	Middle, Sizes []float64
}

// Place puts the box in: every parameter's slot among the slots from a to b.
func (s *State) Place(box *Box, a, b Slot) {
	s.doubt, s.jump = false, false
	for i := a; i < b; i++ {
		n := &s.Tape.code[i]
		if n.op != opParam {
			continue
		}
		p := s.Poly(i)
		copy(p, s.zero)
		if k := int(n.a) - len(box.Mid); k >= 0 && k < len(box.Sizes) {
			if p[0], s.rad[i] = box.Middle[k], 0; s.Space.Devs > 0 {
				p[s.Space.Deviation(k)] = box.Sizes[k]
			}
			continue
		}
		if j := int(n.a); j < len(box.Mid) {
			p[0] = box.Mid[j]
			for k := 0; k < s.Space.Vars; k++ {
				p[s.Space.At[1]+k] = box.Half[j][k]
			}
			s.rad[i] = 0
			if j < len(box.Off) {
				s.rad[i] = box.Off[j]
			}
		}
	}
}

// sizes sums up the sizes of the coefficients of a slot and returns their sum.
func (s *State) sizes(i Slot) float64 {
	sp := s.Space
	p, g := s.Poly(i), s.norms(i)
	if sp.one {
		sum := 0.0
		for m, v := range p {
			v = math.Abs(v)
			g[m] = v
			sum += v
		}
		return sum
	}
	sum := 0.0
	for m := range g {
		g[m] = SizeOf(p[sp.At[m]:sp.At[m+1]])
		sum += g[m]
	}
	return sum
}

func (s *State) norms(i Slot) []float64 {
	n := s.Space.Order + 1
	return s.g[int(i)*n : int(i)*n+n : int(i)*n+n]
}

// all returns a bound of |a| over the box without its radius.
func (s *State) all(i Slot) float64 {
	t := 0.0
	for _, v := range s.norms(i) {
		t += v
	}
	return t
}

// Range returns bounds of a slot over the box, its radius included, from the sizes of its coefficients.
func (s *State) Range(i Slot) (lo, hi float64) {
	g := s.norms(i)
	t := 0.0
	for _, v := range g[1:] {
		t += v
	}
	mid := s.c[int(i)*s.Space.N]
	t = (t+s.rad[i])*grow + math.Abs(mid)*ulp + tiny
	return mid - t, mid + t
}

// Kept holds some slots of a State over one box.
type Kept struct{ c, g, rad []float64 }

// Keep copies slots, so that another State of the same Tape and Space need not compute them.
func (s *State) Keep(slots []Slot) Kept {
	n, o := s.Space.N, s.Space.Order+1
	k := Kept{make([]float64, 0, n*len(slots)), make([]float64, 0, o*len(slots)), make([]float64, 0, len(slots))}
	for _, i := range slots {
		k.c, k.g, k.rad = append(k.c, s.Poly(i)...), append(k.g, s.norms(i)...), append(k.rad, s.rad[i])
	}
	return k
}

// Restore puts kept slots back.
func (s *State) Restore(slots []Slot, k Kept) {
	n, o := s.Space.N, s.Space.Order+1
	for j, i := range slots {
		copy(s.Poly(i), k.c[j*n:])
		copy(s.norms(i), k.g[j*o:])
		s.rad[i] = k.rad[j]
	}
}
