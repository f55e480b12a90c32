package outline

import (
	"math"
	"slices"

	"barover/solver/plane"
)

// Piece is a convex part of a region, mm in the axes of the part. The pieces of a region are within it and together cover
// it; they may overlap.
type Piece struct {
	Loop   []Edge    // one anticlockwise loop of straight lines and arcs that bulge outward
	Bite   *Bite     // a disc taken away from it, or nil
	Centre plane.Vec // a circle round it
	Radius float64

	features []feature
}

// Bite is a disc that is not part of a piece: what a hole or a hollow arc leaves empty.
type Bite struct {
	C    plane.Vec
	R    float64
	Line int32 // the circle of the shapes on which it lies
}

// feature is the outermost thing over a range of directions: a corner, or an arc as a disc of its radius.
type feature struct {
	at   plane.Vec // the corner, or the arc's centre
	r    float64   // the arc's radius, 0 at a corner
	from float64   // heading at which its range begins, rad; it ends where the next one's begins
	n    plane.Vec // that heading as a unit direction
	mid  plane.Vec // unit direction of the middle of its range
	cos  float64   // cosine of half its range; -2 for all directions
	flat int32     // the straight edge that is outermost just where the range begins, or -1
	spot Spot
}

// newPiece prepares a convex anticlockwise loop for measuring.
func newPiece(loop []Edge, bite *Bite) Piece {
	loop = tight(loop)
	p := Piece{Loop: loop, Bite: bite}
	p.Centre, p.Radius = bound([][]Edge{loop})
	if len(loop) == 1 {
		e := &loop[0]
		p.features = []feature{{at: e.C, r: e.R, n: plane.Vec{X: 1}, mid: plane.Vec{X: 1}, cos: -2, flat: -1, spot: Spot{[2]int32{e.Line, -1}}}}
		return p
	}
	last := &loop[len(loop)-1]
	heading := last.Normal(last.B)
	from := math.Atan2(heading.Y, heading.X)
	for i := range loop {
		e := &loop[i]
		n, on := last.Normal(last.B), e.Normal(e.A)
		flat := int32(-1)
		if last.R == 0 {
			flat = int32((i + len(loop) - 1) % len(loop))
		}
		turn := math.Max(0, math.Atan2(n.Cross(on), n.Dot(on)))
		if turn > corner || (last.R == 0 && e.R == 0) {
			f := feature{at: e.A, from: from, n: n, mid: n.Times(plane.Polar(turn / 2)), cos: math.Cos(turn / 2), flat: flat}
			f.spot = Spot{[2]int32{last.Line, e.Line}}
			p.features = append(p.features, f)
			from += turn
			flat = -1
		}
		if e.R != 0 {
			f := feature{at: e.C, r: e.R, from: from, n: on, mid: e.mid, cos: e.cos, flat: flat}
			f.spot = Spot{[2]int32{e.Line, -1}}
			p.features = append(p.features, f)
			from += e.Turn
		}
		last = e
	}
	return p
}

// Shifted is the piece with every place moved by a shift, mm.
func (p *Piece) Shifted(by plane.Vec) Piece {
	at := plane.Placement{Origin: by, Dir: plane.Fixed.Dir}
	loop := make([]Edge, len(p.Loop))
	for i := range p.Loop {
		loop[i] = p.Loop[i].moved(at)
	}
	q := Piece{Loop: loop, Bite: p.Bite, Centre: p.Centre.Add(by), Radius: p.Radius, features: slices.Clone(p.features)}
	if p.Bite != nil {
		b := *p.Bite
		b.C = b.C.Add(by)
		q.Bite = &b
	}
	for i := range q.features {
		q.features[i].at = q.features[i].at.Add(by)
	}
	return q
}

// Support returns how far the piece, without its bite, reaches in the unit direction n from the origin of the part's
// axes, mm.
func (p *Piece) Support(n plane.Vec) float64 {
	best := math.Inf(-1)
	for i := range p.features {
		f := &p.features[i]
		if n.Dot(f.mid) >= f.cos-corner {
			best = math.Max(best, f.at.Dot(n)+f.r)
		} else if f.r == 0 {
			best = math.Max(best, f.at.Dot(n))
		}
	}
	for i := range p.Loop {
		best = math.Max(best, p.Loop[i].A.Dot(n))
	}
	return best
}

// standing is the relation of two convex pieces: the direction in which they are farthest apart or, where they overlap,
// in which the shortest shift separates them, and the outermost features there.
type standing struct {
	d    float64   // the gap in that direction, mm; < 0 where they overlap
	n    plane.Vec // unit, from the first to the second, in the axes of the first
	i, j int32     // the features
	kind uint8     // where in their ranges
}

// Where in the ranges of two features the direction lies.
const (
	within uint8 = iota // in both
	first               // where that of the first piece's feature begins
	second              // where that of the second piece's feature begins
)

// stand measures two convex pieces without their bites, q placed at rel in the axes of p. It goes round both boundaries
// together in the order of their headings. Between two headings the gap is a sine, and greatest at one end or where the
// direction goes through the two features.
func stand(p, q *Piece, rel *plane.Placement) standing {
	w := walk{p: p, q: q, rel: rel, best: standing{d: math.Inf(-1)}}
	np, nq := len(p.features), len(q.features)
	if p.features[0].cos == -2 && q.features[0].cos == -2 {
		w.discs()
		return w.best
	}
	turn := math.Atan2(rel.Dir.Y, rel.Dir.X) + math.Pi
	i, j := 0, 0
	leftP, leftQ := math.Inf(1), math.Inf(1) // how far it is to the next heading of each
	switch {
	case p.features[0].cos == -2:
		np = 0
		w.setQ(0)
		leftQ = q.width(0)
	default:
		leftP = p.width(0)
		if q.features[0].cos == -2 {
			nq = 0
			w.setQ(0)
			break
		}
		j, leftQ = q.facing(p.features[0].from - turn)
		w.setQ(j)
	}
	if np > 0 {
		w.start(first, i, j)
	} else {
		w.start(second, i, j)
	}
	for range np + nq {
		w.between(i, j)
		if leftP <= leftQ {
			leftQ -= leftP
			if i++; i == np {
				i = 0
			}
			leftP = p.width(i)
			w.start(first, i, j)
		} else {
			leftP -= leftQ
			if j++; j == nq {
				j = 0
			}
			leftQ = q.width(j)
			w.setQ(j)
			w.start(second, i, j)
		}
	}
	return w.best
}

// width returns the range of feature i, rad.
func (p *Piece) width(i int) float64 {
	if i+1 < len(p.features) {
		return p.features[i+1].from - p.features[i].from
	}
	return p.features[0].from + 2*math.Pi - p.features[i].from
}

// facing returns the feature whose range holds the heading h, and the distance to the end of that range.
func (p *Piece) facing(h float64) (int, float64) {
	start := p.features[0].from
	h = math.Mod(h-start, 2*math.Pi)
	if h < 0 {
		h += 2 * math.Pi
	}
	h += start
	i := len(p.features) - 1
	for i > 0 && p.features[i].from > h {
		i--
	}
	return i, math.Max(0, p.features[i].from+p.width(i)-h)
}

// walk goes round two pieces.
type walk struct {
	p, q *Piece
	rel  *plane.Placement
	at   plane.Vec // where the second piece's feature is, in the axes of the first
	best standing
}

func (w *walk) setQ(j int) { w.at = w.rel.Out(w.q.features[j].at) }

// start tries the direction in which the range of a feature begins.
func (w *walk) start(kind uint8, i, j int) {
	f, g := &w.p.features[i], &w.q.features[j]
	n := f.n
	if kind == second {
		n = g.n.Times(w.rel.Dir).Scale(-1)
	}
	if d := w.at.Sub(f.at).Dot(n) - f.r - g.r; d > w.best.d {
		w.best = standing{d, n, int32(i), int32(j), kind}
	}
}

// between tries the direction through the two features, if it lies in the ranges of both.
func (w *walk) between(i, j int) {
	f, g := &w.p.features[i], &w.q.features[j]
	v := w.at.Sub(f.at)
	l := math.Sqrt(sq(v))
	d := l - f.r - g.r
	if !(d > w.best.d) || l == 0 || v.Dot(f.mid) < f.cos*l || -v.Dot(g.mid.Times(w.rel.Dir)) < g.cos*l {
		return
	}
	w.best = standing{d, v.Scale(1 / l), int32(i), int32(j), within}
}

// discs measures two whole discs.
func (w *walk) discs() {
	w.setQ(0)
	f, g := &w.p.features[0], &w.q.features[0]
	v := w.at.Sub(f.at)
	l := v.Len()
	n := plane.Vec{X: 1}
	if l > 0 {
		n = v.Scale(1 / l)
	}
	w.best = standing{l - f.r - g.r, n, 0, 0, within}
}
