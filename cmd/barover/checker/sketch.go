// Package checker solves sketches slowly, by means of its own, so that tests can compare the command's answers with it.
//
// It draws a sketch at random and keeps it in two forms: the text that the command reads, and the linkage in numbers that
// the checker solves. Nothing here imports any part of the house, so no mistake of the house is repeated here. Where the
// command proves, the checker searches: it takes a grid over the turn and every travel, and descends from each place that
// may be the least. Some pose attains every value it finds, so a proved bound above such a value is wrong.
//
// Lengths are mm, angles rad, places complex numbers. The checker's own frame is the sketch's frame less Origin, so an
// engine a hundred metres away loses no digits here.
//
// A newcomer may add a family of sketches in a file of its own.
package checker

import (
	"fmt"
	"strconv"
	"strings"
)

// Sketch is one random sketch: its text, and the same engine in numbers.
type Sketch struct {
	Scale   float64    // 1: an engine of about 100 mm
	longest float64    // of the lengths that do not move, mm
	Origin  complex128 // where the checker's frame lies in the sketch's
	Turn    *Axis      // nil: none
	Idle    bool       // the turn moves nothing
	Ends    bool       // the motion ends at the end of Turn, on a dead centre; the turn of the text may go on
	Travels []Axis

	Asks     []Ask
	Measures []Measure

	lines    []string
	points   []point
	start    []complex128
	rows     []row
	parts    []part
	profiles []profile
	headings [][2]int                   // pairs of points whose heading runs on without a jump
	solved   []*field                   // its poses, once it is whole
	known    func(p *Pose) []complex128 // the found points by a theorem, where Newton may not tell the branches apart
}

// Axis is the turn or one travel.
type Axis struct {
	Name     string
	From, To float64
	Rest     float64
	List     []float64 // separate settings; From and To then do not count
	Angle    bool
}

// Ask is one check of a sketch, and Measure one measure.
type Ask struct {
	Kind            string // clear, keep, gap, or meet: a keep of a heading between points that meet at Meets
	Line            int
	A, B            int // profiles of clear and gap
	Sum             Sum // of keep
	Meets           map[string]float64
	AtLeast, AtMost float64
}

// Measure is a named sum.
type Measure struct {
	Name string
	Sum  Sum
}

// A point is given directly by the motion and by earlier points, or it is found: then it has the next coordinates of a
// pose.
type point struct {
	name string
	set  func(p *Pose) complex128
}

// A row is zero where the linkage is assembled, mm. Where sense is given it must be above zero as well: a heading is one
// of two directions.
type row struct {
	miss, sense func(p *Pose) float64
}

// A part's axes have their origin at a place, and u along a direction of length 1.
type part struct {
	name      string
	origin    func(p *Pose) complex128
	direction func(p *Pose) complex128
	play      float64    // sideplay, mm
	text      complex128 // what is added to places of its shapes in the text: the frame's are the sketch's
}

type profile struct {
	name     string
	part     int
	region   *Region
	from, to float64 // across, mm
}

// newSketch is a sketch of nothing but the frame.
func newSketch(scale float64, origin complex128) *Sketch {
	s := &Sketch{Scale: scale, Origin: origin}
	s.parts = []part{{name: "frame", text: origin,
		origin:    func(*Pose) complex128 { return 0 },
		direction: func(*Pose) complex128 { return 1 }}}
	s.say("units mm")
	return s
}

// say adds a statement to the text and returns its line.
func (s *Sketch) say(format string, a ...any) int {
	line := len(s.lines) + 1
	s.lines = append(s.lines, strings.Split(fmt.Sprintf(format, a...), "\n")...)
	return line
}

// Text is the sketch as the command reads it.
func (s *Sketch) Text() string { return strings.Join(s.lines, "\n") + "\n" }

// Size is about the size of the sketch, mm.
func (s *Sketch) Size() float64 { return 100 * s.Scale }

// Tolerance is the allowed error of a least: 0.001 mm or 1e-5 of the greatest length, whichever is less.
func (s *Sketch) Tolerance() float64 { return min(0.001, 1e-5*max(s.Size(), s.longest)) }

// ProfileName is a profile as answers name it.
func (s *Sketch) ProfileName(i int) string {
	return s.parts[s.profiles[i].part].name + "." + s.profiles[i].name
}

// figure writes a number so that reading it gives the same one.
func figure(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// places writes a place in the sketch's frame.
func (s *Sketch) place(z complex128) string { return pair(z + s.Origin) }

func pair(z complex128) string {
	return figure(tidied(real(z))) + ", " + figure(tidied(imag(z)))
}

// tidied removes the rounding error of a sum of decimals: places are multiples of 1e-9 mm.
func tidied(v float64) float64 {
	t, err := strconv.ParseFloat(strconv.FormatFloat(v, 'f', 9, 64), 64)
	if err != nil {
		return v
	}
	return t + 0
}

// across is the space between the bands of two profiles with their sideplay taken off; below zero they overlap.
func (s *Sketch) across(i, j int) float64 {
	x, y := &s.profiles[i], &s.profiles[j]
	return max(x.from-y.to, y.from-x.to) - s.parts[x.part].play - s.parts[y.part].play
}
