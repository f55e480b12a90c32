package variants

import (
	"strings"

	"barover/render/report"
	"barover/render/report/figures"
	"barover/sketch/quantity"
	"barover/solver/spread"
)

// closeTo is one tolerance with other limits.
type closeTo struct {
	Dim   string         `json:"dim"`
	Lower figures.Figure `json:"lower"`
	Upper figures.Figure `json:"upper"`

	kind     quantity.Kind
	was, low figures.Figure // the upper and lower limits as they are
}

// leversOf is what changed tolerances would do, each entry a way by itself.
func leversOf(w report.Reporter, q *spread.Ask, list []spread.Lever) [][]closeTo {
	return figures.Each(list, func(v *spread.Lever) []closeTo {
		var way []closeTo
		for k, i := range v.Tolerances {
			t, is := &q.Tolerances[i], &v.Limits[k]
			d := &w.Engine.Dims[t.Dim]
			of := func(x float64) figures.Figure { return figures.Of(w.Units, x, d.Kind) }
			way = append(way, closeTo{d.Name, of(is.Lower), of(is.Upper), d.Kind, of(t.Upper), of(t.Lower)})
		}
		return way
	})
}

// mostClosed is how many tolerances that must be closed together are named for reading.
const mostClosed = 6

// leversText tells which tolerances to close, or which may be opened.
func (r *Spread) leversText() string {
	if len(r.Closer) > 0 {
		return " All would hold in every engine, proved, with " + r.waysText(r.Closer, "; or with ") + "."
	}
	if len(r.Wider) > 0 {
		return " One of these may be opened, and all still holds, proved: " + r.waysText(r.Wider, "; ") + "."
	}
	return ""
}

func (r *Spread) waysText(ways [][]closeTo, or string) string {
	return strings.Join(figures.Each(ways, func(way *[]closeTo) string {
		words := figures.Each((*way)[:min(len(*way), mostClosed)], func(c *closeTo) string {
			return c.Dim + " " + r.limits(c.Lower, c.Upper, c.kind) + " (now " + r.limits(c.low, c.was, c.kind) + ")"
		})
		if more := len(*way) - mostClosed; more > 0 {
			words = append(words, report.CountOf(more, "other", "others")+" closed by the same share")
		}
		return strings.Join(words, ", ")
	}), or)
}

// limits writes two deviations as on a drawing.
func (r *Spread) limits(lower, upper figures.Figure, k quantity.Kind) string {
	u := r.e.Units
	low, high := lower.Size(u, k), upper.Size(u, k)
	if "-"+high == low || low == high {
		return "± " + high
	}
	return low + " to " + high
}
