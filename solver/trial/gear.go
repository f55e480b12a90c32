package trial

import (
	"math"

	"barover/solver/outline"
)

// Body is an outline on a part.
type Body struct {
	Name   string
	Part   int
	Region *outline.Region
	Shapes []outline.Shape
}

// Gear is a radial valve gear of about twenty unknowns, with its axle at the height of travel 0 and the die block at the
// place s, mm. It has a crank of 22 and a rod of 133.35, an eccentric of 10 whose rod rocks a link on a trunnion, and a
// lever that adds the crosshead's motion to the link's. Gear returns the sketch and fourteen outlines on its parts.
func Gear(s float64) (*Sketch, []Body, error) { return gear(New(1), s) }

// GearSized is Gear with every number a dimension.
func GearSized(s float64) (*Sketch, []Body, error) {
	k := New(1)
	k.Sized = true
	return gear(k, s)
}

func gear(k *Sketch, s float64) (*Sketch, []Body, error) {
	o := k.Driven(k.Num(0), k.Graph.Travel(0))
	trunnion := k.Fixed(75, 36)
	crankpin := k.Found(22, 0)
	k.Length(o, crankpin, k.Num(22))
	k.Heading(o, crankpin, k.Graph.Turn())
	crank := k.Part(o, crankpin)
	crosspin := k.Found(155.35, 0)
	bore := k.Line(k.Fixed(0, 0), k.Num(0))
	k.Length(crankpin, crosspin, k.Num(133.35))
	k.Slide(crosspin, bore)
	rod, head := k.Part(crankpin, crosspin), k.Along(crosspin, bore)

	ecc, foot := k.On(crank, 0, 10), k.Found(75, 6)
	k.Length(trunnion, foot, k.Num(30))
	k.Length(foot, ecc, k.Num(75.25))
	eccRod, link := k.Part(ecc, foot), k.Part(trunnion, foot)
	a := s / 85
	die := k.On(link, -85*math.Sin(a), 85*(1-math.Cos(a)))

	arm := k.On(head, 5, -10)
	valve, low := k.Found(158, 43), k.Found(181, -3)
	chest := k.Line(k.Fixed(0, 43), k.Num(0))
	k.Slide(valve, chest)
	k.Length(low, valve, k.Num(51))
	k.Length(low, arm, k.Num(22))
	lever, union := k.Part(valve, low), k.Part(low, arm)
	pick := k.On(lever, 7, 0)
	k.Length(pick, die, k.Num(85))
	radius, spindle := k.Part(pick, die), k.Along(valve, chest)
	bodies, err := k.gearBodies([]int{crank, rod, head, eccRod, link, lever, union, radius, spindle})
	return k, bodies, err
}

func (s *Sketch) gearBodies(part []int) (bodies []Body, err error) {
	add := func(name string, part int, shapes ...outline.Shape) {
		r, e := s.Region(shapes...)
		if e != nil {
			err = e
		}
		bodies = append(bodies, Body{name, part, r, shapes})
	}
	add("crank", part[0], s.Strip(-8, 0, 22, 0, 16, 12, true))
	add("rod", part[1], s.Strip(0, 0, 133.35, 0, 13, 9, true))
	add("crosshead", part[2], s.Box(-12, -7, 12, 7))
	add("eccentric rod", part[3], s.Strip(0, 0, 75.25, 0, 8, 6, true))
	add("link", part[4], s.Strip(-24, 0, 30, 0, 9, 9, true))
	add("lever", part[5], s.Strip(0, 0, 51, 0, 7, 6, true))
	add("union", part[6], s.Strip(0, 0, 22, 0, 6, 6, true))
	add("radius rod", part[7], s.Strip(0, 0, 85, 0, 7, 7, true))
	add("spindle", part[8], s.Box(-6, -3, 45, 3))
	add("piston", part[2], s.Box(34, -12, 42, 12))
	add("upper bar", 0, s.Box(112, 8, 196, 13))
	add("lower bar", 0, s.Box(112, -13, 196, -8))
	add("bracket", 0, s.Strip(60, 50, 75, 36, 10, 14, true))
	add("rivet", 0, s.Disc(100, -22, 5))
	return bodies, err
}

// Pairs lists pairs of bodies on different parts, at most n of them.
func Pairs(bodies []Body, n int) (pairs [][2]int) {
	for i := range bodies {
		for j := range i {
			if bodies[i].Part != bodies[j].Part && len(pairs) < n {
				pairs = append(pairs, [2]int{j, i})
			}
		}
	}
	return pairs
}
