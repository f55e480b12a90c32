package template

import (
	"math"

	"barover/solver/plane"
)

// Kind says what is to be set out at a place.
type Kind uint8

// The kinds of what is set out, with what their Size means.
const (
	Hole     Kind = iota // a round hole: diameter
	SlotEnd              // centre of a round end of a slot: width of the slot
	SlotFace             // middle of a straight end of a slot: width of the slot
	SlotArc              // centre of a curved slot: radius of its middle line
	Opening              // a hole of another form, by the middle of the box round it: width, and Other its height
	Round                // an outline that is a circle: diameter
	End                  // a round end: radius
	Hollow               // a round bay in the edge: radius
	Centre               // a named point, no size
	Arc                  // centre of a named arc that points slide round: radius
)

var kinds = [...]struct {
	name    string
	measure Measure
}{Hole: {"hole", Diameter}, SlotEnd: {"slot, round end", Width}, SlotFace: {"slot, square end", Width}, SlotArc: {"slot, centre", Radius},
	Opening: {"opening", Sides}, Round: {"round", Diameter}, End: {"round end", Radius}, Hollow: {"hollow", Radius}, Centre: {"centre", NoMeasure},
	Arc: {"arc centre", Radius}}

func (k Kind) String() string { return kinds[k].name }

// Feature is what is to be set out at a place.
type Feature struct {
	Kind     Kind
	Size     float64 // mm
	Other    float64 // of an Opening, mm
	Profiles []int   // whose it is; none for a named point or arc
	Name     string  // of a named point or arc
}

// Measure says what the Size of a Kind is.
type Measure uint8

// The measures of what is set out.
const (
	NoMeasure Measure = iota
	Diameter
	Radius
	Width
	Sides // width and height
)

// Measure says what the Size of the kind is.
func (k Kind) Measure() Measure { return kinds[k].measure }

// Say says how large it is: "5/16 dia", "1/4 wide"; "" where it has no size. Of puts a length as a drawing has it.
func (f *Feature) Say(of func(mm float64) string) string {
	switch f.Kind.Measure() {
	case Diameter:
		return of(f.Size) + " dia"
	case Radius:
		return of(f.Size) + " radius"
	case Width:
		return of(f.Size) + " wide"
	case Sides:
		return of(f.Size) + " × " + of(f.Other)
	}
	return ""
}

// Cut reports whether it is an opening that is cut: its size is figured on the drawing.
func (f Feature) Cut() bool { return f.Kind <= Opening }

// feature is a Feature with its place.
type feature struct {
	Feature
	at plane.Vec
}

// least is the least turn of an arc that counts as a round end or bay, rad; what turns by less rounds off a corner.
const least = 2 * math.Pi / 3

// features finds what is to be set out on a profile.
func (p *Profile) features(number int) (out []feature) {
	put := func(k Kind, at plane.Vec, size, other float64) {
		out = append(out, feature{Feature{Kind: k, Size: size, Other: other, Profiles: []int{number}}, at})
	}
	for _, l := range p.loops {
		c, round := l.circle()
		switch {
		case round && l.hollow:
			put(Hole, c.C, 2*c.R, 0)
		case round:
			put(Round, c.C, 2*c.R, 0)
		case l.hollow:
			l.opening(put)
		default:
			for _, e := range l.edges {
				if e.R == 0 || math.Abs(e.Turn) < least {
					continue
				}
				kind := End
				if e.Turn < 0 {
					kind = Hollow
				}
				put(kind, e.C, e.R, 0)
			}
		}
	}
	return out
}

// opening tells what a hole that is not round is: a slot, or else some opening.
func (l loop) opening(put func(k Kind, at plane.Vec, size, other float64)) {
	if s, ok := l.slot(); ok {
		put(s.ends[0], s.from, s.wide, 0)
		put(s.ends[1], s.to, s.wide, 0)
		if s.radius > 0 {
			put(SlotArc, s.about, s.radius, 0)
		}
		return
	}
	b := l.path(plane.Vec{}).Bounds()
	w, h := b.Size()
	put(Opening, b.Centre(), w, h)
}
