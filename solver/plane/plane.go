// Package plane has places, directions and placements in the plane of the side view: mm, x right, y up, anticlockwise
// positive.
//
// There is nothing to change.
package plane

import "math"

// Sign is 1 where up is set, and -1 otherwise.
func Sign(up bool) float64 {
	if up {
		return 1
	}
	return -1
}

// Vec is a place or a direction, mm.
type Vec struct{ X, Y float64 }

// Add returns a + b.
func (a Vec) Add(b Vec) Vec { return Vec{a.X + b.X, a.Y + b.Y} }

// Sub returns a - b.
func (a Vec) Sub(b Vec) Vec { return Vec{a.X - b.X, a.Y - b.Y} }

// Scale returns k·a.
func (a Vec) Scale(k float64) Vec { return Vec{k * a.X, k * a.Y} }

// Dot returns a·b.
func (a Vec) Dot(b Vec) float64 { return a.X*b.X + a.Y*b.Y }

// Cross returns the third component of a × b: positive where b lies anticlockwise of a.
func (a Vec) Cross(b Vec) float64 { return a.X*b.Y - a.Y*b.X }

// Len returns |a|.
func (a Vec) Len() float64 { return math.Hypot(a.X, a.Y) }

// Turned returns a turned a quarter anticlockwise.
func (a Vec) Turned() Vec { return Vec{-a.Y, a.X} }

// Times returns a turned by the direction d and scaled by its length: the product of complex numbers.
func (a Vec) Times(d Vec) Vec { return Vec{a.X*d.X - a.Y*d.Y, a.X*d.Y + a.Y*d.X} }

// Against returns a turned back by the unit direction d.
func (a Vec) Against(d Vec) Vec { return Vec{a.X*d.X + a.Y*d.Y, a.Y*d.X - a.X*d.Y} }

// Unit returns a at length 1; zero stays zero.
func (a Vec) Unit() Vec {
	if l := a.Len(); l > 0 {
		return a.Scale(1 / l)
	}
	return a
}

// Polar returns the direction with that heading, rad, at length 1.
func Polar(heading float64) Vec {
	s, c := math.Sincos(heading)
	return Vec{c, s}
}

// Placement is the place of a part: its origin in the frame and the unit direction of its u axis.
type Placement struct{ Origin, Dir Vec }

// Fixed is the placement of the frame.
var Fixed = Placement{Dir: Vec{X: 1}}

// Out takes a place in the part's axes to the frame.
func (p Placement) Out(a Vec) Vec { return p.Origin.Add(a.Times(p.Dir)) }

// In takes a place in the frame to the part's axes.
func (p Placement) In(a Vec) Vec { return a.Sub(p.Origin).Against(p.Dir) }

// Seen returns the placement q as seen in the axes of p.
func (p Placement) Seen(q Placement) Placement {
	return Placement{p.In(q.Origin), q.Dir.Against(p.Dir)}
}
