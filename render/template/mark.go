package template

import (
	"cmp"
	"math"
	"slices"

	"barover/solver/plane"
)

// Mark is a place that is to be set out, with all that stands there.
type Mark struct {
	Number   int       // from 1, from left to right and of those in a column from below
	At       plane.Vec // from the datums
	Features []Feature
}

// Names are the points at the place.
func (m *Mark) Names() (names []string) {
	for _, f := range m.Features {
		if f.Kind == Centre {
			names = append(names, f.Name)
		}
	}
	return names
}

// mark gathers what is to be set out by places.
func (p *Part) mark(named []feature) {
	all := slices.Clone(named)
	for i := range p.Profiles {
		all = append(all, p.Profiles[i].features(i)...)
	}
	for _, f := range all {
		k := slices.IndexFunc(p.Marks, func(m Mark) bool { return m.At.Sub(f.at).Len() <= same })
		if k < 0 {
			k = len(p.Marks)
			p.Marks = append(p.Marks, Mark{At: f.at})
		}
		p.Marks[k].add(f.Feature)
	}
	slices.SortStableFunc(p.Marks, func(a, b Mark) int {
		return cmp.Or(cmp.Compare(rounded(a.At.X), rounded(b.At.X)), cmp.Compare(a.At.Y, b.At.Y))
	})
	for i := range p.Marks {
		p.Marks[i].Number = i + 1
		slices.SortStableFunc(p.Marks[i].Features, func(a, b Feature) int { return cmp.Compare(a.Kind, b.Kind) })
	}
}

// rounded puts what differs by less than can be told in one column.
func rounded(mm float64) float64 { return math.Round(mm / (10 * same)) }

// add takes in a feature; one that goes through several profiles is one, and a slot cut along a named arc has its name.
func (m *Mark) add(f Feature) {
	for i := range m.Features {
		g := &m.Features[i]
		if f.Kind == SlotArc && g.Kind == Arc && math.Abs(g.Size-f.Size) <= same {
			g.Kind, g.Profiles = SlotArc, f.Profiles
			return
		}
		if g.Kind == f.Kind && len(f.Profiles) > 0 && math.Abs(g.Size-f.Size) <= same && math.Abs(g.Other-f.Other) <= same {
			if !slices.Contains(g.Profiles, f.Profiles[0]) {
				g.Profiles = append(g.Profiles, f.Profiles...)
			}
			return
		}
	}
	m.Features = append(m.Features, f)
}

// Narrow reports whether a round hole is less across than its plate is thick, so that it cannot well be cut with the
// outline.
func (p *Part) Narrow(f *Feature) bool {
	return f.Kind == Hole && slices.ContainsFunc(f.Profiles, func(i int) bool { return f.Size < p.Profiles[i].Thick()-same })
}

// Row is one line of the list of what is set out: a feature and its place.
type Row struct {
	Number   int
	At       plane.Vec // in the part's axes, mm
	Feature  *Feature
	Names    []string // of points at the place, or of the arc
	Profiles []string // whose it is, without the part's name
	Narrow   bool
}

// Rows are the list, a line a feature; a named point has a line of its own only where nothing else stands.
func (p *Part) Rows() (rows []Row) {
	for i := range p.Marks {
		m := &p.Marks[i]
		names := m.Names()
		for k := range m.Features {
			f := &m.Features[k]
			if f.Kind == Centre && (len(names) < len(m.Features) || k > 0) {
				continue
			}
			r := Row{Number: m.Number, At: m.At, Feature: f, Names: names, Narrow: p.Narrow(f)}
			if f.Kind != Centre && f.Name != "" {
				r.Names = append([]string{f.Name}, names...)
			}
			for _, pr := range f.Profiles {
				r.Profiles = append(r.Profiles, p.Profiles[pr].Short)
			}
			rows = append(rows, r)
		}
	}
	return rows
}
