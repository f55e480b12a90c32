package template

import (
	"cmp"
	"slices"

	"barover/render/drawing"
)

var (
	black = drawing.RGB(0x000000)
	grey  = drawing.RGB(0x707070)
)

// outlines tell the profiles of a part apart by the kind of line, the full line for the largest; colour only helps. They are
// thick beside the thin lines of 0.18, and are cut to their middle.
var outlines = []*drawing.Style{
	{Name: "outline-a", Width: 0.5, Line: drawing.Continuous, Stroke: black},
	{Name: "outline-b", Width: 0.5, Line: drawing.Dashed, Stroke: drawing.RGB(0x1c3f94)},
	{Name: "outline-c", Width: 0.35, Line: drawing.LongDashShortDash, Stroke: drawing.RGB(0xa01018)},
	{Name: "outline-d", Width: 0.35, Line: drawing.LongDashTwoShortDash, Stroke: drawing.RGB(0x1d6b3a)},
	{Name: "outline-e", Width: 0.5, Line: drawing.Dotted, Stroke: drawing.RGB(0x6a3d9a)},
	{Name: "outline-f", Width: 0.35, Line: drawing.LongDashDot, Stroke: drawing.RGB(0x8a5a00)},
}

// lines chooses the line of each profile; a part of more profiles than there are lines tells some apart by their labels
// alone.
func (p *Part) lines() []*drawing.Style {
	order := make([]int, len(p.Profiles))
	for i := range order {
		order[i] = i
	}
	area := func(i int) float64 {
		w, h := p.Profiles[i].box.Size()
		return w * h
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(area(b), area(a)) })
	out := make([]*drawing.Style, len(order))
	for k, i := range order {
		out[i] = outlines[k%len(outlines)]
	}
	return out
}

var (
	thin       = &drawing.Style{Name: "template-thin", Width: 0.18, Line: drawing.Continuous, Stroke: black}
	rowRule    = &drawing.Style{Name: "template-row", Width: 0.13, Line: drawing.Continuous, Stroke: grey}
	centreLine = &drawing.Style{Name: "template-centre", Width: 0.18, Line: drawing.LongDashShortDash, Stroke: black}
	jointLine  = &drawing.Style{Name: "template-joint", Width: 0.18, Line: drawing.Dashed, Stroke: grey}
	cutLine    = &drawing.Style{Name: "cut-mark", Width: 0.7, Line: drawing.Continuous, Stroke: black}
	dot        = &drawing.Style{Name: "template-dot", Fill: black}
	shade      = &drawing.Style{Name: "template-shade", Fill: drawing.RGB(0xb0b0b0)}
)

var (
	label = &drawing.TextStyle{Name: "template-label", Height: 2.5, Colour: black, Halo: true}
	text  = &drawing.TextStyle{Name: "template-text", Height: 2.5, Colour: black}
	heavy = &drawing.TextStyle{Name: "template-heavy", Height: 2.5, Colour: black, Bold: true}
	large = &drawing.TextStyle{Name: "template-large", Height: 3.5, Colour: black, Bold: true}
)
