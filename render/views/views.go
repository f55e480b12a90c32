// Package views projects an engine beside its elevation. A profile is a prism, so each view of it is a rectangle: from
// its least to its greatest place along the view, by its band. Where bands and ends hide an edge, that is found exactly;
// between them it is found by bisection.
//
// It knows no paper, no checks and no names. A newcomer may change what an edge is; the test compares extents and hidden
// edges with a projection of its own.
package views

import (
	"math"
	"slices"

	"barover/render/drawing"
	"barover/solver/plane"
)

// View is one of the two views. In it u runs along the elevation and z across the engine, from the datum outward.
type View struct {
	Name  string
	Along func(v plane.Vec) float64 // u of a place of the elevation
	Depth func(v plane.Vec) float64 // how near a place is to whoever looks, the nearer the larger
}

// The two views of first-angle projection beside the elevation.
var (
	Plan = View{"plan", func(v plane.Vec) float64 { return v.X }, func(v plane.Vec) float64 { return v.Y }}
	End  = View{"view from the left", func(v plane.Vec) float64 { return v.Y }, func(v plane.Vec) float64 { return -v.X }}
)

// Prism is a profile in a view: a rectangle, and how near its upper edge is along it.
type Prism struct {
	Body     int        // whose it is, by the caller's numbers
	From, To float64    // along u
	Band     [2]float64 // across, the lower first
	Swept    [2]float64 // along u over the turn; the first above the second where it is not known
	edges    []edge     // of its outline, arcs by chords
	shelves  [][]edge   // the same, by where they are along u
	reach    [2]float64 // of the edges along u: chords fall short of an arc by a little
}

// Flush is by how much a place must be nearer to hide another, mm: what lies flush hides nothing.
const Flush = 1e-6

// New is the prism of an outline, by its path in the frame, mm, and its band. Its arcs are taken by chords that leave them by no
// more than tol, mm.
func New(d View, body int, path drawing.Path, band [2]float64, tol float64) Prism {
	p := Prism{Body: body, Band: [2]float64{min(band[0], band[1]), max(band[0], band[1])}, reach: nowhere, Swept: nowhere}
	p.From, p.To = d.fromTo(path.Bounds())
	runs, _ := path.Flat(tol)
	for _, run := range runs {
		for k, q := range run {
			o := run[(k+len(run)-1)%len(run)]
			p.edges = append(p.edges, edge{d.Along(o), d.Along(q), d.Depth(o), d.Depth(q)})
			p.reach = [2]float64{min(p.reach[0], d.Along(q)), max(p.reach[1], d.Along(q))}
		}
	}
	p.shelve()
	return p
}

// edge is a straight piece of an outline in a view: along u from a to b, and how near it is there.
type edge struct{ a, b, near, nearB float64 }

// shelve puts the edges on shelves of equal width along u, each on all that it reaches, so that few are examined for one place.
func (p *Prism) shelve() {
	p.shelves = make([][]edge, len(p.edges)/4+1)
	for _, e := range p.edges {
		for i := p.shelf(min(e.a, e.b)); i <= p.shelf(max(e.a, e.b)); i++ {
			p.shelves[i] = append(p.shelves[i], e)
		}
	}
}

// shelf is the shelf of a place along u.
func (p *Prism) shelf(u float64) int {
	n := len(p.shelves)
	if !(p.reach[1] > p.reach[0]) || !(u >= p.reach[0]) {
		return 0
	}
	return int(max(0, min(float64(n-1), float64(n)*(u-p.reach[0])/(p.reach[1]-p.reach[0]))))
}

var nowhere = [2]float64{math.Inf(1), math.Inf(-1)}

// Sweep takes in where the outline stands at another position: the box round it there.
func (p *Prism) Sweep(d View, box drawing.Box) {
	from, to := d.fromTo(box)
	p.Swept = [2]float64{min(p.Swept[0], from), max(p.Swept[1], to)}
}

// Sweeps reports whether it sweeps over more than it covers.
func (p *Prism) Sweeps() bool { return p.Swept[0] < p.From-Flush || p.Swept[1] > p.To+Flush }

// fromTo is from where to where a box reaches along a view.
func (d View) fromTo(b drawing.Box) (from, to float64) {
	p, q := d.Along(b.Min), d.Along(b.Max)
	return min(p, q), max(p, q)
}

// nearest is how near the prism comes to whoever looks at the place u, which lies within it.
func (p *Prism) nearest(u float64) float64 {
	best := math.Inf(-1)
	u = min(max(u, p.reach[0]), p.reach[1])
	for _, e := range p.shelves[p.shelf(u)] {
		switch {
		case min(e.a, e.b) > u || max(e.a, e.b) < u:
		case e.a == e.b:
			best = max(best, e.near, e.nearB)
		default:
			best = max(best, e.near+(e.nearB-e.near)*(u-e.a)/(e.b-e.a))
		}
	}
	return best
}

// hides reports whether another prism stands before a place of an edge: its band goes over the place, and it is nearer there.
func (p *Prism) hides(u, z, depth float64) bool {
	return p.Band[0]+Flush < z && z < p.Band[1]-Flush && p.From+Flush < u && u < p.To-Flush &&
		p.nearest(u) > depth+Flush
}

// Stretch is a piece of an edge in a view, u and z, and whether something hides it.
type Stretch struct {
	A, B   plane.Vec
	Hidden bool
}

// looksAlong is how many places of an edge are sampled; where two neighbours differ the change is searched for between them.
const looksAlong = 48

// Outline is the four edges of a prism in pieces, each seen or hidden all along.
func (p *Prism) Outline(all []Prism) (list []Stretch) {
	for _, z := range p.Band {
		before := p.others(all, func(o *Prism) bool { return o.Band[0]+Flush < z && z < o.Band[1]-Flush })
		list = append(list, pieces(plane.Vec{X: p.From, Y: z}, plane.Vec{X: p.To, Y: z}, p.breaks(before), func(v plane.Vec) bool {
			return hiddenBy(before, v, p.nearest(v.X))
		})...)
	}
	for _, u := range []float64{p.From, p.To} {
		depth := p.nearest(u)
		before := p.others(all, func(o *Prism) bool { return o.From+Flush < u && u < o.To-Flush })
		list = append(list, pieces(plane.Vec{X: u, Y: p.Band[0]}, plane.Vec{X: u, Y: p.Band[1]}, bandEnds(before), func(v plane.Vec) bool {
			return hiddenBy(before, v, depth)
		})...)
	}
	return list
}

// others lists the prisms but this one that may hide something of an edge.
func (p *Prism) others(all []Prism, may func(o *Prism) bool) (list []*Prism) {
	for i := range all {
		if o := &all[i]; o != p && may(o) {
			list = append(list, o)
		}
	}
	return list
}

func hiddenBy(before []*Prism, v plane.Vec, depth float64) bool {
	return slices.ContainsFunc(before, func(o *Prism) bool { return o.hides(v.X, v.Y, depth) })
}

// breaks are the places along u at which what hides an edge may begin or end at once.
func (p *Prism) breaks(before []*Prism) (u []float64) {
	for _, o := range before {
		u = append(u, o.From, o.To)
	}
	if len(before) == 0 {
		return nil
	}
	for i := range looksAlong {
		u = append(u, p.From+(p.To-p.From)*float64(i)/looksAlong)
	}
	return u
}

func bandEnds(before []*Prism) (z []float64) {
	for _, o := range before {
		z = append(z, o.Band[0], o.Band[1])
	}
	return z
}

// pieces cuts the line from a to b, along one axis, where what is asked about its places changes: at the breaks, and between two
// of them where it differs at their middles.
func pieces(a, b plane.Vec, breaks []float64, hidden func(v plane.Vec) bool) (list []Stretch) {
	span := b.Sub(a)
	length := span.X + span.Y
	at := func(t float64) plane.Vec { return a.Add(span.Scale(t)) }
	cuts := []float64{0, 1}
	for _, v := range breaks {
		t := (v - a.X) / length
		if span.X == 0 {
			t = (v - a.Y) / length
		}
		if t > 0 && t < 1 {
			cuts = append(cuts, t)
		}
	}
	slices.Sort(cuts)
	add := func(from, to float64, is bool) {
		if n := len(list); n > 0 && list[n-1].Hidden == is {
			list[n-1].B = at(to)
			return
		}
		list = append(list, Stretch{at(from), at(to), is})
	}
	inside := 4 * Flush / math.Abs(length) // just within a piece: at its ends two things begin and end at once
	for i := 1; i < len(cuts); i++ {
		lo, hi := cuts[i-1], cuts[i]
		if hi-lo < 4*inside {
			continue
		}
		first, last := hidden(at(lo+inside)), hidden(at(hi-inside))
		if first == last {
			add(lo, hi, first)
			continue
		}
		l, h := lo+inside, hi-inside
		for range 40 {
			if m := (l + h) / 2; hidden(at(m)) == first {
				l = m
			} else {
				h = m
			}
		}
		add(lo, l, first)
		add(l, hi, last)
	}
	return list
}
