package checker

import (
	"fmt"
	"math"

	"github.com/peterstace/simplefeatures/geom"
)

// Number of chords for half a turn of an arc in the library: for distances, and for depths, where every corner of the one
// outline is combined with every corner of the other. Where a hole cuts an arc at a small angle the corner is off by more than a
// chord is: of a distance in doubt there are more.
const (
	chords     = 360
	manyChords = 4 * chords
	fewChords  = 40
)

// missed is how far the flattened outline of a region may be from the true one: twice the height of an arc over its
// chord.
func (r *Region) missed(chords float64) float64 {
	most := 0.0
	for i := range r.edges {
		most = math.Max(most, r.edges[i].r)
	}
	return most * math.Pow(math.Pi/chords, 2) / 4
}

// flat is a loop as places, with so many chords to half a turn.
func flat(loop []edge, chords float64) (out []complex128) {
	for i := range loop {
		n := 1
		if loop[i].r > 0 {
			n = int(math.Ceil(math.Abs(loop[i].sweep) / math.Pi * chords))
		}
		for k := range n {
			out = append(out, loop[i].at(float64(k)/float64(n)))
		}
	}
	return out
}

// flattened is a loop as a polygon of the library, placed by o + d·z.
func flattened(loop []edge, o, d complex128, chords float64) geom.Geometry {
	var xy []float64
	for _, z := range flat(loop, chords) {
		q := o + d*z
		xy = append(xy, real(q), imag(q))
	}
	xy = append(xy, xy[0], xy[1])
	return geom.NewPolygon([]geom.LineString{geom.NewLineString(geom.NewSequence(xy, geom.DimXY))}).AsGeometry()
}

// inLibrary makes the region with the library's own joining and cutting.
func (r *Region) inLibrary(o, d complex128, chords float64) (all geom.Geometry, err error) {
	for i := range r.shapes {
		one := flattened(r.shapes[i].loop, o, d, chords)
		switch {
		case r.shapes[i].hole:
			all, err = geom.Difference(all, one)
		case i == 0:
			all = one
		default:
			all, err = geom.Union(all, one)
		}
		if err != nil {
			return all, err
		}
	}
	return all, nil
}

// Doubt says how the distance of two profiles at a pose by the checker's own formulas differs from that of a
// general-purpose geometry library (github.com/peterstace/simplefeatures) on flattened outlines; "" if it does not.
func (s *Sketch) Doubt(p *Pose, i, j int) string {
	doubt := s.doubtWith(p, i, j, chords)
	if doubt != "" {
		doubt = s.doubtWith(p, i, j, manyChords)
	}
	return doubt
}

// doubtWith is Doubt with so many chords. The two may differ by what the outlines of fewer are off.
func (s *Sketch) doubtWith(p *Pose, i, j int, n float64) string {
	a, b := &s.profiles[i], &s.profiles[j]
	o, d := s.parts[b.part].relative(&s.parts[a.part], p)
	own := s.signed(p, i, j)
	may := a.region.missed(chords) + b.region.missed(chords) + 1e-9*s.Size()
	x, err1 := a.region.inLibrary(0, 1, n)
	y, err2 := b.region.inLibrary(o, d, n)
	if err1 != nil || err2 != nil {
		return ""
	}
	theirs, ok := geom.Distance(x, y)
	if own.D <= 0 && own.Depth {
		theirs, ok = -depthInLibrary(&a.region.shapes[0], &b.region.shapes[0], o, d), true
		may = a.region.missed(fewChords) + b.region.missed(fewChords) + 1e-9*s.Size()
	}
	if !own.Depth {
		own.D = 0 // they overlap, and the library says no more
	}
	if !ok || math.Abs(theirs-own.D) <= may {
		return ""
	}
	return fmt.Sprintf("the library finds %g, the checker itself %g", theirs, own.D)
}

// depthInLibrary is the shortest shift that parts two convex outlines: the distance of zero from the border of the hull of
// all differences, as the library finds it.
func depthInLibrary(a, b *shape, o, d complex128) float64 {
	var all []geom.Point
	for _, z := range flat(b.loop, fewChords) {
		for _, w := range flat(a.loop, fewChords) {
			q := o + d*z - w
			all = append(all, geom.XY{X: real(q), Y: imag(q)}.AsPoint())
		}
	}
	hull := geom.NewMultiPoint(all).ConvexHull()
	depth, ok := geom.Distance(hull.Boundary(), geom.XY{}.AsPoint().AsGeometry())
	if !ok {
		return math.NaN()
	}
	return depth
}
