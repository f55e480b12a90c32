package chart

import (
	"math"
	"slices"

	"barover/render/drawing"
	"barover/solver/plane"
)

// words puts words on a chart where they hide least: clear of the curves, the levels, the signs and one another.
type words struct {
	field
	runs   [][]plane.Vec
	bands  []drawing.Box
	taken  []drawing.Box
	levels []Level // within the field
}

// What it costs that a word lies over something.
const (
	overCurve = 10.0
	overWord  = 1e3 // too much: it is left out
	overLevel = 4.0
	beyond    = 6.0  // that a level lies between it and what it names: it would be read as the name of that level
	overBand  = 2.0  // the hatch of a stretch, which shows through beside it
	overEdge  = 1.0  // and its edge too, which can hide a minus
	overShort = 1.5  // that a name is short
	overSpot  = 0.03 // that it stands one spot later: even at the last less than a band costs
)

// offEdge is how near the edge of a stretch letters may come, mm, before a minus is lost beside it.
const offEdge = 0.7

// words looks at what a chart shows.
func (f field) words(c *Chart) *words {
	w := &words{field: f}
	for _, k := range c.Curves {
		w.runs = append(w.runs, f.runs(k.Points)...)
	}
	if c.Within != nil {
		w.runs = slices.Concat(w.runs, f.runs(c.Within.Low), f.runs(c.Within.High))
	}
	for _, b := range c.Bands {
		if box, ok := f.stretch(b); ok {
			w.bands = append(w.bands, box)
		}
	}
	for _, v := range c.Levels {
		if f.holds(v.Y) {
			w.levels = append(w.levels, v)
			p := f.at(plane.Vec{X: f.x.From, Y: v.Y})
			w.runs = append(w.runs, []plane.Vec{p, {X: f.box.Max.X, Y: p.Y}})
		}
	}
	for _, g := range c.Signs {
		for _, v := range g.At {
			if p := f.at(v); f.box.Holds(p) {
				w.taken = append(w.taken, drawing.Box{Min: p, Max: p}.Grown(signSize*1.25))
			}
		}
	}
	for _, m := range c.Marks {
		if p := f.at(m.At); f.box.Holds(p) {
			w.taken = append(w.taken, drawing.Box{Min: p, Max: p}.Grown(0.6))
		}
	}
	return w
}

// name names the marks and the levels of a chart: the marks first, or the levels, whichever hides less in all.
func (f field) name(l *drawing.Layer, c *Chart) {
	var best []drawing.Item
	least := math.Inf(1)
	for _, levelsFirst := range []bool{false, true} {
		w, on, cost := f.words(c), &drawing.Layer{}, 0.0
		levels := func() {
			for _, v := range c.Levels {
				cost += w.along(on, v)
			}
		}
		if levelsFirst {
			levels()
		}
		for _, m := range c.Marks {
			if p := f.at(m.At); f.box.Grown(0.01).Holds(p) {
				cost += w.beside(on, p, m.Name)
			}
		}
		if !levelsFirst {
			levels()
		}
		for _, p := range f.open(c.Within) {
			cost += w.beside(on, p, c.Within.Gap)
		}
		if cost < least {
			best, least = on.Items, cost
		}
	}
	l.Items = append(l.Items, best...)
}

// cost is what a word in that box hides, and what it is worth that levels lie between it and what it names at height y, mm.
func (w *words) cost(b drawing.Box, y float64) (cost float64) {
	for _, v := range w.levels {
		if at := w.high(v); y+apart < at && at < b.Min.Y || b.Max.Y < at && at < y-apart {
			cost += beyond
		}
	}
	if room := w.box.Grown(-drawing.Halo); !room.Holds(b.Min) || !room.Holds(b.Max) { // the frame stays whole
		return math.Inf(1)
	}
	for i, run := range w.runs {
		if len(b.Grown(0.3).Cut(w.runs[i:i+1], []bool{false})) > 0 {
			if cost += overCurve; len(run) == 2 {
				cost += overLevel - overCurve
			}
		}
	}
	for _, o := range w.taken {
		if o.Meets(b) {
			cost += overWord
		}
	}
	for _, o := range w.bands {
		if o.Meets(b.Grown(offEdge)) {
			if cost += overBand; b.Min.X-offEdge < o.Min.X || b.Max.X+offEdge > o.Max.X {
				cost += overEdge
			}
		}
	}
	return cost
}

// high is the height of a level on the paper, mm.
func (w *words) high(v Level) float64 { return w.at(plane.Vec{Y: v.Y}).Y }

// apart is how far apart levels must be so that their lines are seen as two, mm.
const apart = 0.8

// spot is a place for a word, which names something.
type spot struct {
	at     plane.Vec
	anchor drawing.Anchor
	name   string
	cost   float64 // beside what it hides
}

// write writes the name of what is at height y at the first of the spots at which it hides least, if there is one within the field, and
// returns what that costs.
func (w *words) write(l *drawing.Layer, y float64, spots []spot) float64 {
	var best drawing.Text
	least := math.Inf(1)
	for i, s := range spots {
		t := drawing.Text{At: s.at, Anchor: s.anchor, Style: halo, S: s.name}
		if cost := w.cost(t.Box(), y) + s.cost + overSpot*float64(i); cost < least {
			best, least = t, cost
		}
	}
	if least < overWord {
		l.Items = append(l.Items, best)
		w.taken = append(w.taken, best.Box())
	}
	return min(least, overWord)
}

// beside writes a word beside a place: close by where that hides nothing, else farther off.
func (w *words) beside(l *drawing.Layer, p plane.Vec, name string) float64 {
	var spots []spot
	if name == "" {
		return 0
	}
	high := halo.Height
	for _, off := range []float64{0.8, 2.4, 4.5, 7, 10} { // farther off it would be taken for something else
		for _, up := range []float64{off, -off - high} {
			for _, s := range []struct {
				x      float64
				anchor drawing.Anchor
			}{{1.4, drawing.Start}, {-1.4, drawing.End}, {0, drawing.Middle}, {1.4 + 1.5*off, drawing.Start}, {-1.4 - 1.5*off, drawing.End}} {
				spots = append(spots, spot{p.Add(plane.Vec{X: s.x, Y: up}), s.anchor, name, 0})
			}
		}
	}
	for _, b := range w.bands { // beside the hatch that it stands in
		if b.Min.X <= p.X && p.X <= b.Max.X {
			y := min(max(p.Y-high/2, w.box.Min.Y+high/2), w.box.Max.Y-1.5*high)
			spots = append(spots, spot{plane.Vec{X: b.Max.X + offEdge + 0.3, Y: y}, drawing.Start, name, 0},
				spot{plane.Vec{X: b.Min.X - offEdge - 0.3, Y: y}, drawing.End, name, 0})
		}
	}
	return w.write(l, p.Y, spots)
}

// alongPlaces is at how many places along a level it is tried to name it.
const alongPlaces = 9

// aboveLine is how far above its line a level's name stands, mm: what hangs below its letters is off the line too.
const aboveLine = 1.2

// along names a level above its line or below it, at its right end where that hides nothing. Where another without a name is so near that both
// look like one line, that line has both names.
func (w *words) along(l *drawing.Layer, v Level) float64 {
	if !w.holds(v.Y) || v.Name == "" {
		return 0
	}
	y, both := w.high(v), ""
	for _, o := range w.levels {
		if o.Name == "" && math.Abs(w.high(o)-y) < apart {
			both = w.y.Label(o.Y) + " and "
		}
	}
	var spots []spot
	for k, name := range []string{v.Name, v.Short} {
		if name == "" {
			continue
		}
		name = both + name
		from, to := w.box.Min.X+1, w.box.Max.X-1-halo.Width(name)
		for i := range alongPlaces {
			x := to + (from-to)*float64(i)/(alongPlaces-1)
			for _, up := range []float64{aboveLine, -0.8 - halo.Height} {
				spots = append(spots, spot{plane.Vec{X: x, Y: y + up}, drawing.Start, name, overShort * float64(k)})
			}
		}
	}
	return w.write(l, y, spots)
}
