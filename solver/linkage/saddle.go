package linkage

import "math"

// A change point is a place where two ways of assembly of a block meet, as those of a parallelogram do when it is flat.
// With one row of the block left out, the miss of that row is a function of one scalar and of the place on the road. At a
// change point it has a saddle of height zero, and its two level lines there are the two branches. If the height is not
// zero the branches miss one another by little. Then either no branch leads across (it locks), or each turns sharply into
// the other (it swaps).

// saddle is such a place. Along the road τ beyond it the block's scalars are x + τ·q + u·v, where a·u² + 2b·u·τ + c·τ² =
// −2·off.
type saddle struct {
	k       int       // the block
	at      float64   // place on the road
	x       []float64 // scalars of the block there
	v       []float64 // the direction that its rows do not hold, as long as the block is big
	q       []float64 // how the scalars move with the road, u held
	row     int       // the row that was left out
	col     int       // the scalar that measures u
	off     float64   // how much too long the row is there, mm: minus its residual
	a, b, c float64   // second derivatives of the miss by u and τ, mm
	slope   [2]float64
}

// saddleLeast is the share of the squares of the second derivatives below which the two ways touch rather than cross.
const saddleLeast = 1e-9

// cross finds the slopes du/dτ of the two branches; it reports false where they do not cross. One slope is infinite where
// a whole branch is at one place of the road.
func (s *saddle) cross() bool {
	d := s.disc()
	if !(d > saddleLeast*(s.a*s.a+s.b*s.b+s.c*s.c)) {
		return false
	}
	z := -(s.b + math.Copysign(math.Sqrt(d), s.b))
	s.slope = [2]float64{s.c / z, z / s.a}
	if math.Abs(s.a) < upright*math.Abs(s.b) {
		s.slope[1] = math.Inf(1)
	}
	return true
}

// upright is the share of the second derivatives below which a branch is square to the road.
const upright = 1e-6

func (s *saddle) disc() float64 { return s.b*s.b - s.a*s.c }

// half is half of the stretch that the miss opens at the crossing: of the gap, or of the sharp turn.
func (s *saddle) half() float64 { return math.Sqrt(2 * math.Abs(s.a*s.off) / s.disc()) }

// locks reports whether there is no branch across; if not, the branches swap.
func (s *saddle) locks() bool { return s.a*s.off > 0 }

// along is u at τ on the branch that goes straight across with the i-th slope; NaN in the gap of a saddle that locks.
func (s *saddle) along(i int, tau float64) float64 {
	if i == 1 && math.IsInf(s.slope[1], 0) {
		return math.Inf(1)
	}
	if math.Abs(s.a) < upright*math.Abs(s.b) {
		return s.slope[i] * tau
	}
	root := math.Copysign(math.Sqrt(s.disc()*tau*tau-2*s.a*s.off), tau)
	if (s.slope[i]+s.b/s.a)*s.a < 0 {
		root = -root
	}
	return (-s.b*tau + root) / s.a
}

// place is scalar j at τ on the branch with the i-th slope, without curvature.
func (s *saddle) place(j, i int, tau float64) float64 {
	return s.x[j] + tau*s.q[j] + s.along(i, tau)*s.v[j]
}

// apart is the distance of the two branches at τ along scalar j, up to the distance at which they are clearly apart.
func (s *saddle) apart(j int, tau float64) float64 {
	return math.Abs(tau * min(math.Abs(s.slope[0]-s.slope[1]), steepest) * s.v[j])
}

// steepest is the slope, in sizes of the sketch a radian, above which the slope of a branch no longer matters.
const steepest = 10
