package clearance

import (
	"math"

	"barover/solver/outline"
	"barover/solver/plane"
)

// Body is an outline on a part.
type Body struct {
	Region *outline.Region
	Part   int
}

// solid is a convex piece of an outline, prepared for bounding.
type solid struct {
	*outline.Piece
	corners []plane.Vec
	arcs    []arc
	sides   []plane.Vec // outward unit normals of the straight edges
	sector  sector
}

// arc is an arc of a piece: in the directions that it faces, nothing of the piece reaches beyond its disc.
type arc struct {
	c        plane.Vec
	r        float64
	mid      plane.Vec // unit direction of its middle
	cos, sin float64   // of half its sweep
}

func newSolid(p *outline.Piece) solid {
	s := solid{Piece: p}
	for i := range p.Loop {
		e := &p.Loop[i]
		if !(len(p.Loop) == 1 && e.A == e.B) {
			s.corners = append(s.corners, e.A)
		}
		if e.R == 0 {
			s.sides = append(s.sides, e.Normal(e.A))
			continue
		}
		half := math.Abs(e.Turn) / 2
		a := arc{c: e.C, r: e.R, mid: e.A.Sub(e.C).Unit().Times(plane.Polar(e.Turn / 2)), cos: math.Cos(half), sin: math.Sin(half)}
		if half > math.Pi-1e-6 {
			a.cos, a.sin = -2, 0
		}
		s.arcs = append(s.arcs, a)
	}
	return s
}

func solidsOf(r *outline.Region, origin plane.Vec) []solid {
	s := make([]solid, len(r.Pieces))
	for i := range r.Pieces {
		p := &r.Pieces[i]
		if origin != (plane.Vec{}) {
			moved := p.Shifted(origin.Scale(-1))
			p = &moved
		}
		s[i] = newSolid(p)
		s[i].sector = sector{root: i, from: -math.Pi, to: math.Pi}
	}
	return s
}

// lean is how far, as a cosine, a direction may be outside an arc before the arc is left out. The corners at its ends
// reach further then. It is far above rounding, and it costs its square.
const lean = 1e-7

// reach is an upper bound of how far a solid, with its bite filled, reaches in a unit direction from the origin of its
// axes.
func (s *solid) reach(n plane.Vec) float64 {
	most := math.Inf(-1)
	for _, p := range s.corners {
		most = math.Max(most, n.Dot(p))
	}
	for i := range s.arcs {
		a := &s.arcs[i]
		if n.Dot(a.mid) >= a.cos-lean {
			most = math.Max(most, n.Dot(a.c)+a.r)
		}
	}
	return most + slip*(math.Abs(most)+s.Radius)
}

// slip is what the few floats of a bound may lose, as a share of their size.
const slip = 0x1p-48

// faces reports whether a direction that strays from n by at most the angle off may fall within the arc.
func (a *arc) faces(n plane.Vec, off float64) bool {
	if a.cos <= -1 || off >= 1 {
		return true
	}
	c := a.cos
	if c > 0 {
		c *= 1 - off*off/2
	}
	return n.Dot(a.mid) >= c-a.sin*off-lean
}
