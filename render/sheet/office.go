package sheet

import (
	"barover/render/drawing"
	"barover/solver/plane"
)

// Room is the area within the border of a sheet that is not drawn from an Engine, mm: above the title block, and beside
// it to the left, which is empty where the block takes the whole width. A sheet must be at least 210 mm wide.
func Room(width, height float64) (above, beside drawing.Box) {
	frame, block := furnished(width, height)
	return drawing.Box{Min: plane.Vec{X: frame.Min.X, Y: block.Max.Y}, Max: frame.Max},
		drawing.Box{Min: frame.Min, Max: plane.Vec{X: block.Min.X, Y: block.Max.Y}}
}

func furnished(width, height float64) (frame, block drawing.Box) {
	frame = drawing.Box{Min: plane.Vec{X: filing, Y: margin}, Max: plane.Vec{X: width - margin, Y: height - margin}}
	block = drawing.Box{Min: plane.Vec{X: frame.Max.X - blockWide, Y: frame.Min.Y}, Max: plane.Vec{X: frame.Max.X, Y: frame.Min.Y + blockHigh}}
	return frame, block
}

// Furnish draws border and title block of such a sheet.
func Furnish(d *drawing.Drawing, o *Options, kind, scale, paper string) {
	frame, block := furnished(d.Width, d.Height)
	border(d, frame)
	titleBlock(d, block, o, kind, scale, paper)
}

// Ruler draws a check length, mm, from a along the unit direction u, in n divisions, with its name.
func Ruler(l *drawing.Layer, a, u plane.Vec, length float64, n int, name string) {
	ruler(l, a, u, length, n, name, 1, 0.5)
}
