package template

import (
	"strconv"
	"strings"

	"barover/render/dxf"
	"barover/solver/plane"
)

// Colours of layers, by the format's own numbers.
const (
	dxfHole   = 1 // red
	dxfNote   = 3 // green
	dxfCentre = 5 // blue
	dxfBlack  = 7 // black on white
)

// File is the part as a file for a cutting firm, in the unit: OUTLINE and HOLES to be cut (a pair of layers for each
// profile where there are several), CENTRES to be marked, NOTES to be read. The datums are its x 0 and y 0.
func (p *Part) File(o Options, inches bool) *dxf.File {
	f := dxf.TrueSize(inches, p.Name+", "+o.Sheet.Title)
	used := dxf.Names{}
	for i := range p.Profiles {
		pr := &p.Profiles[i]
		suffix := ""
		if len(p.Profiles) > 1 {
			suffix = "-" + pr.Short
		}
		outline, holes := f.Layer(used.Free("OUTLINE"+suffix), dxfBlack), f.Layer(used.Free("HOLES"+suffix), dxfHole)
		for _, l := range pr.loops {
			to := outline
			if l.hollow {
				to = holes
			}
			for i := range l.edges {
				to.Add(dxf.Edge(&l.edges[i]))
			}
		}
	}
	centres, notes := f.Layer("CENTRES", dxfCentre), f.Layer("NOTES", dxfNote)
	centres.Centre = true
	for i := range p.Marks {
		m := &p.Marks[i]
		centres.Add(dxf.Point{At: m.At})
		centres.Add(dxf.Text{At: m.At.Add(plane.Vec{X: 1, Y: 1}), Height: 2, S: strconv.Itoa(m.Number)})
	}
	p.notes(notes, o, f.Unit())
	return f
}

// notes writes what must be read beside the part: what it is, its unit and datums, the list, and check lengths in both
// ways.
func (p *Part) notes(l *dxf.Layer, o Options, unit string) {
	const high, step = 2.5, 4.5
	g := pages{Part: p, o: &o}
	words := o.Sheet.Words
	lines := []string{
		p.Name + ", " + o.Sheet.Title,
		o.Sheet.File + " (" + o.Sheet.Values + ")",
		"TRUE SIZE. ONE UNIT OF THIS FILE IS " + strings.ToUpper(unit),
		"places: " + p.Datums(words.Length, words.Size),
	}
	for i := range p.Profiles {
		lines = append(lines, p.Profiles[i].Name+", "+words.Size(p.Profiles[i].Thick())+" thick")
	}
	narrow := false
	for _, r := range p.Rows() {
		s := strconv.Itoa(r.Number) + ": " + words.Length(r.At.X) + ", " + words.Length(r.At.Y) + "  " + g.sized(r.Feature)
		if r.Narrow {
			s += " *"
			narrow = true
		}
		for _, name := range append(r.Profiles, r.Names...) {
			s += ", " + name
		}
		lines = append(lines, s)
	}
	if narrow {
		lines = append(lines, NarrowNote)
	}
	lines = append(lines, Notes[0])
	y := -25.0
	for _, t := range lines {
		l.Add(dxf.Text{At: plane.Vec{Y: y}, Height: high, S: t})
		y -= step
	}
	p.checkLengths(l)
}

// checkLengths draws 100 mm and 4 in both ways, below the part and to its left.
func (p *Part) checkLengths(l *dxf.Layer) {
	for i, c := range []struct {
		long float64
		name string
	}{{100, "100 mm"}, {101.6, "4 in"}} {
		off := -8 - 6*float64(i)
		for _, u := range []plane.Vec{{X: 1}, {Y: 1}} {
			a := plane.Vec{X: u.Y * off, Y: u.X * off}
			b := a.Add(u.Scale(c.long))
			l.Add(dxf.Line{A: a, B: b})
			for _, end := range []plane.Vec{a, b} {
				l.Add(dxf.Line{A: end, B: end.Add(plane.Vec{X: u.Y * 2, Y: u.X * 2})})
			}
		}
		l.Add(dxf.Text{At: plane.Vec{X: c.long + 2, Y: off}, Height: 2.5, S: c.name},
			dxf.Text{At: plane.Vec{X: off, Y: c.long + 2}, Height: 2.5, S: c.name})
	}
}
