package clearance

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver/outline"
	"barover/solver/plane"
	"barover/solver/taylor"
	"barover/solver/trial"
	"barover/solver/trial/draws"
	"barover/solver/tube"
)

// pierced draws an outline with holes near a joint of its part, or one that another is pierced for.
func pierced(t *testing.T, rng *rand.Rand, d *trial.Drawn, part int) trial.Body {
	t.Helper()
	for {
		u, v := 30*rng.Float64()*float64(rng.IntN(2)), 12*(rng.Float64()-0.5)*float64(rng.IntN(2))
		r := 4 + 14*rng.Float64()
		var s outline.Shape
		switch rng.IntN(3) {
		case 0:
			s = d.Disc(u, v, 2*r)
		case 1:
			s = d.Strip(u, v, u+30*rng.Float64()+1, v+4*(rng.Float64()-0.5), r, r*(0.5+rng.Float64()), rng.IntN(2) == 0)
		default:
			s = d.Box(u-r, v-r*rng.Float64(), u+r*(0.2+rng.Float64()), v+r*(0.3+rng.Float64()))
		}
		shapes := []outline.Shape{s}
		for range rng.IntN(3) {
			w := math.Floor(2*rng.Float64()) * r * (rng.Float64() - 0.5)
			hole := d.Disc(u+w, v+w, r*(0.2+1.2*rng.Float64()))
			hole.Hole = true
			shapes = append(shapes, hole)
		}
		if region, err := d.Region(shapes...); err == nil {
			return trial.Body{Part: part, Region: region, Shapes: shapes}
		}
	}
}

// pieced is two pieces of two bodies, of which one has a bite, over a part of a box.
type pieced struct {
	*duo
	n    node
	a, b *solid
}

// deepest is how far any place common to both is outside the bites in one of some positions, and where.
func (p *pieced) deepest(rng *rand.Rand, positions int) float64 {
	most := math.Inf(-1)
	p.stand(rng, positions, func(rel plane.Placement) {
		most = max(most, p.a.Reach(p.b.Piece, &rel, 0, math.Inf(1)))
	})
	return most
}

// stand has b stand in the axes of a as in some positions.
func (p *pieced) stand(rng *rand.Rand, positions int, at func(rel plane.Placement)) {
	tb := p.tubes[p.n.tube]
	for k := range positions {
		var tau [taylor.MaxVars]float64
		for i := range tau {
			at := 2*rng.Float64() - 1
			if k < 9 {
				at = float64([]int{k % 3, k / 3}[i%2] - 1)
			}
			tau[i] = p.n.part.Mid[i] + p.n.part.Half[i]*at
		}
		pa, _ := placed(tb, &tb.Boxes[p.n.box], Body{p.duo.a.Region, p.duo.a.Part}, &tau)
		pb, _ := placed(tb, &tb.Boxes[p.n.box], Body{p.duo.b.Region, p.duo.b.Part}, &tau)
		pa.Origin, pb.Origin = pa.Out(p.origin[0]), pb.Out(p.origin[1])
		at(pa.Seen(pb))
	}
}

// drawPieces draws linkages with pierced outlines, and parts of their motion.
func drawPieces(t *testing.T, n int, stream uint64, each func(*rand.Rand, string, *pieced)) {
	rng := rand.New(rand.NewPCG(*seed, stream))
	ctx := context.Background()
	for range n {
		d, err := trial.Random(rng)
		if err != nil {
			continue
		}
		l, err := d.Link(d.From, 0)
		if err != nil {
			continue
		}
		parts := len(l.Schedule().Model.Parts)
		var bodies []trial.Body
		for range 6 {
			bodies = append(bodies, pierced(t, rng, d, rng.IntN(parts)))
		}
		plan, err := tube.NewPlan(l.Schedule(), l.Values())
		if err != nil {
			t.Fatal(err)
		}
		over := tube.Range{From: d.From, To: d.From + 2*math.Pi}
		tb, err := tube.Enclose(ctx, plan, tube.Following(ctx, l, over, nil), tube.Ask{Turn: over, Travel: []tube.Range{{From: -d.Rise, To: d.Rise}},
			Rest: []float64{0}, Reach: reaches(l, bodies), Size: 150, Tolerance: 1e-3})
		if err != nil || len(tb.Boxes) == 0 {
			continue
		}
		p := New([]*tube.Tube{tb}, 1e-3).Fork()
		for range 60 {
			i, j := rng.IntN(len(bodies)), rng.IntN(len(bodies))
			if i == j {
				continue
			}
			pair := p.pair(Body{bodies[i].Region, bodies[i].Part}, Body{bodies[j].Region, bodies[j].Part})
			if pair.beyond() {
				continue
			}
			g := pieced{duo: pair, n: node{box: int32(rng.IntN(len(tb.Boxes))), part: tube.Full()}}
			for range rng.IntN(8) {
				g.n.part = g.n.part.HalvedAlong(rng.IntN(tb.Space.Vars), rng.IntN(2))
			}
			g.a, g.b = &pair.pa[rng.IntN(pair.wholes[0])], &pair.pb[rng.IntN(pair.wholes[1])]
			pair.views[0].set(pair.relative(0, int(g.n.box), 0), &g.n.part)
			each(rng, d.Kind, &g)
		}
	}
}

// bites is how many of the two pieces have one.
func (p *pieced) bites() (n int) {
	for _, s := range []*solid{p.a, p.b} {
		if s.Bite != nil {
			n++
		}
	}
	return n
}

// holdDepths has the depth of two pieces denied and allowed. It returns how often what a position shows was denied, and how
// often a depth that is not reached was proved, by how many bites the two have.
func holdDepths(t *testing.T, n int) (wrong, asked, proved [3]int) {
	drawPieces(t, n, 11, func(rng *rand.Rand, kind string, g *pieced) {
		bites := g.bites()
		if bites == 0 {
			return
		}
		deep := g.deepest(rng, 40)
		size := g.a.Radius + g.b.Radius
		for _, less := range []float64{1e-6, 1e-4, 0.002, 0.02, 0.1} {
			if depth := deep - less*size; depth > 0 && g.noDeeper(&g.n, g.a, g.b, depth) {
				t.Logf("%s: %.9g mm deep at a position, but no more than %.9g", kind, deep, depth)
				wrong[bites]++
			}
		}
		if deep > 0 {
			asked[bites]++
			if g.noDeeper(&g.n, g.a, g.b, deep+0.02*size) {
				proved[bites]++
			}
		}
	})
	return wrong, asked, proved
}

// TestNoDeeperPosition holds what is proved of the depth of pieces with bites against their depth in drawn positions.
func TestNoDeeperPosition(t *testing.T) {
	wrong, asked, proved := holdDepths(t, draws.Of(120))
	t.Logf("asked %v, proved %v", asked, proved)
	for bites := 1; bites <= 2; bites++ {
		if wrong[bites] > 0 {
			t.Errorf("with %d bites %d depths are denied that a position has", bites, wrong[bites])
		}
		if asked[bites] < draws.Of(120) || 2*proved[bites] < asked[bites] {
			t.Errorf("with %d bites only %d of %d depths are proved", bites, proved[bites], asked[bites])
		}
	}
}

// topped reports whether a stretch of an edge has, in a position, a place between its ends that is as far out of one bite as of the other
// and from which every way along the edge leads into one of them.
func (g *sight) topped(e *outline.Edge, rel plane.Placement) bool {
	c := rel.In(g.c)
	out := func(k int) (a, b float64) {
		x := e.At(float64(k) / 100)
		return x.Sub(c).Len() - g.r, x.Sub(g.o).Len() - g.own
	}
	a, b := out(0)
	for k := 1; k <= 100; k++ {
		fromA, fromB := a, b
		a, b = out(k)
		if (fromA > fromB) != (a > b) && (a > fromA) != (b > fromB) && min(math.Abs(a-fromA), math.Abs(b-fromB)) > 1e-6*g.p.Radius {
			return true
		}
	}
	return false
}

// TestUnevenPosition holds stretches of edges that are said to have no place where the two bites are even against drawn positions. The
// bites are so large that they are nearly even somewhere on the stretch.
func TestUnevenPosition(t *testing.T) {
	wrong, said := 0, 0
	drawPieces(t, draws.Of(120), 12, func(rng *rand.Rand, kind string, p *pieced) {
		if p.bites() < 2 {
			return
		}
		g := &sight{duo: p.duo, p: p.a, q: p.b, v: p.views[0], w: p.back(&p.n), c: p.a.Bite.C, o: p.b.Bite.C}
		e := p.b.Loop[rng.IntN(len(p.b.Loop))]
		for range rng.IntN(10) {
			e = e.Halves()[rng.IntN(2)]
		}
		s, x := edgeOf(p.b.Piece, &e), e.At(rng.Float64())
		if rng.IntN(2) == 0 { // with the way from the centre nearly square to the edge
			off := e.Tangent(x).Scale((2*rng.Float64() - 1) * g.w.strays(g.c, 0))
			g.c = g.v.centre().Out(x.Add(e.Normal(x).Scale(-p.a.Radius)).Add(off))
		}
		c := g.w.centre().Out(g.c)
		g.r, g.own = x.Sub(c).Len()+(2*rng.Float64()-1)*g.w.strays(g.c, 0), x.Sub(g.o).Len()
		if !g.uneven(&s.Loop[0], &s) {
			return
		}
		said++
		p.stand(rng, 40, func(rel plane.Placement) {
			if g.topped(&e, rel) {
				wrong++
			}
		})
	})
	if t.Logf("%d stretches", said); wrong > 0 || said < draws.Of(100) {
		t.Errorf("of %d stretches %d places are said not to be", said, wrong)
	}
}
