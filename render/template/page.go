package template

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"barover/render/drawing"
	"barover/render/office"
	"barover/render/sheet"
	"barover/solver/outline"
	"barover/solver/plane"
)

// Options are what a template says beside the part. Of Words, Length gives places, Size widths and diameters.
type Options struct {
	Sheet sheet.Options // Title, File, Values and Words; the paper's orientation where it is asked for
	Paper string        // A4 … A0
}

// pages is a template being drawn.
type pages struct {
	*Part
	o     *Options
	lines []*drawing.Style // of each profile
	list  list
}

func (p *Part) pages(o *Options) *pages {
	g := &pages{Part: p, o: o, lines: p.lines()}
	g.list = g.newList()
	return g
}

// Pages draws the part over as many sheets of the paper as it takes, and after them the list of what is to be set out,
// where that finds no room beside the part.
func (p *Part) Pages(o Options) ([]*drawing.Drawing, error) {
	if err := p.onPaper(); err != nil {
		return nil, err
	}
	t, err := p.tile(&o)
	if err != nil {
		return nil, err
	}
	g := p.pages(&o)
	tiles := t.tiles()
	if b, smaller, ok := g.list.beside(p, t); ok {
		t.window, t = smaller, p.lay(t.paper, smaller)
		tiles = t.tiles()
		o.Sheet.Sheets = 1
		d := g.sheet(tiles[0], 1)
		g.list.draw(d.Layer("list", "List"), b, g.list.entries)
		return []*drawing.Drawing{d}, nil
	}
	rest := g.list.split(t.window)
	o.Sheet.Sheets = len(tiles) + len(rest)
	var out []*drawing.Drawing
	for i := range tiles {
		out = append(out, g.sheet(tiles[i], i+1))
	}
	for _, entries := range rest {
		d, _ := g.blank(t.paper, len(out)+1, "template, list")
		g.list.draw(d.Layer("list", "List"), t.window, entries)
		out = append(out, d)
	}
	return out, nil
}

// onPaper says why a part is too large for paper.
func (p *Part) onPaper() error {
	if long := max(p.Wide, p.High); long > LongestOnPaper {
		return fmt.Errorf("it is %.4g m long: no template is made on paper beyond %.4g m; a .dxf file takes %.4g m",
			long/1000, LongestOnPaper/1000, Longest/1000)
	}
	return nil
}

// Whole draws the part as one drawing of full size, on as large a sheet as that takes.
func (p *Part) Whole(o Options) (*drawing.Drawing, error) {
	if err := p.onPaper(); err != nil {
		return nil, err
	}
	g := p.pages(&o)
	o.Sheet.Sheets = 1
	high := g.list.high(len(g.list.entries))
	// The sheet is measured by what the smallest has round its window.
	small, _ := drawing.PaperNamed("A4", false)
	w, h := windowOf(small.Wide, small.High).Size()
	const room = 45.0 // for labels
	paper := drawing.Paper{Name: "full size", Wide: small.Wide - w + max(w, p.Wide+2*room), High: small.High - h + max(110, p.High+2*room) + high}
	window := windowOf(paper.Wide, paper.High)
	below := drawing.Box{Min: window.Min, Max: plane.Vec{X: window.Min.X + listWide, Y: window.Min.Y + high}}
	window.Min.Y += high
	t := p.lay(paper, window)
	d := g.sheet(t.tiles()[0], 1)
	g.list.draw(d.Layer("list", "List"), below, g.list.entries)
	return d, nil
}

// blank begins a sheet: border, title block, check lengths.
func (g *pages) blank(paper drawing.Paper, number int, kind string) (*drawing.Drawing, *placer) {
	o := g.o.Sheet
	o.Sheet = number
	d := drawing.New(o.Title+", template", paper.Wide, paper.High)
	frame, block := office.Frame(paper.Wide, paper.High)
	office.Border(d, frame)
	office.TitleBlock(d, block, &o.Block, kind, "1:1", paper.Name)
	g.rulers(d)
	pl := &placer{}
	for _, m := range office.Marks(frame) {
		pl.avoid(drawing.Line(m.Min, m.Max))
	}
	return d, pl
}

// sheet draws one tile.
func (g *pages) sheet(n tile, number int) *drawing.Drawing {
	kind := "template"
	if name := n.name(); name != "" {
		kind += ", " + name
	}
	d, pl := g.blank(n.paper, number, kind)
	pl.room = drawing.Box{Min: n.own.Min.Add(n.by), Max: n.own.Max.Add(n.by)}.Grown(-1)
	g.outline(d, &n, pl)
	g.datums(d, &n, pl)
	g.crosses(d, &n, pl)
	g.joints(d, &n, pl)
	g.labels(d, &n, pl)
	g.whereabouts(d, &n, number)
	return d
}

// outline draws what of the profiles shows in the window.
func (g *pages) outline(d *drawing.Drawing, n *tile, pl *placer) {
	for i := range g.Profiles {
		pr := &g.Profiles[i]
		l := d.Layer("profile-"+strconv.Itoa(i+1), pr.Name)
		for _, loop := range pr.loops {
			if p := loop.seen(n.shows, n.by); len(p) > 0 {
				l.Draw(p, g.lines[i], pr.Name)
				pl.avoid(p)
			}
			if s, ok := loop.slot(); ok && loop.hollow {
				middle := s.middle()
				for _, m := range within(&middle, n.shows) {
					p := drawing.Path{{Op: drawing.MoveTo, To: m.A.Add(n.by)}}
					follow(&p, &m, n.by)
					d.Layer("centres", "Centres").Draw(p, centreLine, "middle of the slot")
					pl.avoid(p)
				}
			}
		}
	}
}

// crosses marks every centre; a hole's cross reaches over its edge.
func (g *pages) crosses(d *drawing.Drawing, n *tile, pl *placer) {
	l := d.Layer("centres", "Centres")
	for i := range g.Marks {
		m := &g.Marks[i]
		if !n.shows.Holds(m.At) {
			continue
		}
		at, arm := m.At.Add(n.by), 4.0
		pl.spots = append(pl.spots, drawing.Box{Min: at, Max: at}.Grown(1))
		for _, f := range m.Features {
			if f.Kind == Hole {
				arm = max(arm, f.Size/2+2.5)
			}
		}
		style := thin
		if arm > 12 {
			style = centreLine
		}
		var p drawing.Path
		for k := range 4 { // outwards, so that dashes meet in the middle
			u := plane.Polar(float64(k) * math.Pi / 2)
			end := at.Add(plane.Vec{X: math.Round(u.X), Y: math.Round(u.Y)}.Scale(arm))
			line := outline.Straight(at, end)
			for _, e := range within(&line, n.window) {
				p = append(p, drawing.Line(e.A, e.B)...)
			}
		}
		l.Draw(p, style, "centre "+strconv.Itoa(m.Number))
		pl.avoid(p)
	}
}

// datums shows from where places are measured.
func (g *pages) datums(d *drawing.Drawing, n *tile, pl *placer) {
	l := d.Layer("datums", "Datums")
	tick := func(a, b plane.Vec, name string, anchor drawing.Anchor) {
		if !n.own.Holds(a) || !n.own.Holds(b) {
			return
		}
		p := drawing.Line(a.Add(n.by), b.Add(n.by))
		l.Draw(p, thin, name)
		pl.avoid(p)
		t := drawing.Text{At: a.Add(n.by).Add(plane.Vec{X: 0.7, Y: 0.9}), Style: label, S: name}
		if a.Y == b.Y { // beyond the end of a level one
			t.Anchor, t.At.Y = anchor, t.At.Y-0.9-label.Height/2
			if t.At.X -= 1.4; anchor == drawing.Start {
				t.At = t.At.Add(b.Sub(a)).Add(plane.Vec{X: 1.4})
			}
		}
		if slices.ContainsFunc(pl.taken, t.Box().Meets) { // of a part of a millimetre
			return
		}
		l.Items = append(l.Items, t)
		pl.taken = append(pl.taken, t.Box())
	}
	tick(plane.Vec{Y: -5}, plane.Vec{Y: -1}, "x 0", drawing.Start)
	tick(plane.Vec{Y: g.High + 1}, plane.Vec{Y: g.High + 5}, "x 0", drawing.Start)
	tick(plane.Vec{X: -5}, plane.Vec{X: -1}, "y 0", drawing.End)
	tick(plane.Vec{X: g.Wide + 1}, plane.Vec{X: g.Wide + 5}, "y 0", drawing.Start)
}
