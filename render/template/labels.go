package template

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"barover/render/drawing"
	"barover/solver/outline"
	"barover/solver/plane"
)

// sized says a feature's kind and size: "hole 5/16 dia", "slot 1/4 wide, square end".
func (g *pages) sized(f *Feature) string {
	kind, more, _ := strings.Cut(f.Kind.String(), ",")
	if kind = strings.TrimSpace(kind + " " + f.Say(g.o.Sheet.Words.Size)); more != "" {
		kind += "," + more
	}
	return kind
}

// labels writes at each centre that is the sheet's own what stands there, and at each profile what it is. What is cut
// comes first, since it must not go without.
func (g *pages) labels(d *drawing.Drawing, n *tile, pl *placer) {
	l := d.Layer("labels", "Labels")
	for _, cut := range []bool{true, false} {
		for i := range g.Marks {
			m := &g.Marks[i]
			if m.cut() != cut || !n.own.Holds(m.At) || !n.shows.Holds(m.At) {
				continue
			}
			at, lines := []plane.Vec{m.At.Add(n.by)}, g.said(m)
			_ = pl.note(l, at, label, lines, false) || pl.note(l, at, label, lines[:1], false)
		}
	}
	g.profiles(l, n, pl) // last, since an edge has many places for its label
}

// cut reports whether something is cut there.
func (m *Mark) cut() bool { return slices.ContainsFunc(m.Features, Feature.Cut) }

// said is the label of a centre: its number and name, and what stands there.
func (g *pages) said(m *Mark) []string {
	lines := []string{strings.Join(append([]string{"no " + strconv.Itoa(m.Number)}, m.Names()...), ", ")}
	for i := range m.Features {
		if f := &m.Features[i]; f.Kind != Centre {
			lines = append(lines, g.sized(f))
		}
	}
	if len(lines) > 4 {
		lines = append(lines[:3], "… see the list")
	}
	return lines
}

// profiles writes at an edge of each profile that shows its name and how thick it is.
func (g *pages) profiles(l *drawing.Layer, n *tile, pl *placer) {
	for i := range g.Profiles {
		p := &g.Profiles[i]
		pl.note(l, p.edges(n), label, []string{p.Name + ", " + g.o.Sheet.Words.Size(p.Thick()) + " thick"}, true)
	}
}

// edges are places on the edge of a profile that are the sheet's own, on the paper: those on its longest lines first.
func (p *Profile) edges(n *tile) (out []plane.Vec) {
	var seen []outline.Edge
	for _, l := range p.loops {
		for i := range l.edges {
			seen = append(seen, within(&l.edges[i], n.own)...)
		}
	}
	for range min(len(seen), 6) {
		long := 0
		for k := range seen {
			if seen[k].Length() > seen[long].Length() {
				long = k
			}
		}
		for _, t := range []float64{0.4, 0.6, 0.3, 0.7, 0.15, 0.85} { // off the middle, where the centre line of a round one runs
			out = append(out, seen[long].At(t).Add(n.by))
		}
		seen = slices.Delete(seen, long, long+1)
	}
	return out
}

// readFromRight is the angle of lettering that is read from the right.
const readFromRight = math.Pi / 2
