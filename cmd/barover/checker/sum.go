package checker

import (
	"fmt"
	"math"
	"math/cmplx"
)

// Kind is what a sum measures.
type Kind int

const (
	Length Kind = iota
	Angle
	Number
)

// Sum is a sum of the language and the same in numbers: of a pose, in mm, rad or bare.
type Sum struct {
	Text string
	Kind Kind
	Of   func(p *Pose) float64
}

// constant is a length in mm that does not move.
func constant(v float64) Sum {
	return Sum{figure(v), Length, func(*Pose) float64 { return v }}
}

// degrees is an angle, given in degrees.
func degrees(v float64) Sum {
	rad := v * math.Pi / 180
	return Sum{figure(v), Angle, func(*Pose) float64 { return rad }}
}

// turning is the turn's own name as a sum, and travelling that of travel k.
func (s *Sketch) turning() Sum {
	return Sum{s.Turn.Name, Angle, func(p *Pose) float64 { return p.Turn }}
}

func (s *Sketch) travelling(k int) Sum {
	kind := Length
	if s.Travels[k].Angle {
		kind = Angle
	}
	return Sum{s.Travels[k].Name, kind, func(p *Pose) float64 { return p.Travel[k] }}
}

// direction is the direction of a heading, computed anew where that has changed.
func (a Sum) direction() func(p *Pose) complex128 {
	was, u := 0.0, complex(1, 0)
	return func(p *Pose) complex128 {
		if v := a.Of(p); v != was {
			was, u = v, cmplx.Rect(1, v)
		}
		return u
	}
}

func (a Sum) minus(b Sum) Sum {
	return Sum{fmt.Sprintf("(%s - %s)", a.Text, b.Text), a.Kind, func(p *Pose) float64 { return a.Of(p) - b.Of(p) }}
}

func (a Sum) times(f float64) Sum {
	return Sum{fmt.Sprintf("(%s*%s)", a.Text, figure(f)), a.Kind, func(p *Pose) float64 { return a.Of(p) * f }}
}

// absolute is abs(E).
func absolute(a Sum) Sum {
	return Sum{fmt.Sprintf("abs(%s)", a.Text), a.Kind, func(p *Pose) float64 { return math.Abs(a.Of(p)) }}
}

func apply2(name string, f func(a, b float64) float64, a, b Sum) Sum {
	return Sum{fmt.Sprintf("%s(%s, %s)", name, a.Text, b.Text), a.Kind, func(p *Pose) float64 { return f(a.Of(p), b.Of(p)) }}
}

// abscissa and ordinate are x(P) and y(P) in the sketch's frame.
func (s *Sketch) abscissa(i int) Sum {
	return Sum{"x(" + s.points[i].name + ")", Length, func(p *Pose) float64 { return real(p.Points[i]) + real(s.Origin) }}
}

func (s *Sketch) ordinate(i int) Sum {
	return Sum{"y(" + s.points[i].name + ")", Length, func(p *Pose) float64 { return imag(p.Points[i]) + imag(s.Origin) }}
}

// apart is dist(P,Q).
func (s *Sketch) apart(i, j int) Sum {
	return Sum{fmt.Sprintf("dist(%s, %s)", s.points[i].name, s.points[j].name), Length,
		func(p *Pose) float64 { return modulus(p.Points[j] - p.Points[i]) }}
}

// heading is heading(P,Q), which runs on without a jump from where the sketch starts.
func (s *Sketch) heading(i, j int) Sum {
	k := len(s.headings)
	s.headings = append(s.headings, [2]int{i, j})
	return Sum{fmt.Sprintf("heading(%s, %s)", s.points[i].name, s.points[j].name), Angle,
		func(p *Pose) float64 { return p.headings[k] }}
}

// rate is dE/dturn per rad, by a central difference along the velocity of the found points. Its error is of the order of
// 1e-9 of the sum's third derivative.
func (s *Sketch) rate(a Sum) Sum {
	kind := a.Kind
	if kind == Angle {
		kind = Number
	}
	return Sum{fmt.Sprintf("rate(%s)", a.Text), kind, func(p *Pose) float64 {
		const h = 3e-5
		v, ok := s.velocity(p)
		if !ok {
			return math.NaN()
		}
		at := func(h float64) float64 {
			q := p.moved(h, v)
			s.stand(q)
			s.carryHeadings(q, p)
			return a.Of(q)
		}
		return (at(h) - at(-h)) / (2 * h)
	}}
}

// rateOfRate is the second derivative by the turn, from five positions solved. Its error is of the order of 1e-6 of the sum.
func (s *Sketch) rateOfRate(a Sum) Sum {
	kind := a.Kind
	if kind == Angle {
		kind = Number
	}
	return Sum{fmt.Sprintf("rate(rate(%s))", a.Text), kind, func(p *Pose) float64 {
		const h = 4e-3
		v, ok := s.velocity(p)
		sum := -30 * a.Of(p)
		for _, at := range [][2]float64{{-2, -1}, {-1, 16}, {1, 16}, {2, -1}} {
			if !ok {
				return math.NaN()
			}
			q := p.moved(at[0]*h, v)
			ok = s.newton(q)
			s.carryHeadings(q, p)
			sum += at[1] * a.Of(q)
		}
		return sum / (12 * h * h)
	}}
}

// greatest is greatest(E) over the turn, of a sketch that has no travels.
func (s *Sketch) greatest(a Sum) Sum {
	found := math.NaN()
	return Sum{fmt.Sprintf("greatest(%s)", a.Text), a.Kind, func(*Pose) float64 {
		if math.IsNaN(found) {
			found = -least(s.solved, func(p *Pose) float64 { return -a.Of(p) }).V
		}
		return found
	}}
}
