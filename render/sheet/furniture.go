package sheet

import (
	"math"
	"strconv"

	"barover/render/drawing"
	"barover/render/office"
	"barover/solver/plane"
)

// furniture draws everything round the picture: border, title block, table, legend, check lengths.
func (v *bothView) furniture(kind string) {
	d, l, o := v.now.d, &v.now.l, v.now.o
	if o.Type != "" {
		kind = o.Type
	}
	scale := l.scale.String()
	if v.now.box.Empty() { // answers alone: nobody measures such a sheet
		kind, scale, l.rulers = "Answers; no parts to draw", "–", false
	}
	office.Border(d, l.frame)
	office.TitleBlock(d, l.block, &o.Block, kind, scale, l.paper.Name)
	v.tableOn()
	office.Legend(d.Layer("legend", "Legend"), l.legend, v.now.kinds)
	if l.rulers {
		rulers(d, l)
	} else if c, ok := v.now.scaleBar(); ok {
		office.Ruler(d.Layer("scale-bar", "Scale bar"), c.at, plane.Vec{X: 1}, c.length, c.n, c.name, 1, 0.5)
	}
}

// scaleBar is a length of the engine at the scale of a sheet that is not at full size, since a print or a screen seldom
// has its true size.
type scaleBar struct {
	at     plane.Vec
	length float64 // mm of paper
	n      int     // divisions
	name   string
}

// scaleBar chooses a round length in the lower left corner, below everything that is drawn.
func (v *view) scaleBar() (c scaleBar, ok bool) {
	unit := 1.0
	if v.w.Unit == "in" {
		unit = 25.4
	}
	if v.l.rulers || v.box.Empty() || !(v.k > 0) {
		return c, false
	}
	const longest = 50.0
	most := longest / (unit * v.k)
	ten := math.Pow(10, math.Floor(math.Log10(most)))
	of := 1.0
	for _, c := range []float64{2, 5} {
		if c*ten <= most {
			of = c
		}
	}
	c = scaleBar{at: v.l.picture.Min.Add(plane.Vec{X: 5, Y: 2.5}), length: of * ten * unit * v.k, n: 5}
	if of == 2 {
		c.n = 4
	}
	c.name = strconv.FormatFloat(of*ten, 'g', 6, 64) + " " + v.w.Unit
	return c, c.length > 1
}

// box is round the bar and its name.
func (c scaleBar) box() drawing.Box {
	half := label25.Width(c.name) / 2
	return drawing.Box{Min: plane.Vec{X: min(c.at.X, c.at.X+c.length/2-half), Y: c.at.Y},
		Max: plane.Vec{X: max(c.at.X+c.length, c.at.X+c.length/2+half), Y: c.at.Y + 4}}
}

// ruleLong is the room along a rule of both check lengths, mm.
const ruleLong = 107.0

// ruled reports whether there is room for a rule both ways.
func (l *layout) ruled() bool {
	w, _ := l.picture.Size()
	return w-rulerRoom >= ruleLong && l.frame.Max.Y-l.legend.Max.Y >= ruleLong
}

// upright is where the upright rule begins: beside the picture, or, where that is too low, above the legend.
func (l *layout) upright() float64 {
	if y := l.picture.Min.Y; l.frame.Max.Y-y >= ruleLong {
		return y
	}
	return l.legend.Max.Y
}

// rulers draws a rule in both ways, 100 mm on one edge and 4 in on the other, to check a print at full size.
func rulers(d *drawing.Drawing, l *layout) {
	layer := d.Layer("check-lengths", "Check lengths")
	both := func(at, u plane.Vec, along float64) {
		office.Ruler(layer, at, u, 100, 10, "100 mm", 1, along)
		office.Ruler(layer, at, u, 101.6, 4, "4 in", -1, along)
	}
	level := plane.Vec{X: l.picture.Min.X + 3, Y: l.picture.Min.Y - rulerRoom + 5.5}
	both(level, plane.Vec{X: 1}, 0.5)
	up := plane.Vec{X: l.frame.Min.X + 5.5, Y: l.upright() + 3}
	along := 0.5
	if math.Abs(up.Y+50-l.frame.Centre().Y) < 10 { // keep off the border's mark for the camera
		along = 0.25
	}
	both(up, plane.Vec{Y: 1}, along)
	if w, _ := l.picture.Size(); w > ruleLong+70 {
		layer.Write(level.Add(plane.Vec{X: 106, Y: -1.2}), drawing.Start, text25, "try these with a rule before measuring off a print")
	}
}
