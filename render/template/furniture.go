package template

import (
	"math"
	"strconv"

	"barover/render/drawing"
	"barover/render/office"
	"barover/solver/plane"
)

// rulers draws the check lengths, 100 mm and 4 in both ways.
func (g *pages) rulers(d *drawing.Drawing) {
	b := office.Room(d.Width, d.Height)
	l := d.Layer("check-lengths", "Check lengths")
	level := b.Min.Add(plane.Vec{X: aside + 1, Y: 2})
	office.Ruler(l, level.Add(plane.Vec{Y: 6.5}), plane.Vec{X: 1}, 100, 10, "100 mm", 1, 0.5)
	office.Ruler(l, level, plane.Vec{X: 1}, 101.6, 4, "4 in", 1, 0.5)
	up := b.Min.Add(plane.Vec{X: 5.5, Y: 4})
	if math.Abs(up.Y+50-d.Height/2) < 12 { // its name off the border's mark in the middle
		up.Y = min(up.Y+22, b.Max.Y-103)
	}
	office.Ruler(l, up, plane.Vec{Y: 1}, 100, 10, "100 mm", 1, 0.5)
	office.Ruler(l, up.Add(plane.Vec{X: 6}), plane.Vec{Y: 1}, 101.6, 4, "4 in", 1, 0.5)
}

// joints draws the lines along which sheets are joined, with a mark at every crossing: laid mark on mark, sheets make up
// the whole. Each says which sheet comes beyond it.
func (g *pages) joints(d *drawing.Drawing, n *tile, pl *placer) {
	if n.count() == 1 {
		return
	}
	l := d.Layer("joints", "Joints")
	name := func(column, row int) string {
		o := tile{tiling: n.tiling, column: column, row: row}
		if column > n.column || row < n.row {
			return "fold or cut; joins " + o.name()
		}
		return "joins " + o.name()
	}
	// The ends of a joint stand thick: a fold goes from one to the other. They lie within the border, which no printer's margin
	// reaches.
	line := func(a, b plane.Vec, beyond string, text drawing.Text) {
		p := drawing.Line(a, b)
		l.Draw(p, jointLine, "joint")
		u := b.Sub(a).Unit().Scale(cutMark)
		l.Draw(append(drawing.Line(a, a.Add(u)), drawing.Line(b.Sub(u), b)...), cutLine, "fold mark")
		pl.avoid(p)
		text.Anchor, text.Style, text.S = drawing.Middle, label, beyond
		l.Items = append(l.Items, text)
	}
	w, own := n.window, drawing.Box{Min: n.own.Min.Add(n.by), Max: n.own.Max.Add(n.by)}
	// The words stand in what the sheet leaves to its neighbour, beside a mark, where they hide little.
	c := plane.Vec{X: w.Min.X + 35, Y: w.Max.Y - 40} // off the border's marks in its middle
	if n.column > 0 {
		line(plane.Vec{X: own.Min.X, Y: w.Min.Y}, plane.Vec{X: own.Min.X, Y: w.Max.Y}, name(n.column-1, n.row),
			drawing.Text{At: plane.Vec{X: own.Min.X - 1.5, Y: c.Y}, Angle: readFromRight})
	}
	if n.column < n.columns-1 {
		line(plane.Vec{X: own.Max.X, Y: w.Min.Y}, plane.Vec{X: own.Max.X, Y: w.Max.Y}, name(n.column+1, n.row),
			drawing.Text{At: plane.Vec{X: own.Max.X + 3.3, Y: c.Y}, Angle: readFromRight})
	}
	if n.row > 0 {
		line(plane.Vec{X: w.Min.X, Y: own.Min.Y}, plane.Vec{X: w.Max.X, Y: own.Min.Y}, name(n.column, n.row-1),
			drawing.Text{At: plane.Vec{X: c.X, Y: own.Min.Y - 3.3}})
	}
	if n.row < n.rows-1 {
		line(plane.Vec{X: w.Min.X, Y: own.Max.Y}, plane.Vec{X: w.Max.X, Y: own.Max.Y}, name(n.column, n.row+1),
			drawing.Text{At: plane.Vec{X: c.X, Y: own.Max.Y + 1.5}})
	}
	for _, column := range []int{n.column, n.column + 1} {
		for _, row := range []int{n.row, n.row + 1} {
			g.register(l, n, column, row, pl)
		}
	}
}

// cutMark is how long the thick ends of a joint are, mm.
const cutMark = 7.0

// register draws the mark at a crossing of joints, named like the fields of a map: its row from above, its column.
func (g *pages) register(l *drawing.Layer, n *tile, column, row int, pl *placer) {
	at := n.joint(column, row).Add(n.by)
	name := letters(n.rows-row) + strconv.Itoa(column+1)
	p := drawing.Circle(at, 2)
	for _, u := range []plane.Vec{{X: 4}, {Y: 4}} {
		p = append(p, drawing.Line(at.Sub(u), at.Add(u))...)
	}
	l.Draw(p, thin, "mark "+name)
	// Its name is on the side of the sheet's middle.
	toward := plane.Vec{X: 2.6, Y: 2.2}
	anchor := drawing.Start
	if column > n.column {
		toward.X, anchor = -2.6, drawing.End
	}
	if row > n.row {
		toward.Y = -4
	}
	t := drawing.Text{At: at.Add(toward), Anchor: anchor, Style: label, S: name}
	l.Items = append(l.Items, t)
	pl.taken = append(pl.taken, drawing.Box{Min: at, Max: at}.Grown(4.5), t.Box())
}

// whereabouts says beside the check lengths which sheet this is and how it is used, with a plan of all sheets.
func (g *pages) whereabouts(d *drawing.Drawing, n *tile, number int) {
	b := office.Room(d.Width, d.Height)
	l := d.Layer("whereabouts", "Whereabouts")
	x := b.Min.X + aside + 107
	lines := []string{g.Name + ", full size", "print at 100 %, not fitted", "try the check lengths both ways"}
	if n.count() > 1 {
		lines[0] = strconv.Itoa(number) + " of " + strconv.Itoa(g.o.Sheet.Sheets) + ", " + n.name()
		lines[1] = "print at 100 %, mark on mark"
		words := max(heavy.Width(lines[0]), text.Width(lines[1]), text.Width(lines[2])) // the plan takes what they leave of narrow paper
		x = n.plan(l, plane.Vec{X: x, Y: b.Min.Y + 1.5}, min(18, b.Max.X-x-words-3.1), 12) + 2
	}
	y := b.Min.Y + 10.4
	for i, t := range lines {
		s := text
		if i == 0 {
			s = heavy
		}
		l.Write(plane.Vec{X: x, Y: y}, drawing.Start, s, s.Fit(t, b.Max.X-x-1))
		y -= 3.6
	}
}

// plan draws how the sheets lie, this one shaded, at most so wide and so high. It returns where it ends.
func (n *tile) plan(l *drawing.Layer, at plane.Vec, wide, high float64) float64 {
	w, h := n.window.Size()
	k := min(high/(h*float64(n.rows)), wide/(w*float64(n.columns)))
	w, h = w*k, h*k
	for column := range n.columns {
		for row := range n.rows {
			a := at.Add(plane.Vec{X: w * float64(column), Y: h * float64(row)})
			p := drawing.Rect(a, a.Add(plane.Vec{X: w, Y: h}))
			if column == n.column && row == n.row {
				l.Draw(p, shade, "this sheet")
			}
			l.Draw(p, rowRule, "")
		}
	}
	return at.X + w*float64(n.columns)
}
