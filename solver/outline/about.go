package outline

import "barover/solver/plane"

// About is the position of an outline relative to a place, for a part that turns about that place.
type About struct {
	Edge     float64 // from the place to the nearest place of the boundary, mm
	Farthest float64 // from the place to the farthest of the outline, mm
	Material bool    // the place is material. On the boundary, to rounding, it may be either
	Within   bool    // the place would be material if every hole were filled
}

// About measures the outline relative to the place p, in the part's axes.
func (r *Region) About(p plane.Vec) About {
	a := About{Material: r.Contains(p), Farthest: farthest(r.edges, p)}
	a.Within = a.Material || r.withoutHoles().Contains(p)
	for i := range r.edges {
		e := &r.edges[i]
		if l := p.Sub(e.nearest(p)).Len(); i == 0 || l < a.Edge {
			a.Edge = l
		}
	}
	return a
}

// withoutHoles is the outline by its outer loops alone, which is enough to tell what is within.
func (r *Region) withoutHoles() *Region {
	f := &Region{Centre: r.Centre, Radius: r.Radius}
	for _, l := range r.Loops {
		if area(l) > 0 {
			f.Loops = append(f.Loops, l)
		}
	}
	f.index()
	return f
}
