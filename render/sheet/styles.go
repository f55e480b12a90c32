package sheet

import (
	"barover/render/drawing"
	"barover/render/office"
)

// Colours. The drawing reads without them: line types and widths tell the kinds apart, colour only helps.
var (
	black = drawing.RGB(0x000000)
	grey  = drawing.RGB(0x8a8a8a)
	dark  = drawing.RGB(0x505050)
	blue  = drawing.RGB(0x1c3f94)
	green = drawing.RGB(0x1d6b3a)
	steel = drawing.RGB(0x6f8fd0)
	red   = drawing.RGB(0x8b0000) // which prints all but black
	rose  = drawing.RGB(0xf2b5b5)
	white = drawing.RGB(0xffffff)
)

// Line styles, after ISO 128: widths of its series, types by its numbers.
var (
	blockLine  = office.BlockLine
	thinLine   = office.ThinLine
	rowLine    = office.RowLine
	fixedLine  = &drawing.Style{Name: "fixed", Width: 0.35, Line: drawing.Continuous, Stroke: black, Fill: drawing.RGB(0xefefef)}
	ghostLine  = &drawing.Style{Name: "ghost", Width: 0.13, Line: drawing.Continuous, Stroke: grey}
	hiddenLine = &drawing.Style{Name: "hidden", Width: 0.25, Line: drawing.Dashed, Stroke: black}
	sweptLine  = &drawing.Style{Name: "swept", Width: 0.35, Line: drawing.LongDashTwoShortDash, Stroke: steel}
	centreLine = &drawing.Style{Name: "centre", Width: 0.13, Line: drawing.LongDashShortDash, Stroke: black}
	traceLine  = &drawing.Style{Name: "trace", Width: 0.25, Line: drawing.Dotted, Stroke: green}
	dimLine    = &drawing.Style{Name: "dim", Width: 0.18, Line: drawing.Continuous, Stroke: black}
	dimArrow   = &drawing.Style{Name: "arrow", Fill: black}
	foulLine   = &drawing.Style{Name: "foul", Width: 0.7, Line: drawing.Continuous, Stroke: black}
	foulTint   = &drawing.Style{Name: "foul-tint", Width: 0.35, Line: drawing.Continuous, Stroke: rose}
	foulPose   = &drawing.Style{Name: "foul-pose", Width: 0.25, Line: drawing.Continuous, Stroke: red}
	foulHatch  = &drawing.Style{Name: "foul-hatch", Width: 0.35, Line: drawing.Continuous, Stroke: black}
	foulLead   = &drawing.Style{Name: "foul-leader", Width: 0.25, Line: drawing.Continuous, Stroke: black}
)

// tints fill the parts of the chosen position. They are so light that they print as white; where two parts overlap, the
// edge between them is still visible.
var tints = []*drawing.Style{
	tint("part-a", 0xfcf4e0), tint("part-b", 0xe6f0f8), tint("part-c", 0xeaf5e6),
	tint("part-d", 0xf8e9e4), tint("part-e", 0xefeaf7), tint("part-f", 0xf3f3dd),
}

func tint(name string, fill uint32) *drawing.Style {
	return &drawing.Style{Name: name, Width: 0.5, Line: drawing.Continuous, Stroke: black, Fill: drawing.RGB(fill)}
}

// pairLine is the edge of a part in a detail; fills are the tints without an edge.
var (
	pairLine  = &drawing.Style{Name: "edge", Width: 0.5, Line: drawing.Continuous, Stroke: black}
	fillFixed = &drawing.Style{Name: "fill-fixed", Fill: fixedLine.Fill}
	fills     = fillsOf(tints)
)

func fillsOf(tints []*drawing.Style) (out []*drawing.Style) {
	for _, t := range tints {
		out = append(out, &drawing.Style{Name: "fill-" + t.Name, Fill: t.Fill})
	}
	return out
}

// Lettering, after ISO 3098: heights of its series.
var (
	text25  = office.Text25
	bold25  = office.Bold25
	label25 = &drawing.TextStyle{Name: "l25", Height: 2.5, Colour: black, Halo: true}
	foul25  = &drawing.TextStyle{Name: "f25", Height: 2.5, Colour: black, Halo: true, Bold: true}
	ghostNo = &drawing.TextStyle{Name: "crank", Height: 2.5, Colour: dark, Halo: true}
)
