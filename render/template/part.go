// Package template draws one part at true size: its outlines and holes as they are to be cut, with every centre that is
// to be set out. It draws on sheets of paper that join, as one large drawing, and as a file for a cutting firm.
//
// Places are given from two datums, the part's leftmost and its lowest extent as drawn in its own axes: x to the right of
// the one, y up from the other. All lengths are mm.
//
// It knows one part and no motion. A newcomer may add a mark to a sheet or a kind of feature. Metal is cut by the
// coordinates that it lists, so they have tests.
package template

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"barover/render/drawing"
	"barover/solver/machine"
	"barover/solver/plane"
)

// Part is a part that is to be made.
type Part struct {
	Name     string
	Profiles []Profile
	Wide     float64   // over all, mm
	High     float64   // over all, mm
	Origin   plane.Vec // where the origin of the part's own axes lies
	OriginAt string    // the point that it is; "" where it has no name
	Left     int       // the profile whose leftmost edge is the datum of x
	Low      int       // the profile whose lowest edge is the datum of y
	Marks    []Mark    // what is to be set out, from left to right
}

// Profile is one thickness of the part.
type Profile struct {
	Name     string  // PART.PROFILE
	Short    string  // PROFILE
	From, To float64 // mm across the engine
	loops    []loop
	box      drawing.Box
}

// Thick is how thick the profile is, mm.
func (p *Profile) Thick() float64 { return p.To - p.From }

// Bounds of what can be drawn, mm: Longest of any drawing, LongestOnPaper of one on paper.
const (
	Longest        = 50_000.0
	LongestOnPaper = 5_000.0
)

// ErrNoProfile says that nothing tells what the part looks like.
var ErrNoProfile = errors.New("it has no profile, so that there is nothing to cut")

// New takes a part out of an engine; number is that of the part in the engine's Problem. Of several profiles only takes the one of
// that name alone, and of the part's points those that lie on it or close by: so each piece that is fixed to the frame has a
// template of its own.
func New(m *machine.Machine, number int, only string) (*Part, error) {
	p := &Part{Name: cmp.Or(only, m.Problem.Linkage.Parts[number].Name)}
	prefix := m.Problem.Linkage.Parts[number].Name + "."
	for i := range m.Problem.Profiles {
		pr := &m.Problem.Profiles[i]
		if pr.Part != number || m.Regions[i] == nil || only != "" && pr.Name != only {
			continue
		}
		out := Profile{Name: pr.Name, Short: strings.TrimPrefix(pr.Name, prefix), From: m.Bands[i].From, To: m.Bands[i].To, box: drawing.NoBox()}
		for _, edges := range m.Regions[i].Loops {
			out.loops = append(out.loops, newLoop(edges))
		}
		p.Profiles = append(p.Profiles, out)
	}
	if len(p.Profiles) == 0 {
		return nil, ErrNoProfile
	}
	if err := p.measure(); err != nil {
		return nil, err
	}
	named := namesOn(m, number)
	if only != "" {
		near := drawing.Box{Min: p.Origin.Scale(-1), Max: plane.Vec{X: p.Wide, Y: p.High}.Sub(p.Origin)}.Grown(clear)
		named = slices.DeleteFunc(named, func(f feature) bool { return !near.Holds(f.at) })
	}
	p.settle(named)
	p.mark(named)
	return p, nil
}

// measure finds the extents of the part, in its own axes, and which profiles give the datums.
func (p *Part) measure() error {
	all := drawing.NoBox()
	for i := range p.Profiles {
		pr := &p.Profiles[i]
		for _, l := range pr.loops {
			pr.box = pr.box.Join(l.path(plane.Vec{}).Bounds())
		}
		if pr.box.Min.X < p.Profiles[p.Left].box.Min.X-same {
			p.Left = i
		}
		if pr.box.Min.Y < p.Profiles[p.Low].box.Min.Y-same {
			p.Low = i
		}
		all = all.Join(pr.box)
	}
	p.Wide, p.High = all.Size()
	if !(p.Wide <= Longest) || !(p.High <= Longest) || !(math.Abs(all.Min.X) <= 1e9) || !(math.Abs(all.Min.Y) <= 1e9) {
		return fmt.Errorf("it is %.4g m long: no template is made beyond %.4g m", max(p.Wide, p.High)/1000, Longest/1000)
	}
	p.Origin = all.Min.Scale(-1)
	return nil
}

// settle moves the profiles from the part's own axes to the datums.
func (p *Part) settle(named []feature) {
	for i := range p.Profiles {
		pr := &p.Profiles[i]
		for k := range pr.loops {
			pr.loops[k] = pr.loops[k].moved(p.Origin)
		}
		pr.box = drawing.Box{Min: pr.box.Min.Add(p.Origin), Max: pr.box.Max.Add(p.Origin)}
	}
	for i := range named {
		named[i].at = named[i].at.Add(p.Origin)
		if p.OriginAt == "" && named[i].Kind == Centre && named[i].at.Sub(p.Origin).Len() <= same {
			p.OriginAt = named[i].Name
		}
	}
}
