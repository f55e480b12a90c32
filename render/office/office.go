// Package office makes what a drawing office puts round a picture: border, title block, key, tables, check lengths, and the stamp on
// a sheet that is out of date.
//
// It knows no engine and no answers; it is given the words. A newcomer may change how any of it looks.
package office

import (
	"barover/render/drawing"
	"barover/solver/plane"
)

// Margins and rooms, mm of paper. The title block is 180 wide after ISO 7200, the filing margin 20 after ISO 5457.
const (
	Filing    = 20.0
	Margin    = 10.0
	BlockWide = 180.0
	BlockHigh = 37.0
	Mark      = 5.0 // by how much the border's centring marks stand into the sheet
)

// Line styles, after ISO 128: widths of its series, types by its numbers.
var (
	FrameLine = &drawing.Style{Name: "frame", Width: 0.7, Line: drawing.Continuous, Stroke: black}
	BlockLine = &drawing.Style{Name: "block", Width: 0.35, Line: drawing.Continuous, Stroke: black}
	ThinLine  = &drawing.Style{Name: "thin", Width: 0.18, Line: drawing.Continuous, Stroke: black}
	RowLine   = &drawing.Style{Name: "row", Width: 0.13, Line: drawing.Continuous, Stroke: drawing.RGB(0x8a8a8a)}
	flagDisc  = &drawing.Style{Name: "flag", Fill: red}
)

var (
	black = drawing.RGB(0x000000)
	red   = drawing.RGB(0x8b0000) // which prints all but black
	white = drawing.RGB(0xffffff)
)

// Lettering, after ISO 3098: heights of its series. Below 2.5 mm are the letters of the border's zones alone: smaller ones
// cannot be read across a bench.
var (
	zoneText = &drawing.TextStyle{Name: "zone", Height: 1.8, Colour: black}
	Text25   = &drawing.TextStyle{Name: "t25", Height: 2.5, Colour: black}
	Bold25   = &drawing.TextStyle{Name: "b25", Height: 2.5, Colour: black, Bold: true}
	Bold35   = &drawing.TextStyle{Name: "b35", Height: 3.5, Colour: black, Bold: true}
	Caption  = &drawing.TextStyle{Name: "caption", Height: 2.5, Colour: drawing.RGB(0x505050)}
	label    = &drawing.TextStyle{Name: "l25", Height: 2.5, Colour: black, Halo: true}
	flagText = &drawing.TextStyle{Name: "flag-text", Height: 2.5, Colour: white, Bold: true}
)

// Frame is the border of a sheet, and the box of its title block, mm.
func Frame(width, height float64) (frame, block drawing.Box) {
	frame = drawing.Box{Min: plane.Vec{X: Filing, Y: Margin}, Max: plane.Vec{X: width - Margin, Y: height - Margin}}
	block = drawing.Box{Min: plane.Vec{X: frame.Max.X - BlockWide, Y: frame.Min.Y}, Max: plane.Vec{X: frame.Max.X, Y: frame.Min.Y + BlockHigh}}
	return frame, block
}

// Room is the area within the border and above the title block, mm. A sheet must be at least 210 mm wide.
func Room(width, height float64) drawing.Box {
	frame, block := Frame(width, height)
	return drawing.Box{Min: plane.Vec{X: frame.Min.X, Y: block.Max.Y}, Max: frame.Max}
}
