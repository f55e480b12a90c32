package drawing

import (
	"iter"
	"math"
	"slices"

	"barover/solver/plane"
)

// Op is what a segment of a path does.
type Op uint8

// The operations of a path.
const (
	MoveTo  Op = iota // begin at To
	LineTo            // straight to To
	ArcTo             // along the circle about Centre, by Sweep, to To
	CloseTo           // back to where this run began
)

// Segment is one piece of a path.
type Segment struct {
	Op     Op
	To     plane.Vec
	Centre plane.Vec
	Sweep  float64 // rad, anticlockwise positive, at most a whole turn
}

// Path is a run of straight lines and true circular arcs; it may have several runs, as an outline with holes has.
type Path []Segment

// MoveTo begins a run.
func (p *Path) MoveTo(v plane.Vec) { *p = append(*p, Segment{Op: MoveTo, To: v}) }

// LineTo draws a straight line.
func (p *Path) LineTo(v plane.Vec) { *p = append(*p, Segment{Op: LineTo, To: v}) }

// ArcTo draws an arc about centre by sweep, rad, that ends at v.
func (p *Path) ArcTo(centre plane.Vec, sweep float64, v plane.Vec) {
	*p = append(*p, Segment{Op: ArcTo, To: v, Centre: centre, Sweep: sweep})
}

// Close goes straight back to the beginning of the run and ends it.
func (p *Path) Close() { *p = append(*p, Segment{Op: CloseTo}) }

// Line returns the straight line from a to b.
func Line(a, b plane.Vec) Path { return Path{{Op: MoveTo, To: a}, {Op: LineTo, To: b}} }

// Polyline returns the straight lines through v.
func Polyline(v []plane.Vec, closed bool) Path {
	var p Path
	for i, q := range v {
		if i == 0 {
			p.MoveTo(q)
		} else {
			p.LineTo(q)
		}
	}
	if closed && len(v) > 0 {
		p.Close()
	}
	return p
}

// Rect returns the rectangle with opposite corners a and b.
func Rect(a, b plane.Vec) Path {
	return Polyline([]plane.Vec{a, {X: b.X, Y: a.Y}, b, {X: a.X, Y: b.Y}}, true)
}

// Circle returns the circle about c of radius r, mm.
func Circle(c plane.Vec, r float64) Path {
	east, west := plane.Vec{X: c.X + r, Y: c.Y}, plane.Vec{X: c.X - r, Y: c.Y}
	return Path{{Op: MoveTo, To: east}, {Op: ArcTo, To: west, Centre: c, Sweep: math.Pi},
		{Op: ArcTo, To: east, Centre: c, Sweep: math.Pi}, {Op: CloseTo}}
}

// Arc returns the arc about c of radius r from the heading from, by sweep, rad.
func Arc(c plane.Vec, r, from, sweep float64) Path {
	return Path{{Op: MoveTo, To: c.Add(plane.Polar(from).Scale(r))},
		{Op: ArcTo, To: c.Add(plane.Polar(from + sweep).Scale(r)), Centre: c, Sweep: sweep}}
}

func (p Path) sound() bool {
	return len(p) > 0 && p[0].Op == MoveTo && !slices.ContainsFunc(p, func(s Segment) bool {
		return !within(s.To) || !within(s.Centre) || !(math.Abs(s.Sweep) <= 2*math.Pi+1e-9)
	})
}

// Placed returns the path at a placement.
func (p Path) Placed(at plane.Placement) Path {
	out := make(Path, len(p))
	for i, s := range p {
		s.To = at.Out(s.To)
		if s.Op == ArcTo {
			s.Centre = at.Out(s.Centre)
		}
		out[i] = s
	}
	return out
}

// Scaled returns the path k times as large.
func (p Path) Scaled(k float64) Path {
	out := make(Path, len(p))
	for i, s := range p {
		s.To, s.Centre = s.To.Scale(k), s.Centre.Scale(k)
		out[i] = s
	}
	return out
}

// Flat returns each run as points on it, arcs by chords that leave the arc by at most tol, mm, and whether each run is
// closed. The first point of a closed run is not repeated.
func (p Path) Flat(tol float64) (runs [][]plane.Vec, closed []bool) {
	var run []plane.Vec
	end := func(shut bool) {
		if n := len(run); shut && n > 1 && run[0].Sub(run[n-1]).Len() <= 1e-9 {
			run = run[:n-1]
		}
		if len(run) > 0 {
			runs, closed = append(runs, run), append(closed, shut)
		}
		run = nil
	}
	for _, s := range p {
		switch s.Op {
		case MoveTo:
			end(false)
			run = []plane.Vec{s.To}
		case LineTo:
			run = append(run, s.To)
		case ArcTo:
			if len(run) > 0 {
				run = append(run, s.chords(run[len(run)-1], tol)...)
			}
		case CloseTo:
			end(true)
		}
	}
	end(false)
	return runs, closed
}

// chords returns points on the arc after its start, the last of them To.
func (s Segment) chords(from plane.Vec, tol float64) []plane.Vec {
	arm := from.Sub(s.Centre)
	n := Chords(arm.Len(), s.Sweep, tol)
	out := make([]plane.Vec, 0, n)
	for i := 1; i < n; i++ {
		out = append(out, s.Centre.Add(arm.Times(plane.Polar(s.Sweep*float64(i)/float64(n)))))
	}
	return append(out, s.To)
}

// Chords says how many chords stand for an arc of radius r, mm, and that sweep, rad, if none may leave it by more than
// tol, mm: a chord over the angle a leaves it by r(1 − cos a/2). At least one an eighth of a turn, at most 720.
func Chords(r, sweep, tol float64) int {
	step := math.Pi / 4
	if c := 1 - tol/r; r > 0 && c > -1 && c < 1 {
		step = min(step, 2*math.Acos(c))
	}
	n := math.Ceil(math.Abs(sweep)/step - 1e-9)
	return int(max(1, min(720, n)))
}

// Split gives the segments of the path with every arc cut into equal arcs of at most most rad: a Bézier curve stands for a short
// arc far better than for a long one.
func (p Path) Split(most float64) iter.Seq[Segment] {
	return func(yield func(Segment) bool) {
		var at plane.Vec
		for _, s := range p {
			if s.Op == ArcTo {
				n := int(max(1, min(720, math.Ceil(math.Abs(s.Sweep)/most-1e-9))))
				arm, whole := at.Sub(s.Centre), s
				s.Sweep /= float64(n)
				for i := 1; i < n; i++ {
					s.To = s.Centre.Add(arm.Times(plane.Polar(whole.Sweep * float64(i) / float64(n))))
					if !yield(s) {
						return
					}
				}
				s.To = whole.To
			}
			if !yield(s) {
				return
			}
			if s.Op != CloseTo {
				at = s.To
			}
		}
	}
}

// Box is a rectangle with sides along x and y, mm. The zero Box is at the origin; use NoBox to begin.
type Box struct{ Min, Max plane.Vec }

// NoBox holds nothing.
func NoBox() Box {
	return Box{plane.Vec{X: math.Inf(1), Y: math.Inf(1)}, plane.Vec{X: math.Inf(-1), Y: math.Inf(-1)}}
}

// Empty reports whether the box holds nothing.
func (b Box) Empty() bool { return !(b.Min.X <= b.Max.X && b.Min.Y <= b.Max.Y) }

// With returns the box widened to take in v.
func (b Box) With(v plane.Vec) Box {
	return Box{plane.Vec{X: min(b.Min.X, v.X), Y: min(b.Min.Y, v.Y)}, plane.Vec{X: max(b.Max.X, v.X), Y: max(b.Max.Y, v.Y)}}
}

// Join returns the least box that takes in both.
func (b Box) Join(c Box) Box {
	if c.Empty() {
		return b
	}
	return b.With(c.Min).With(c.Max)
}

// Common returns the intersection of two boxes, mm. It is empty where they do not overlap.
func (b Box) Common(c Box) Box {
	return Box{plane.Vec{X: max(b.Min.X, c.Min.X), Y: max(b.Min.Y, c.Min.Y)}, plane.Vec{X: min(b.Max.X, c.Max.X), Y: min(b.Max.Y, c.Max.Y)}}
}

// Grown returns the box with d, mm, added on every side.
func (b Box) Grown(d float64) Box {
	return Box{plane.Vec{X: b.Min.X - d, Y: b.Min.Y - d}, plane.Vec{X: b.Max.X + d, Y: b.Max.Y + d}}
}

// Meets reports whether the two boxes overlap.
func (b Box) Meets(c Box) bool {
	return b.Min.X < c.Max.X && c.Min.X < b.Max.X && b.Min.Y < c.Max.Y && c.Min.Y < b.Max.Y
}

// Holds reports whether v lies in the box.
func (b Box) Holds(v plane.Vec) bool {
	return v.X >= b.Min.X && v.X <= b.Max.X && v.Y >= b.Min.Y && v.Y <= b.Max.Y
}

// Size returns the width and the height.
func (b Box) Size() (w, h float64) { return b.Max.X - b.Min.X, b.Max.Y - b.Min.Y }

// Centre returns the middle.
func (b Box) Centre() plane.Vec { return b.Min.Add(b.Max).Scale(0.5) }

// Bounds returns the box round the path, arcs taken at their true extent.
func (p Path) Bounds() Box { return p.BoundsAt(plane.Fixed) }

// BoundsAt returns the box round the path as it stands at a placement.
func (p Path) BoundsAt(at plane.Placement) Box {
	b := NoBox()
	var last plane.Vec
	for _, s := range p {
		if s.Op == CloseTo {
			continue
		}
		s.To = at.Out(s.To)
		b = b.With(s.To)
		if s.Op == ArcTo {
			s.Centre = at.Out(s.Centre)
			b = b.arc(last, s)
		}
		last = s.To
	}
	return b
}

// quarters are the headings of the quarter points of a circle.
var quarters = [4]plane.Vec{{X: 1}, {Y: 1}, {X: -1}, {Y: -1}}

// arc takes in the four quarter points of the circle that lie on the arc.
func (b Box) arc(from plane.Vec, s Segment) Box {
	arm := from.Sub(s.Centre)
	r, a := arm.Len(), math.Atan2(arm.Y, arm.X)
	for k, u := range quarters {
		q := s.Centre.Add(u.Scale(r))
		if b.Holds(q) {
			continue
		}
		on := math.Mod(float64(k)*math.Pi/2-a+4*math.Pi, 2*math.Pi)
		if s.Sweep < 0 {
			on = math.Mod(a-float64(k)*math.Pi/2+4*math.Pi, 2*math.Pi)
		}
		if on <= math.Abs(s.Sweep) {
			b = b.With(q)
		}
	}
	return b
}
