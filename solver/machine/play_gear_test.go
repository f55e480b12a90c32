package machine

import (
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver"
	"barover/solver/outline"
	"barover/solver/plane"
)

// playedGear is a gear as engines have it: an eccentric rod swings a link, from which a radius rod moves a lever past a gland. It has play at
// six eyes. Where the lever stands is computed here, from one triangle after the other, without the solver.
type playedGear struct {
	throw, ecc, link, rod, lever float64
	trunnion, top, gland         plane.Vec
	block, tip                   plane.Vec // on link and lever, in their axes
	dia                          [2]float64
	play                         [6]float64 // of eccentric rod at crankpin and tail, link at trunnion, radius rod at block and lever, lever at its top
}

// gearDrawn is one that goes round, its sizes drawn about a middle.
func gearDrawn(rng *rand.Rand) *playedGear {
	about := func(v float64) float64 { return v * (1 + 0.03*(2*rng.Float64()-1)) }
	c := &playedGear{throw: about(11), ecc: about(150), link: about(32), rod: about(98), lever: about(62),
		trunnion: plane.Vec{X: about(158), Y: about(28)}, top: plane.Vec{X: about(257), Y: about(36)}, gland: plane.Vec{X: about(245), Y: about(-45)},
		block: plane.Vec{X: -20 * rng.Float64(), Y: 4 * rng.NormFloat64()}, tip: plane.Vec{X: about(75)}, dia: [2]float64{5, 8}}
	for i := range c.play {
		c.play[i] = 0.02 + 0.2*rng.Float64()
	}
	return c
}

// meets is where two bars meet, on the left of the way from the first's eye to the second's.
func meets(a plane.Vec, r float64, b plane.Vec, s float64) plane.Vec {
	way := b.Sub(a)
	l := way.Len()
	u := (l*l + r*r - s*s) / (2 * l)
	return a.Add(way.Scale(u / l)).Add(way.Turned().Scale(math.Sqrt(r*r-u*u) / l))
}

// stands is the tail of the link, the pin of the lever, and both parts.
func (c *playedGear) stands(turn float64, off [6]plane.Vec) (tail, block, pin plane.Vec, lever plane.Placement) {
	at := c.trunnion.Add(off[2])
	tail = meets(at, c.link, plane.Polar(turn).Scale(c.throw).Add(off[0]).Sub(off[1]), c.ecc)
	block = plane.Placement{Origin: at, Dir: tail.Sub(at).Unit()}.Out(c.block)
	top := c.top.Add(off[5])
	pin = meets(top, c.lever, block.Add(off[3]).Sub(off[4]), c.rod)
	return tail, block, pin, plane.Placement{Origin: top, Dir: pin.Sub(top).Unit()}
}

func (c *playedGear) apart(turn float64, angle []float64) float64 {
	var off [6]plane.Vec
	for i, a := range angle {
		off[i] = plane.Polar(a).Scale(c.play[i] / 2)
	}
	_, _, _, lever := c.stands(turn, off)
	return lever.Out(c.tip).Sub(c.gland).Len() - (c.dia[0]+c.dia[1])/2
}

func (c *playedGear) draft(least float64) *draft {
	d := newDraft(0, 360, 5)
	tail0, _, pin0, _ := c.stands(0, [6]plane.Vec{})
	o, trunnion, top := d.fixed("o", 0, 0), d.fixed("trunnion", c.trunnion.X, c.trunnion.Y), d.fixed("top", c.top.X, c.top.Y)
	crankpin := d.found("crankpin")
	tail, pin := d.near("tail", tail0.X, tail0.Y), d.near("pin", pin0.X, pin0.Y)
	d.crank(o, crankpin, d.num(c.throw))
	d.length(crankpin, tail, d.num(c.ecc))
	d.length(trunnion, tail, d.num(c.link))
	ecc, link := d.part("ecc", crankpin, tail), d.part("link", trunnion, tail)
	block := d.onPart("block", link, d.num(c.block.X), d.num(c.block.Y))
	d.length(block, pin, d.num(c.rod))
	d.length(top, pin, d.num(c.lever))
	rod, lever := d.part("rod", block, pin), d.part("lever", top, pin)
	a := d.profile(lever, "tip", d.num(0), d.num(2), d.disc(d.num(c.tip.X), d.num(c.tip.Y), d.num(c.dia[0])))
	b := d.profile(0, "gland", d.num(0), d.num(2), d.disc(d.num(c.gland.X), d.num(c.gland.Y), d.num(c.dia[1])))
	d.clear(a, b, d.num(least))
	for i, e := range [6][2]int{{ecc, crankpin}, {ecc, tail}, {link, trunnion}, {rod, block}, {rod, pin}, {lever, top}} {
		d.p.Plays = append(d.p.Plays, solver.Play{Stmt: d.next(), Part: e[0], Point: e[1], Line: -1, V: d.num(c.play[i]), Named: true})
	}
	return d
}

// The least of a gear with play at six pins against every place of its eyes.
func TestPlayOfGear(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 4))
	share := 0.0
	for range 5 {
		c := gearDrawn(rng)
		least := leastOfAll(6, c.apart)
		d := c.draft(0)
		f := d.study(t, d.drawn()).Findings[0]
		if f.Play == nil || math.IsNaN(f.Play.Least) {
			t.Fatalf("nothing is proved of %+v: %+v", c, f)
		}
		if math.Abs(f.Least-least) > 1e-3 || f.Play.Least > least+1e-9 {
			t.Errorf("%v, nowhere below %v; every place has %v", f.Least, f.Play.Least, least)
		}
		lost := f.Play.Tight - least
		if share = math.Max(share, (least-f.Play.Least)/lost); least-f.Play.Least > 1e-3+0.05*lost {
			t.Errorf("proved %v, the least is %v; play takes %v", f.Play.Least, least, lost)
		}
	}
	t.Logf("of what play takes at most %.2f %% is told too much", 100*share)
}

// worn is an engine with play as far as its wear is looked at: its least over every place with every play larger by so much.
type worn struct {
	name  string
	draft func(asked float64) *draft
	least func(wear float64) float64
}

func wornOnes(rng *rand.Rand) []worn {
	crank := &playedCrank{throw: 22, rod: 130, half: 10.8, big: 0.1, little: 0.06, slide: 0.04}
	crank.draft() // which makes its outlines
	bars := &playedBars{throw: 11.74, coupler: 50, rocker: 49.84, ground: 48, play: [4]float64{0.04, 0.08, 0.02, 0.06},
		on: plane.Vec{X: 11.5, Y: 5.2}, still: plane.Vec{X: 3.717, Y: 11.609}, dia: [2]float64{4, 6}}
	gear := gearDrawn(rng)
	return []worn{{"slider-crank", func(asked float64) *draft {
		d, check := crank.draft()
		d.p.Checks[check].AtLeast = d.num(asked)
		return d
	}, func(wear float64) float64 {
		c := *crank
		c.big, c.little, c.slide = c.big+wear, c.little+wear, c.slide+wear
		return leastOfAll(3, func(turn float64, angle []float64) float64 {
			off := math.Copysign(c.slide/2, math.Sin(angle[2]))
			rod, _ := c.pose(turn, plane.Polar(angle[0]).Scale(c.big/2), plane.Polar(angle[1]).Scale(c.little/2), off)
			return outline.Distance(c.shank, rod, c.lip, plane.Fixed).D
		})
	}}, {"four-bar", func(asked float64) *draft { return bars.draft(asked, math.NaN()) }, func(wear float64) float64 {
		c := *bars
		for i := range c.play {
			c.play[i] += wear
		}
		return c.extreme(1)
	}}, {"gear", gear.draft, func(wear float64) float64 {
		c := *gear
		for i := range c.play {
			c.play[i] += wear
		}
		return leastOfAll(6, c.apart)
	}}}
}

// TestWornAgainstEveryPlace: an engine is asked for just what it has with so much wear. With a little less wear it is proved to hold, and no
// place falls short; with a little more an engine is found that does, and so does a place.
func TestWornAgainstEveryPlace(t *testing.T) {
	for _, w := range wornOnes(rand.New(rand.NewPCG(2, 4))) {
		const wear = 0.25
		asked := w.least(wear)
		d := w.draft(asked)
		m := newMachineOf(t, d)
		for _, by := range []float64{0.96, 1.04} {
			got, err := m.Worn(t.Context(), Options{}, by*wear)
			if err != nil {
				t.Fatal(err)
			}
			if truth := w.least(by * wear); got.Holds != (by < 1) || (got.Short >= 0) != (by > 1) || (truth < asked) != (by > 1) {
				t.Errorf("%s worn by %.3f: holds %v, short %d with %.5f; every place has %.5f, asked %.5f", w.name, by*wear, got.Holds, got.Short, got.Least, truth, asked)
			} else if by > 1 && !(got.Least < asked && got.Least > truth-1e-6) {
				t.Errorf("%s worn by %.3f: an engine has %.6f, every place %.6f", w.name, by*wear, got.Least, truth)
			}
		}
	}
}
