// Package chart draws plain charts: curves that differ by line type, axes with ticks, levels, shaded stretches and marks.
//
// It knows nothing of engines; it is given figures with their names and units. A newcomer may change how an axis or a
// curve looks.
package chart

import (
	"math"
	"strconv"

	"barover/render/drawing"
	"barover/solver/plane"
)

// Chart is what a chart shows.
type Chart struct {
	Title  string
	X, Y   Axis
	Curves []Curve
	Levels []Level
	Within *Envelope // nil for none
	Bands  []Band
	Marks  []Mark
	Signs  []Sign
	Cells  []Cell

	Keyed bool // its key stands in a box of its own, not below: see Key
}

// Axis is an axis. Its figures have whatever unit its Name says; so have the curves and all else on the chart.
type Axis struct {
	Name     string
	From, To float64
	Step     float64                // between ticks; 0 for a round one that suits
	Label    func(v float64) string // what is written at a tick; nil for the plain number
}

// Curve is a line through points in the axes' units. A point that is no number breaks it.
type Curve struct {
	Name   string // "" to leave it out of the key
	Label  string // written on the line where it has most room
	Style  *drawing.Style
	Points []plane.Vec
	Arrows bool // along the line, the way that its points go
}

// Level is a line across the chart at a value of y, in that axis's unit.
type Level struct {
	Y     float64
	Name  string
	Short string // written where there is no room for the name; "" for none
	Style *drawing.Style
}

// Cell is a part of the field, in the axes' units, that is filled.
type Cell struct {
	From, To plane.Vec
	Style    *drawing.Style
}

// Band is a stretch of x, in that axis's unit, that is hatched from below to above.
type Band struct {
	From, To float64
	Style    *drawing.Style
}

// Mark is a place on the chart, in the axes' units, with a word beside it.
type Mark struct {
	At   plane.Vec
	Name string
}

// Styles of the chart itself.
var (
	black = drawing.RGB(0)
	axis  = &drawing.Style{Name: "axis", Width: 0.25, Line: drawing.Continuous, Stroke: black}
	grid  = &drawing.Style{Name: "grid", Width: 0.13, Line: drawing.Continuous, Stroke: drawing.RGB(0xc8c8c8)}
	dot   = &drawing.Style{Name: "dot", Fill: black}
)

// Lettering.
var (
	headText  = &drawing.TextStyle{Name: "b25", Height: 2.5, Colour: black, Bold: true}
	smallText = &drawing.TextStyle{Name: "t25", Height: 2.5, Colour: black}
	halo      = &drawing.TextStyle{Name: "l25", Height: 2.5, Colour: black, Halo: true}
)

// field is a chart's field on the paper and its axes.
type field struct {
	box  drawing.Box
	x, y Axis
}

func (f field) at(v plane.Vec) plane.Vec {
	w, h := f.box.Size()
	return plane.Vec{X: f.box.Min.X + (v.X-f.x.From)/(f.x.To-f.x.From)*w, Y: f.box.Min.Y + (v.Y-f.y.From)/(f.y.To-f.y.From)*h}
}

// Draw draws the chart in a box, mm of paper.
func Draw(l *drawing.Layer, box drawing.Box, c Chart) {
	f := field{box: box, x: sane(c.X), y: sane(c.Y)}
	f.box.Min = f.box.Min.Add(plane.Vec{X: 17, Y: 14})
	f.box.Max = f.box.Max.Sub(plane.Vec{X: 5, Y: 6})
	if c.Title != "" {
		f.box.Max.Y -= 6.5
	}
	if w, h := f.box.Size(); w < 10 || h < 10 {
		return
	}
	l.Write(plane.Vec{X: box.Min.X + 2.5, Y: box.Max.Y - 5.2}, drawing.Start, headText, headText.FitPair(c.Title, box.Max.X-box.Min.X-5))
	for _, k := range c.Cells {
		l.Draw(drawing.Rect(f.at(k.From), f.at(k.To)), k.Style, "")
	}
	f.envelope(l, c.Within)
	f.bands(l, c.Bands)
	f.axes(l, box)
	f.levels(l, c.Levels)
	for _, k := range c.Curves {
		f.curve(l, k)
	}
	for _, m := range c.Marks {
		if p := f.at(m.At); f.box.Grown(0.01).Holds(p) {
			l.Draw(drawing.Circle(p, 0.6), dot, m.Name)
		}
	}
	f.name(l, &c)
	f.signs(l, c.Signs)
	f.labels(l, c.Curves, c.Signs)
	if !c.Keyed {
		f.key(l, box, &c)
	}
}

// sane gives an axis without an extent one.
func sane(a Axis) Axis {
	if !(a.To > a.From) || math.IsInf(a.To-a.From, 0) {
		if math.IsNaN(a.From) || math.IsInf(a.From, 0) {
			a.From = 0
		}
		a.To = a.From + 1
	}
	if !(a.Step > 0) || (a.To-a.From)/a.Step > 60 {
		a.Step = Step(a.To-a.From, 5)
	}
	if a.Label == nil {
		decimals := int(max(0, min(12, math.Ceil(-math.Log10(a.Step)-1e-9))))
		a.Label = func(v float64) string {
			if math.Abs(v) >= 1e7 || a.Step < 1e-6 {
				return strconv.FormatFloat(v, 'g', 4, 64)
			}
			return strconv.FormatFloat(v, 'f', decimals, 64)
		}
	}
	return a
}

// Step is a round step, 1, 2 or 5 by a power of ten, that cuts a length into about n.
func Step(length float64, n int) float64 {
	raw := length / float64(max(1, n))
	ten := math.Pow(10, math.Floor(math.Log10(raw)))
	for _, k := range []float64{1, 2, 5} {
		if k*ten >= raw*(1-1e-9) {
			return k * ten
		}
	}
	return 10 * ten
}

// AngleStep is a step of an axis of angles, rad, that people count in.
func AngleStep(span float64) float64 {
	for _, deg := range []float64{1, 2, 5, 10, 15, 30, 45, 60} {
		if span*180/math.Pi/deg <= 8.01 {
			return deg * math.Pi / 180
		}
	}
	return math.Pi / 2
}

// ScaleY multiplies all that stands along the y axis, to give it in another unit.
func (c *Chart) ScaleY(k float64) {
	c.Y.From, c.Y.To = c.Y.From*k, c.Y.To*k
	for i := range c.Curves {
		scaleY(c.Curves[i].Points, k)
	}
	if c.Within != nil {
		scaleY(c.Within.Low, k)
		scaleY(c.Within.High, k)
	}
	for i := range c.Levels {
		c.Levels[i].Y *= k
	}
	for i := range c.Marks {
		c.Marks[i].At.Y *= k
	}
}

func scaleY(points []plane.Vec, k float64) {
	for i := range points {
		points[i].Y *= k
	}
}

// ticks are the multiples of the step within the axis, at most 100.
func (a Axis) ticks() (v []float64) {
	first := math.Ceil(a.From/a.Step - 1e-9)
	for i := range 100 {
		t := (first + float64(i)) * a.Step
		if t > a.To+1e-9*(a.To-a.From) {
			break
		}
		v = append(v, t)
	}
	return v
}

func (f field) axes(l *drawing.Layer, box drawing.Box) {
	b := f.box
	xs := f.x.ticks()
	every := f.everyFigure(xs)
	for i, x := range xs {
		p := f.at(plane.Vec{X: x, Y: f.y.From})
		l.Draw(drawing.Line(p, plane.Vec{X: p.X, Y: b.Max.Y}), grid, "")
		l.Draw(drawing.Line(p, p.Sub(plane.Vec{Y: 1})), axis, "")
		if t := f.figure(x); i%every == 0 && t.Box().Max.X <= box.Max.X {
			l.Items = append(l.Items, t)
		}
	}
	for _, y := range f.y.ticks() {
		p := f.at(plane.Vec{X: f.x.From, Y: y})
		l.Draw(drawing.Line(p, plane.Vec{X: b.Max.X, Y: p.Y}), grid, "")
		l.Draw(drawing.Line(p, p.Sub(plane.Vec{X: 1})), axis, "")
		l.Write(p.Sub(plane.Vec{X: 1.8, Y: 1.2}), drawing.End, smallText, smallText.Fit(f.y.Label(y), 14.5))
	}
	l.Draw(drawing.Rect(b.Min, b.Max), axis, "")
	w, _ := b.Size()
	l.Write(plane.Vec{X: b.Max.X, Y: b.Min.Y - 8.6}, drawing.End, smallText, smallText.Fit(f.x.Name, w))
	l.Write(plane.Vec{X: box.Min.X + 2.5, Y: b.Max.Y + 2.2}, drawing.Start, smallText, smallText.Fit(f.y.Name, w))
}

// figure is what stands below the axis at a tick.
func (f field) figure(x float64) drawing.Text {
	return drawing.Text{At: f.at(plane.Vec{X: x, Y: f.y.From}).Sub(plane.Vec{Y: 4.6}), Anchor: drawing.Middle, Style: smallText, S: f.x.Label(x)}
}

// everyFigure is which of the ticks along have their figures: every one, or every second and so on, as there is room. One that takes in
// the last tick too is preferred to one that is a little closer.
func (f field) everyFigure(xs []float64) int {
	fits := func(n int) bool {
		for i := n; i < len(xs); i += n {
			if f.figure(xs[i]).Box().Min.X < f.figure(xs[i-n]).Box().Max.X+1 {
				return false
			}
		}
		return true
	}
	least := 1
	for least < len(xs) && !fits(least) {
		least++
	}
	for n := least; n <= 2*least && n < len(xs); n++ {
		if (len(xs)-1)%n == 0 && fits(n) {
			return n
		}
	}
	return least
}

// stretch is where a band stands; false if that is beside the field.
func (f field) stretch(b Band) (box drawing.Box, ok bool) {
	from, to := max(b.From, f.x.From), min(b.To, f.x.To)
	return drawing.Box{Min: f.at(plane.Vec{X: from, Y: f.y.From}), Max: f.at(plane.Vec{X: to, Y: f.y.To})}, from <= to
}

func (f field) levels(l *drawing.Layer, levels []Level) {
	for _, v := range levels {
		if f.holds(v.Y) {
			p := f.at(plane.Vec{X: f.x.From, Y: v.Y})
			l.Draw(drawing.Line(p, plane.Vec{X: f.box.Max.X, Y: p.Y}), v.Style, v.Name)
		}
	}
}

// holds reports whether a level lies within the field.
func (f field) holds(y float64) bool { return y >= f.y.From && y <= f.y.To }

func (f field) bands(l *drawing.Layer, bands []Band) {
	for _, b := range bands {
		box, ok := f.stretch(b)
		if !ok {
			continue
		}
		p, q := box.Min, box.Max
		q.X = max(q.X, p.X+0.4) // a short one must still be seen
		run := []plane.Vec{p, {X: q.X, Y: p.Y}, q, {X: p.X, Y: q.Y}}
		l.Draw(drawing.Hatch(math.Pi/4, 1.4, [][]plane.Vec{run}), b.Style, "")
		l.Draw(append(drawing.Line(p, run[3]), drawing.Line(run[1], q)...), b.Style, "")
	}
}

func (f field) curve(l *drawing.Layer, c Curve) {
	for _, run := range f.runs(c.Points) {
		if p := f.box.Cut([][]plane.Vec{drawing.Simplify(run, false, 0.01)}, []bool{false}); len(p) > 0 {
			l.Draw(p, c.Style, c.Name)
		}
	}
}

// runs returns the lines through points, on the paper, mm. A point without a place (NaN) ends a line.
func (f field) runs(points []plane.Vec) (runs [][]plane.Vec) {
	at := f.on(points)
	placed := func(i int) bool { return !math.IsNaN(at[i].X+at[i].Y) && !math.IsInf(at[i].X+at[i].Y, 0) }
	stretches(len(at), placed, func(from, to int) {
		if to-from > 1 {
			runs = append(runs, at[from:to])
		}
	})
	return runs
}
