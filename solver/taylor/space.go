// Package taylor encloses sums over a box of positions: a polynomial in the box's own coordinates, each from -1 to 1,
// and a radius such that the true value lies within the radius of the polynomial at every place of the box.
//
// Nothing is lost to rounding: every operation adds to the radius an a-priori bound on its rounding error. The numbers of
// a sketch are taken as the floats that hold them. The standard library's sine, cosine, square root, arc tangent and
// power are trusted to four units in the last place.
//
// Sums are kept as a Tape, a list of instructions made once for a sketch; a State runs it over one box after another.
// Series are computed degree by degree, so that an equation's unknowns can be found in the same sweep.
//
// It knows sums and boxes, no linkage. A newcomer may add a function with its remainder. For each function a test drops
// the remainder and must notice.
package taylor

import "sync"

// Bounds of the polynomials: the number of coordinates of a box, the highest degree, and the number of coefficients.
const (
	MaxVars  = 5
	MaxOrder = 9
	MaxN     = 128 // without deviations
)

// Space is the set of polynomials of a total degree up to Order in Vars coordinates. Coefficients are ordered by degree,
// and within one degree of two coordinates by the power of the second.
//
// Beside its coordinates a box may have deviations, see ForSizes. The coefficients without one come first in each degree.
type Space struct {
	Vars, Order int
	Devs        int               // deviations
	N           int               // coefficients of one polynomial
	At          [MaxOrder + 2]int // where the coefficients of each degree begin; At[Order+1] = N
	Powers      [][MaxVars]uint8  // of each coefficient, in the coordinates
	Dev         [][2]int16        // of each coefficient, its deviations: the lower number first, -1 for none; {-1, i} for one
	First       []int32           // the coefficients of first powers of deviations
	one, two    bool              // one coordinate, or two, and no deviation
	plain       *Space            // the one with the same coordinates and no deviation; nil for that itself
	core        []int32           // of each coefficient: that with the same powers there
	eps         float64           // bound of the rounding error of one product, per unit of |a|·|b|
	kept        float64           // share of the overflow of products that radii count: all of it, 1
	product     [MaxOrder + 1][MaxOrder + 1][]int
	lower       [MaxVars][]lowered
	steps       [MaxVars][MaxOrder]int // how many of lower have a power above each
	place       map[monomial]int       // of each product of powers, its coefficient
	mixed       [MaxVars][MaxVars]int  // coefficient of the product of each two coordinates; not used below order two
	worse       *sync.Pool             // of *worsening
}

var spaces struct {
	sync.Mutex
	made map[[3]int]*Space
}

// monomial is a product of powers of coordinates and of deviations.
type monomial struct {
	tau [MaxVars]uint8
	dev [2]int16
}

// undeviated are the deviations of a monomial without any.
var undeviated = [2]int16{-1, -1}

// For returns the space of vars coordinates and that order; both are brought within their bounds.
func For(vars, order int) *Space {
	vars, order = min(max(vars, 1), MaxVars), min(max(order, 1), MaxOrder)
	for coefficients(vars, order) > MaxN {
		order--
	}
	return kept(vars, order, 0)
}

// kept returns a space that is made once.
func kept(vars, order, devs int) *Space {
	var plain *Space
	if devs > 0 {
		plain = For(vars, order)
	}
	spaces.Lock()
	defer spaces.Unlock()
	if spaces.made == nil {
		spaces.made = map[[3]int]*Space{}
	}
	key := [3]int{vars, order, devs}
	if spaces.made[key] == nil {
		spaces.made[key] = newSpace(vars, order, devs)
		spaces.made[key].over(plain)
	}
	return spaces.made[key]
}

// coefficients is the number of monomials up to a degree: order + vars over vars.
func coefficients(vars, order int) int {
	n := 1
	for k := 1; k <= vars; k++ {
		n = n * (order + k) / k
	}
	return n
}

func newSpace(vars, order, devs int) *Space {
	s := &Space{Vars: vars, Order: order, Devs: devs, kept: 1, one: vars == 1 && devs == 0, two: vars == 2 && devs == 0, worse: &sync.Pool{}}
	place := map[monomial]int{} // within its degree
	s.place = map[monomial]int{}
	for m := 0; m <= order; m++ {
		s.At[m] = len(s.Powers)
		for _, p := range weighing(vars, devs, m) {
			place[p] = len(s.Powers) - s.At[m]
			s.place[p] = len(s.Powers)
			if p.dev[0] < 0 && p.dev[1] >= 0 {
				s.First = append(s.First, int32(len(s.Powers)))
			}
			s.Powers, s.Dev = append(s.Powers, p.tau), append(s.Dev, p.dev)
		}
	}
	s.N = len(s.Powers)
	s.At[order+1] = s.N
	s.eps = float64(s.N+8) * ulp
	for k := range vars {
		s.lower[k], s.steps[k] = s.lowering(k)
		for j := range vars {
			s.mixed[j][k] = s.pair(j, k)
		}
	}
	s.multiply(place)
	return s
}

// pair returns the coefficient of the product of two coordinates.
func (s *Space) pair(j, k int) int {
	p := monomial{dev: undeviated}
	p.tau[j]++
	p.tau[k]++
	return s.place[p]
}

// at returns the monomial of a coefficient.
func (s *Space) at(i int) monomial { return monomial{s.Powers[i], s.Dev[i]} }

// multiply lists the coefficients of the products of two coefficients.
func (s *Space) multiply(place map[monomial]int) {
	for i := 0; i <= s.Order; i++ {
		for j := 0; i+j <= s.Order; j++ {
			list := make([]int, 0, (s.At[i+1]-s.At[i])*(s.At[j+1]-s.At[j]))
			for p := s.At[i]; p < s.At[i+1]; p++ {
				for q := s.At[j]; q < s.At[j+1]; q++ {
					list = append(list, place[s.at(p).times(s.at(q))])
				}
			}
			s.product[i][j] = list
		}
	}
}

// monomials lists the powers of degree m, the first coordinate's falling first.
func monomials(vars, m int) [][MaxVars]uint8 {
	var list [][MaxVars]uint8
	var fill func(p [MaxVars]uint8, j, left int)
	fill = func(p [MaxVars]uint8, j, left int) {
		if j == vars-1 {
			p[j] = uint8(left)
			list = append(list, p)
			return
		}
		for k := left; k >= 0; k-- {
			p[j] = uint8(k)
			fill(p, j+1, left-k)
		}
	}
	fill([MaxVars]uint8{}, 0, m)
	return list
}

// conv adds to the part of degree m of c the products of the parts i of a and m-i of b, for i from lo to hi.
func (s *Space) conv(c, a, b []float64, m, lo, hi int) {
	if s.one {
		v := c[m]
		for i := lo; i <= hi; i++ {
			v += a[i] * b[m-i]
		}
		c[m] = v
		return
	}
	for i := lo; i <= hi; i++ {
		s.convPart(c, a, b, i, m-i, 1)
	}
}

// squared adds to the part of degree m of c that of a·a: each product of two different parts counts twice.
func (s *Space) squared(c, a []float64, m int) {
	if s.one {
		s.conv(c, a, a, m, 0, m)
		return
	}
	for i := 0; 2*i < m; i++ {
		s.convPart(c, a, a, m-i, i, 2)
	}
	if m&1 == 0 {
		s.convPart(c, a, a, m/2, m/2, 1)
	}
}

// convBy is conv from 1 to hi with each product multiplied by w + v·i.
func (s *Space) convBy(c, a, b []float64, m, hi int, w, v float64) {
	if s.one {
		t := c[m]
		for i := 1; i <= hi; i++ {
			t += (w + v*float64(i)) * (a[i] * b[m-i])
		}
		c[m] = t
		return
	}
	for i := 1; i <= hi; i++ {
		s.convPart(c, a, b, i, m-i, w+v*float64(i))
	}
}

// convPart adds w times the product of the part i of a and the part j of b to c.
func (s *Space) convPart(c, a, b []float64, i, j int, w float64) {
	pa, pb, pc := a[s.At[i]:s.At[i+1]], b[s.At[j]:s.At[j+1]], c[s.At[i+j]:s.At[i+j+1]]
	if s.two {
		for k, x := range pa {
			if x *= w; x != 0 {
				to := pc[k : k+len(pb)]
				for l, y := range pb {
					to[l] += x * y
				}
			}
		}
		return
	}
	if s.Vars == 1 && (len(pa) == 1 || len(pb) == 1) { // a power of the coordinate: the others keep their order
		if len(pa) > 1 {
			pa, pb = pb, pa
		}
		if x := w * pa[0]; x != 0 {
			to := pc[:len(pb)]
			for l, y := range pb {
				to[l] += x * y
			}
		}
		return
	}
	place := s.product[i][j]
	for k, x := range pa {
		if x *= w; x != 0 {
			at := place[k*len(pb) : (k+1)*len(pb)]
			for l, y := range pb {
				pc[at[l]] += x * y
			}
		}
	}
}

// Value evaluates a polynomial at a place, every deviation at zero.
func (s *Space) Value(c []float64, tau *[MaxVars]float64) float64 {
	if s.one {
		v := 0.0
		for i := s.Order; i >= 0; i-- {
			v = v*tau[0] + c[i]
		}
		return v
	}
	var power [MaxVars][MaxOrder + 1]float64
	for k := range power[:s.Vars] {
		power[k][0] = 1
		for m := 1; m <= s.Order; m++ {
			power[k][m] = power[k][m-1] * tau[k]
		}
	}
	v := 0.0
	for i, w := range s.Powers {
		if s.Dev[i][1] >= 0 {
			continue
		}
		t := c[i]
		for k := range s.Vars {
			t *= power[k][w[k]]
		}
		v += t
	}
	return v
}

// Second returns the coefficient of the product of two coordinates, or of the square of one; zero below order two.
func (s *Space) Second(c []float64, j, k int) float64 {
	if s.Order < 2 {
		return 0
	}
	return c[s.mixed[j][k]]
}
