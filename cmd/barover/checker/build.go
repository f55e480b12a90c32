package checker

import (
	"fmt"
	"math"
	"math/cmplx"
	"strconv"
	"strings"
)

// Every function here adds one statement to the text and the same to the linkage in numbers.

// turn gives the sketch its turn, in degrees.
func (s *Sketch) turn(from, to, step float64) Sum {
	s.say("turn crank = %s to %s step %s", figure(from), figure(to), figure(step))
	s.Turn = &Axis{Name: "crank", From: from * math.Pi / 180, To: to * math.Pi / 180, Angle: true}
	return s.turning()
}

// swing adds a range of an angle, in degrees.
func (s *Sketch) swing(name string, from, to, step, rest float64) Sum {
	s.say("travel %s = %sdeg to %sdeg step %sdeg rest %sdeg", name, figure(from), figure(to), figure(step), figure(rest))
	rad := math.Pi / 180
	s.Travels = append(s.Travels, Axis{Name: name, From: from * rad, To: to * rad, Rest: rest * rad, Angle: true})
	return s.travelling(len(s.Travels) - 1)
}

// rise adds a travel that is a range of a length, from to to in mm, at rest at 0. The range must contain 0.
func (s *Sketch) rise(name string, from, to, step float64) Sum {
	s.say("travel %s = %smm to %smm step %smm rest 0mm", name, figure(from), figure(to), figure(step))
	s.Travels = append(s.Travels, Axis{Name: name, From: from, To: to})
	return s.travelling(len(s.Travels) - 1)
}

// notches adds a list of lengths.
func (s *Sketch) notches(name string, list ...float64) Sum {
	var words []string
	for _, v := range list {
		words = append(words, figure(v)+"mm")
	}
	s.say("travel %s = %s rest %s", name, strings.Join(words, ", "), words[0])
	s.Travels = append(s.Travels, Axis{Name: name, List: list, Rest: list[0]})
	return s.travelling(len(s.Travels) - 1)
}

// at adds a point in the frame.
func (s *Sketch) at(name string, z complex128) int {
	s.say("point %s at %s", name, s.place(z))
	return s.driven(name, func(*Pose) complex128 { return z })
}

// lifted adds a point in the frame that a sum lifts.
func (s *Sketch) lifted(name string, z complex128, by Sum) int {
	at := z + s.Origin
	s.say("point %s at %s, %s + %s", name, figure(tidied(real(at))), figure(tidied(imag(at))), by.Text)
	return s.driven(name, func(p *Pose) complex128 { return z + complex(0, by.Of(p)) })
}

// on adds a point fixed to a part.
func (s *Sketch) on(name string, k int, z complex128) int {
	s.say("point %s on %s at %s", name, s.parts[k].name, pair(z))
	return s.driven(name, func(p *Pose) complex128 { return s.parts[k].origin(p) + z*s.parts[k].direction(p) })
}

func (s *Sketch) driven(name string, set func(p *Pose) complex128) int {
	s.points = append(s.points, point{name, set})
	return len(s.points) - 1
}

// find adds a point that must be found, and is at z at the start. The text says a place that is off from there, mm.
func (s *Sketch) find(name string, z complex128, off float64) int {
	s.say("point %s near %s", name, s.place(z+complex(off, -off)))
	s.start = append(s.start, z)
	s.points = append(s.points, point{name: name})
	return len(s.points) - 1
}

// length holds two points at a distance.
func (s *Sketch) length(i, j int, v Sum) {
	if long, err := strconv.ParseFloat(v.Text, 64); err == nil {
		s.longest = max(s.longest, long)
	}
	s.say("length %s %s = %s", s.points[i].name, s.points[j].name, v.Text)
	s.rows = append(s.rows, row{miss: func(p *Pose) float64 { return modulus(p.Points[j]-p.Points[i]) - v.Of(p) }})
}

// angle holds the heading of one point seen from another.
func (s *Sketch) angle(i, j int, v Sum) {
	s.say("angle %s %s = %s", s.points[i].name, s.points[j].name, v.Text)
	along := v.direction()
	s.rows = append(s.rows, row{
		miss:  func(p *Pose) float64 { return cross(along(p), p.Points[j]-p.Points[i]) },
		sense: func(p *Pose) float64 { return dot(along(p), p.Points[j]-p.Points[i]) },
	})
}

// arm adds a point at a distance and a heading from another.
func (s *Sketch) arm(name string, from int, long float64, v Sum, start float64) int {
	at := s.startOf(from) + cmplx.Rect(long, start)
	j := s.find(name, at, 0.01*long)
	s.length(from, j, constant(long))
	s.angle(from, j, v)
	return j
}

// startOf is where a point that is given is at the start; a found point is where it was placed.
func (s *Sketch) startOf(i int) complex128 {
	return s.placed().Points[i]
}

// A way is a line without end.
type way struct {
	name    string
	through func(p *Pose) complex128
	along   func(p *Pose) complex128
}

// line adds a line through a point at a heading in degrees.
func (s *Sketch) line(name string, through int, heading Sum) way {
	s.say("line %s through %s heading %s", name, s.points[through].name, heading.Text)
	return way{name, func(p *Pose) complex128 { return p.Points[through] }, heading.direction()}
}

// lineFrom adds a line through two points.
func (s *Sketch) lineFrom(name string, i, j int) way {
	s.say("line %s from %s to %s", name, s.points[i].name, s.points[j].name)
	return way{name, func(p *Pose) complex128 { return p.Points[i] }, func(p *Pose) complex128 { return unit(p.Points[j] - p.Points[i]) }}
}

// slide holds a point to a line.
func (s *Sketch) slide(i int, w way) {
	s.say("slide %s on %s", s.points[i].name, w.name)
	s.rows = append(s.rows, row{miss: func(p *Pose) float64 { return cross(w.along(p), p.Points[i]-w.through(p)) }})
}

// link adds the part from one point to another.
func (s *Sketch) link(name string, i, j int) int {
	s.say("part %s from %s to %s", name, s.points[i].name, s.points[j].name)
	s.parts = append(s.parts, part{name: name, origin: func(p *Pose) complex128 { return p.Points[i] },
		direction: func(p *Pose) complex128 { return unit(p.Points[j] - p.Points[i]) }})
	return len(s.parts) - 1
}

// runner adds the part at a point that keeps a line's heading.
func (s *Sketch) runner(name string, i int, w way) int {
	s.say("part %s at %s along %s", name, s.points[i].name, w.name)
	s.parts = append(s.parts, part{name: name, origin: func(p *Pose) complex128 { return p.Points[i] }, direction: w.along})
	return len(s.parts) - 1
}

// profile adds the outline of a thickness across from one place to another.
func (s *Sketch) profile(k int, name string, from, to float64, shapes ...shape) int {
	text := fmt.Sprintf("profile %s.%s across %s to %s", s.parts[k].name, name, figure(from), figure(to))
	for i := range shapes {
		text += "\n   " + shapes[i].text(s.parts[k].text)
	}
	s.say("%s", text)
	s.profiles = append(s.profiles, profile{name: name, part: k, region: newRegion(shapes...), from: from, to: to})
	return len(s.profiles) - 1
}

// clear asks for a distance between two profiles.
func (s *Sketch) clear(i, j int, by float64) {
	n := s.say("clear %s %s by %s", s.ProfileName(i), s.ProfileName(j), figure(by))
	s.Asks = append(s.Asks, Ask{Kind: "clear", Line: n, A: i, B: j, AtLeast: by, AtMost: math.NaN()})
}

// sideplay lets a part shift across by ±v.
func (s *Sketch) sideplay(k int, v float64) {
	s.say("sideplay %s = %s", s.parts[k].name, figure(v))
	s.parts[k].play = v
}

// gap asks for a space across between two profiles.
func (s *Sketch) gap(i, j int, least float64) {
	n := s.say("gap %s %s at least %s", s.ProfileName(i), s.ProfileName(j), figure(least))
	s.Asks = append(s.Asks, Ask{Kind: "gap", Line: n, A: i, B: j, AtLeast: least, AtMost: math.NaN()})
}

// keep asks that a sum stays within limits, given in the unit of the text: mm, degrees or bare.
func (s *Sketch) keep(v Sum, above, below float64) {
	n := s.say("keep %s above %s below %s", v.Text, figure(above), figure(below))
	s.Asks = append(s.Asks, Ask{Kind: "keep", Line: n, Sum: v, AtLeast: above * v.Kind.unit(), AtMost: below * v.Kind.unit()})
}

// measure names a sum.
func (s *Sketch) measure(v Sum) {
	name := fmt.Sprintf("m%d", len(s.Measures))
	s.say("measure %s = %s", name, v.Text)
	s.Measures = append(s.Measures, Measure{name, v})
}

// unit is what one of the text's unit is in the checker's.
func (k Kind) unit() float64 {
	if k == Angle {
		return math.Pi / 180
	}
	return 1
}

func unit(z complex128) complex128 { return z / complex(modulus(z), 0) }
