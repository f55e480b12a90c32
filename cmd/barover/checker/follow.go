package checker

import (
	"errors"
	"math"
	"math/cmplx"
)

// Start is the pose in which the sketch is drawn: the beginning of the turn, travels at rest.
func (s *Sketch) Start() (*Pose, error) {
	p := s.placed()
	if !s.newton(p) {
		return nil, errors.New("the start does not assemble")
	}
	s.stand(p)
	for k, z := range s.start {
		if off := cmplx.Abs(complex(p.x[2*k], p.x[2*k+1]) - z); !(off < 1e-3*s.Size()) {
			return nil, errors.New("the start assembles elsewhere")
		}
	}
	s.carryHeadings(p, nil)
	return p, nil
}

// placed returns the pose at the beginning of the turn with the travels at rest, and the found points where they were placed.
func (s *Sketch) placed() *Pose {
	p := &Pose{Points: make([]complex128, len(s.points))}
	if s.Turn != nil {
		p.Turn = s.Turn.From
	}
	for _, t := range s.Travels {
		p.Travel = append(p.Travel, t.Rest)
	}
	for _, z := range s.start {
		p.x = append(p.x, real(z), imag(z))
	}
	s.stand(p)
	return p
}

// mostHalvings bounds how finely a step of the way is divided: a millionth of it.
const mostHalvings = 20

// farthest is the share of the size that a found point may move in one step, and turned what a heading, the turn or a range of an
// angle may, rad. With more, the other branch might be taken for this one, or a whole turn for none.
const (
	farthest = 0.2
	turned   = 1.0
)

// goTo follows the engine from a pose to another turn and other travels. It halves the way where it is not sure of the
// branch. It returns nil where the engine cannot be assembled on the way.
func (s *Sketch) goTo(from *Pose, turn float64, travel []float64) *Pose {
	return s.step(from, turn, travel, mostHalvings)
}

func (s *Sketch) step(from *Pose, turn float64, travel []float64, halvings int) *Pose {
	p := from.copied()
	p.Turn = turn
	copy(p.Travel, travel)
	if s.newton(p) && s.near(from, p) {
		s.carryHeadings(p, from)
		return p
	}
	if halvings == 0 {
		return nil
	}
	mid := s.step(from, (from.Turn+turn)/2, blend(from.Travel, travel, 0.5), halvings-1)
	if mid == nil {
		return nil
	}
	return s.step(mid, turn, travel, halvings-1)
}

// near reports whether q is on the same branch as p, so close that there is no doubt.
func (s *Sketch) near(p, q *Pose) bool {
	if p.slopes != nil && p.slopes.sign != q.slopes.sign || math.Abs(p.Turn-q.Turn) > turned {
		return false
	}
	for k := range s.Travels {
		if s.Travels[k].Angle && math.Abs(p.Travel[k]-q.Travel[k]) > turned {
			return false
		}
	}
	for k := range p.x {
		if math.Abs(p.x[k]-q.x[k]) > farthest*s.Size() {
			return false
		}
	}
	for _, h := range s.headings {
		a, b := p.Points[h[1]]-p.Points[h[0]], q.Points[h[1]]-q.Points[h[0]]
		if math.Abs(cmplx.Phase(b/a)) > turned {
			return false
		}
	}
	return true
}

func blend(a, b []float64, share float64) []float64 {
	out := make([]float64, len(a))
	for k := range a {
		out[k] = a[k] + (b[k]-a[k])*share
	}
	return out
}
