package outline

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/peterstace/simplefeatures/geom"

	"barover/solver/plane"
)

// chordError is how far a polygon of the comparison may miss an arc, mm.
const chordError = 2e-4

// polygonOf writes one shape as a polygon from its own numbers, with none of this package's code.
func (d *drawn) polygonOf(s *Shape) []plane.Vec {
	v := d.values
	at := func(q Place) plane.Vec { return plane.Vec{X: v.At(q.X), Y: v.At(q.Y)} }
	a, b := at(s.P[0]), plane.Vec{}
	if s.Kind == Strip || s.Kind == Box {
		b = at(s.P[1])
	}
	sweep := func(c plane.Vec, r, from, by float64) (out []plane.Vec) {
		n := int(math.Ceil(math.Abs(by)/math.Acos(1-chordError/r)/2)) + 1
		for i := range n + 1 {
			out = append(out, c.Add(plane.Polar(from+by*float64(i)/float64(n)).Scale(r)))
		}
		return out
	}
	switch s.Kind {
	case Disc:
		return sweep(a, v.At(s.W[0])/2, 0, 2*math.Pi)
	case Box:
		return []plane.Vec{a, {X: b.X, Y: a.Y}, b, {X: a.X, Y: b.Y}, a}
	case Strip:
		h := math.Atan2(b.Y-a.Y, b.X-a.X)
		ends := func(c plane.Vec, w, from float64) []plane.Vec {
			if s.Round {
				return sweep(c, w/2, from, math.Pi)
			}
			p := plane.Polar(from).Scale(w / 2)
			return []plane.Vec{c.Add(p), c.Sub(p)}
		}
		out := append(ends(b, v.At(s.W[1]), h-math.Pi/2), ends(a, v.At(s.W[0]), h+math.Pi/2)...)
		return append(out, out[0])
	}
	r, small := v.At(s.Steps[0].Radius), v.At(s.Steps[2].Radius)
	c := a.Add(at(s.Steps[2].To).Sub(a).Unit().Scale(r))
	p, q := a.Sub(c), at(s.Steps[0].To).Sub(c)
	from, by := math.Atan2(p.Y, p.X), math.Atan2(p.Cross(q), p.Dot(q))
	if by < 0 {
		by += 2 * math.Pi
	}
	out := append(sweep(c, r, from, by), sweep(c, small, from+by, -by)...)
	return append(out, out[0])
}

// inLibrary makes the outline of a profile with the general geometry library.
func (d *drawn) inLibrary(t *testing.T) geom.Geometry {
	var all geom.Geometry
	for i := range d.shapes {
		var xy []float64
		for _, p := range d.polygonOf(&d.shapes[i]) {
			xy = append(xy, p.X, p.Y)
		}
		n := len(xy)
		xy[n-2], xy[n-1] = xy[0], xy[1]
		one := geom.NewPolygon([]geom.LineString{geom.NewLineString(geom.NewSequence(xy, geom.DimXY))}).AsGeometry()
		var err error
		switch {
		case d.shapes[i].Hole:
			all, err = geom.Difference(all, one)
		case i == 0:
			all = one
		default:
			all, err = geom.Union(all, one)
		}
		if err != nil {
			t.Logf("library: %v", err)
			return geom.Geometry{}
		}
	}
	return all
}

// around returns the length of the boundary.
func (d *drawn) around() float64 {
	sum := 0.0
	for i := range d.edges {
		sum += d.edges[i].Length()
	}
	return sum
}

// counted returns the area of a profile by counting places in its shapes.
func (d *drawn) counted() float64 {
	const n = 1500
	count := 0
	for i := range n {
		for j := range n {
			p := plane.Vec{X: (float64(i)+0.5)/n*2 - 1, Y: (float64(j)+0.5)/n*2 - 1}.Scale(d.Radius)
			if in, _ := d.inShapes(d.Centre.Add(p), 0); in {
				count++
			}
		}
	}
	return float64(count) * 4 * d.Radius * d.Radius / n / n
}

// moved places a geometry of the library.
func moved(g geom.Geometry, p plane.Placement) geom.Geometry {
	return g.TransformXY(func(xy geom.XY) geom.XY {
		q := p.Out(plane.Vec{X: xy.X, Y: xy.Y})
		return geom.XY{X: q.X, Y: q.Y}
	})
}

// TestAgainstLibrary compares areas and distances of random profiles, and whether they overlap, with a general-purpose
// geometry library (github.com/peterstace/simplefeatures) on polygons that miss the arcs by 0.0002 mm.
func TestAgainstLibrary(t *testing.T) {
	t.Logf("seed %d, %d pairs", *seed, *pairs)
	rnd := rand.New(rand.NewPCG(*seed, 11))
	apart, over, dropped, worst := 0, 0, 0, 0.0
	count := max(8, int(math.Sqrt(float64(*pairs))))
	for _, grid := range []bool{false, true} {
		set := profiles(count, grid)
		ref := make([]geom.Geometry, count)
		for i, d := range set {
			if d.err != nil {
				t.Fatalf("cannot be made: %v%s", d.err, d.describe())
			}
			ref[i] = d.inLibrary(t)
			round := ref[i].Boundary().Length() - d.around()
			if math.Abs(ref[i].Area()-d.Area) > 20*chordError*d.Radius || math.Abs(round) > 20*chordError*d.Radius {
				// The library drops a stretch of boundary now and then, or leaves a spike: count places instead.
				if n := d.counted(); math.Abs(n-d.Area) > 2e-4*d.Radius*d.Radius {
					t.Errorf("area %g, library %g, counted %g%s", d.Area, ref[i].Area(), n, d.describe())
				}
				ref[i] = geom.Geometry{}
				dropped++
			}
		}
		for range *pairs / 2 {
			i, j := rnd.IntN(count), rnd.IntN(count)
			at := placed(rnd.Float64()*90-45, rnd.Float64()*90-45, rnd.Float64()*6.28)
			n := Distance(set[i].Region, plane.Fixed, set[j].Region, at)
			if ref[i].IsEmpty() || ref[j].IsEmpty() {
				continue
			}
			want, ok := geom.Distance(ref[i], moved(ref[j], at))
			if !ok {
				continue
			}
			got := math.Max(0, n.D)
			// At a corner where two arcs meet at a narrow angle the polygons' corner is off by more than the chords.
			if e := math.Abs(got - want); e > 20*chordError {
				t.Errorf("distance %g, library %g at %v: %s\nand%s", n.D, want, at, set[i].describe(), set[j].describe())
			} else {
				worst = math.Max(worst, e)
			}
			checkNear(t, "random pair", n)
			if n.D > 0 {
				apart++
			} else {
				over++
			}
		}
	}
	if apart < *pairs/4 || over < *pairs/20 || dropped > count/10 {
		t.Errorf("%d pairs apart, %d overlapping, %d profiles left out: too few or too many", apart, over, dropped)
	}
	t.Logf("%d apart, %d overlapping, greatest difference %.2g mm", apart, over, worst)
}
