package template

import (
	"barover/render/drawing"
	"barover/solver/outline"
	"barover/solver/plane"
)

// same is how near two places are one, and two lengths equal, mm: a tenth of what the finest readout tells apart.
const same = 1e-4

// loop is one closed edge of a profile. Edges that go on in one another are one.
type loop struct {
	edges  []outline.Edge
	hollow bool // material is outside it
}

func newLoop(edges []outline.Edge) loop {
	return loop{edges: outline.Joined(edges), hollow: outline.Hollow(edges)}
}

// circle reports whether the loop is a circle, and which.
func (l loop) circle() (*outline.Edge, bool) {
	if len(l.edges) == 1 && l.edges[0].Whole() {
		return &l.edges[0], true
	}
	return nil, false
}

func (l loop) moved(by plane.Vec) loop {
	out := loop{hollow: l.hollow}
	for i := range l.edges {
		out.edges = append(out.edges, l.edges[i].Shifted(by))
	}
	return out
}

// path is the loop as a closed path, moved.
func (l loop) path(by plane.Vec) drawing.Path {
	if c, ok := l.circle(); ok {
		return drawing.Circle(c.C.Add(by), c.R)
	}
	var p drawing.Path
	for i := range l.edges {
		e := &l.edges[i]
		if i == 0 {
			p.MoveTo(e.A.Add(by))
		}
		follow(&p, e, by)
	}
	p.Close()
	return p
}

// follow draws along an edge, moved.
func follow(p *drawing.Path, e *outline.Edge, by plane.Vec) {
	if e.R == 0 {
		p.LineTo(e.B.Add(by))
	} else {
		p.ArcTo(e.C.Add(by), e.Turn, e.B.Add(by))
	}
}
