package trial

import (
	"fmt"
	"math"
	"math/rand/v2"

	"barover/solver/expr"
	"barover/solver/outline"
)

// Drawn is a sketch drawn at random, with outlines on its parts. Its turn goes once round from From; travel 0, if there is
// one, goes from -Rise to Rise and rests at 0.
type Drawn struct {
	*Sketch
	Bodies []Body
	From   float64
	Rise   float64
	Kind   string
}

// Random draws a sketch whose difficulties are spread evenly over their sizes: near a dead centre, a toggle or a change
// point by anything from a millionth of a millimetre up, edges nearly parallel, thin spikes, small holes.
func Random(rng *rand.Rand) (*Drawn, error) { return draw(rng, New(1)) }

// RandomSized is Random with every number a dimension.
func RandomSized(rng *rand.Rand) (*Drawn, error) {
	s := New(1)
	s.Sized = true
	return draw(rng, s)
}

func draw(rng *rand.Rand, s *Sketch) (*Drawn, error) {
	d := &Drawn{Sketch: s, From: rng.Float64() * 2 * math.Pi}
	if rng.IntN(4) == 0 {
		d.Rise = logUniform(rng, 1e-3, 3)
	}
	switch rng.IntN(3) {
	case 0:
		d.sliderCrank(rng)
	case 1:
		d.fourBar(rng)
	default:
		d.sixBar(rng)
	}
	var err error
	n := len(d.Parts)
	for i := range 3 + rng.IntN(3) {
		part := i % n
		if i >= n {
			part = rng.IntN(n)
		}
		shapes := d.shapes(rng, part)
		r, e := d.Region(shapes...)
		if e != nil {
			err = e
			continue
		}
		d.Bodies = append(d.Bodies, Body{fmt.Sprint("body ", i), part, r, shapes})
	}
	return d, err
}

// logUniform draws between lo and hi, every size alike.
func logUniform(rng *rand.Rand, lo, hi float64) float64 {
	return lo * math.Pow(hi/lo, rng.Float64())
}

// sliderCrank may have its crosshead's line off the axle by nearly as much as the rod allows.
func (d *Drawn) sliderCrank(rng *rand.Rand) {
	d.Kind = "slider-crank"
	crank := 10 + 30*rng.Float64()
	rod := crank + logUniform(rng, 1e-3, 120)
	off := 0.0
	if room := rod - crank - d.Rise; room > 0 && rng.IntN(2) == 0 {
		off = max(0, room-logUniform(rng, 1e-6, 30))
	}
	o := d.Driven(d.Num(0), d.Graph.Travel(0))
	cx, cy := crank*math.Cos(d.From), crank*math.Sin(d.From)
	c := d.Found(cx, cy)
	x := d.Found(cx+math.Sqrt(max(0, rod*rod-(cy-off)*(cy-off))), off)
	line := d.Line(d.Fixed(0, off), d.Num(0))
	d.Length(o, c, d.Num(crank))
	d.Heading(o, c, d.Graph.Turn())
	d.Length(c, x, d.Num(rod))
	d.Slide(x, line)
	d.Part(o, c)
	d.Part(c, x)
	d.Along(x, line)
}

// fourBar is near a toggle or a change point, or at one, or does not quite reach.
func (d *Drawn) fourBar(rng *rand.Rand) (rocker int) {
	d.Kind = "four-bar"
	ground, crank := 60+80*rng.Float64(), 5+40*rng.Float64()
	both := ground + crank + logUniform(rng, 1e-6, 60) // coupler and rocker together
	if rng.IntN(10) == 0 {
		both = ground + crank - logUniform(rng, 1e-6, 1)
	}
	apart := (ground - crank) * (2*rng.Float64() - 1)
	coupler, arm := (both+apart)/2, (both-apart)/2
	// Start where it can be assembled: the crank turned away from the far dead centre.
	if math.Abs(math.Remainder(d.From-math.Pi, 2*math.Pi)) < 0.5 {
		d.From += 2
	}
	o, q := d.Driven(d.Num(0), d.Graph.Travel(0)), d.Fixed(ground, 0)
	ax, ay := crank*math.Cos(d.From), crank*math.Sin(d.From)
	l := math.Hypot(ground-ax, ay)
	along := (l*l + coupler*coupler - arm*arm) / (2 * l)
	h := math.Sqrt(max(0, coupler*coupler-along*along))
	if rng.IntN(2) == 0 {
		h = -h
	}
	ux, uy := (ground-ax)/l, -ay/l
	a, b := d.Found(ax, ay), d.Found(ax+along*ux-h*uy, ay+along*uy+h*ux)
	d.Length(o, a, d.Num(crank))
	d.Heading(o, a, d.Graph.Turn())
	d.Length(a, b, d.Num(coupler))
	d.Length(q, b, d.Num(arm))
	d.Part(o, a)
	d.Part(a, b)
	return d.Part(q, b)
}

// sixBar adds a rod and a slide to a four-bar.
func (d *Drawn) sixBar(rng *rand.Rand) {
	rocker := d.fourBar(rng)
	d.Kind = "six-bar"
	p := d.On(rocker, 20+40*rng.Float64(), 10*rng.NormFloat64())
	height := 40 * rng.NormFloat64()
	line := d.Line(d.Fixed(0, height), d.Num(0.2*rng.NormFloat64()))
	x := d.Found(300, height)
	d.Length(p, x, d.Num(150+150*rng.Float64()))
	d.Slide(x, line)
	d.Part(p, x)
	d.Along(x, line)
}

// shapes draws an outline for a part: on the frame anywhere, on others along their length.
func (d *Drawn) shapes(rng *rand.Rand, part int) []outline.Shape {
	u, v := 60*rng.Float64()-10, 10*rng.NormFloat64()
	if part == 0 {
		u, v = 200*rng.Float64()-40, 60*rng.NormFloat64()
	}
	size := logUniform(rng, 1, 30)
	switch rng.IntN(7) {
	case 5: // a path with one side bent in or out
		left := rng.IntN(2) == 0
		to := func(x, y float64) outline.Step { return outline.Step{To: d.Place(x, y), Radius: expr.None} }
		bent := to(u, v+size)
		bent.Radius, bent.Left = d.Num(size*(0.51+rng.Float64())), left
		return []outline.Shape{{Kind: outline.Path, P: [2]outline.Place{d.Place(u, v)}, Steps: []outline.Step{to(u+size, v), to(u+size, v+size), bent}}}
	case 0:
		return []outline.Shape{d.Disc(u, v, size)}
	case 1:
		return []outline.Shape{d.Box(u, v, u+size, v+logUniform(rng, 0.1, 20))}
	case 2: // a spike
		return []outline.Shape{d.Strip(u, v, u+2*size, v+size*rng.NormFloat64(), logUniform(rng, 1e-3, 1), logUniform(rng, 1e-3, 1), false)}
	case 3: // nearly parallel to its part
		return []outline.Shape{d.Strip(u-50, v, u+50, v+logUniform(rng, 1e-6, 5), 4, 6, rng.IntN(2) == 0)}
	case 4: // an eye
		hole := d.Disc(u, v, size*0.6)
		hole.Hole = true
		return []outline.Shape{d.Disc(u, v, size), hole}
	}
	return []outline.Shape{d.Strip(u, v, u+3*size, v, size/2, size/3, true), d.Disc(u, v, size)}
}
