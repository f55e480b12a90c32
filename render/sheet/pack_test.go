package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"barover/render/drawing"
	"barover/render/office"
	"barover/solver"
	"barover/solver/plane"
)

// crowded is the mill with so many answers to clear lines, of all its pairs again and again.
func crowded(t testing.TB, answers int) *Engine {
	e := mill(t)
	e.Problem.Checks, e.Result.Findings = nil, nil
	for i := range answers {
		a, b := i%len(e.Problem.Profiles), (i*7+3+i/len(e.Problem.Profiles))%len(e.Problem.Profiles)
		e.Problem.Checks = append(e.Problem.Checks, solver.Check{Kind: solver.Clear, Stmt: i, A: a, B: b})
		y := float64(i % 13)
		e.Result.Findings = append(e.Result.Findings, solver.Finding{Check: i, AtLeast: 1, AtMost: math.NaN(), Least: 0.3 * float64(i-4),
			Greatest: math.NaN(), Near: [2]plane.Vec{{Y: y}, {Y: y + 1}}, OK: i > 7, Sure: solver.Proved})
	}
	return e
}

// TestNothingOverAnything: on further sheets of any paper pieces stand in the room, none over another, in their order, and
// all of each is there once.
func TestNothingOverAnything(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		paper := rapid.SampledFrom(append(drawing.Papers(false), drawing.Papers(true)...)).Draw(r, "paper")
		b := &Book{l: on(paper, table{}), s: &scene{}}
		type drawn struct{ section, from, to int }
		var got []drawn
		var boxes []drawing.Box
		var all []section
		var want []int
		note := func(i, from, to int, box drawing.Box) {
			got, boxes = append(got, drawn{i, from, to}), append(boxes, box)
		}
		for i := range rapid.IntRange(1, 5).Draw(r, "sections") {
			n := rapid.IntRange(0, 90).Draw(r, "n")
			want = append(want, n)
			name := fmt.Sprint("s", i)
			switch rapid.IntRange(0, 2).Draw(r, "kind") {
			case 0:
				c := panelled{n: n, wide: 80, high: 62, columns: n / 2}
				c.draw = func(_ *view, box drawing.Box, k int) { note(i, k, k+1, box) }
				all = append(all, c.section(name, name, asShown))
			case 1:
				rows := make([]office.Row, n)
				for k := range rows {
					rows[k].Cells = []string{name + " " + fmt.Sprint(k)}
				}
				c := tabled{Table: office.Table{Columns: []office.Column{{Head: "one", Most: true}}, Rows: rows}}
				s := c.section(name, name)
				deal := s.deal
				s.deal = func(wide, high, whole float64) (piece, bool) {
					p, ok := deal(wide, high, whole)
					draw := p.draw
					p.draw = func(v *view, box drawing.Box) {
						l := v.d.Layer("answers", "Answers")
						n := len(l.Items)
						draw(v, box)
						for _, item := range l.Items[n:] {
							row := 0
							if t, ok := item.(drawing.Text); !ok {
								continue
							} else if k, _ := fmt.Sscanf(t.S, name+" %d", &row); k == 1 {
								got = append(got, drawn{i, row, row + 1})
							}
						}
					}
					return p, ok
				}
				all = append(all, s)
			default:
				left := n
				all = append(all, section{kind: name, short: name, left: func() bool { return left > 0 }, deal: func(_, high, whole float64) (p piece, ok bool) {
					most := int(high / 5)
					if left > most && high < whole {
						return p, false
					}
					from, to := n-left, n-left+min(left, most)
					left = n - to
					return piece{least: 5 * float64(to-from), draw: func(_ *view, box drawing.Box) { note(i, from, to, box) }}, true
				}})
			}
		}
		b.addPacked(all...)
		b.sheets = make([]*drawing.Drawing, len(b.makers))
		room := roomOf(b.l)
		for i := range b.sheets {
			boxes = nil
			d := b.Sheet(i)
			for _, item := range d.Layer("answers", "").Items {
				if s, ok := item.(drawing.Shape); ok && s.Style == blockLine {
					boxes = append(boxes, s.Path.Bounds())
				}
			}
			if len(boxes) == 0 {
				r.Fatalf("sheet %d is empty", i)
			}
			for k, box := range boxes {
				if !room.Grown(1e-6).Holds(box.Min) || !room.Grown(1e-6).Holds(box.Max) {
					r.Fatalf("%v is not within %v", box, room)
				}
				for _, other := range boxes[:k] {
					if box.Grown(-1e-6).Meets(other) {
						r.Fatalf("%v and %v overlap", box, other)
					}
				}
			}
		}
		at := make([]int, len(want))
		last := 0
		for _, g := range got {
			if g.section < last || g.from != at[g.section] {
				r.Fatalf("after %v of section %d come %v", at, last, g)
			}
			last, at[g.section] = g.section, g.to
		}
		if !slices.Equal(at, want) {
			r.Fatalf("drawn %v, want %v", at, want)
		}
	})
}

// TestFewerSheetsOnLargePaper: what takes many sheets of A4 takes few of A1, and what there is room for stands together.
func TestFewerSheetsOnLargePaper(t *testing.T) {
	last := math.MaxInt
	for _, c := range []struct {
		paper string
		most  int
	}{{"A4", 12}, {"A3", 6}, {"A2", 4}, {"A1", 4}, {"A0", 4}} {
		o := options()
		o.Paper = c.paper
		n := NewBook(crowded(t, 90), o).Len()
		if n > last || n > c.most {
			t.Errorf("%d sheets of %s, want no more than %d", n, c.paper, c.most)
		}
		last = n
	}
	o := options()
	o.Paper = "A1"
	b := NewBook(mill(t), o)
	l := texts(b.Sheet(b.Len() - 1))
	if b.Len() != 2 || !has(l["title"], "and end view, across the engine") || !has(l["across"], "datum") {
		t.Errorf("%q", l)
	}
}

// TestSheetOfOneKind: it has that kind's own title and scale.
func TestSheetOfOneKind(t *testing.T) {
	one, two := &section{kind: "Across the engine", short: "across the engine", scale: "2:1"}, &section{kind: "Answers", short: "answers"}
	three := &section{kind: "Places", short: "places", scale: asShown}
	for _, c := range []struct {
		pieces      []piece
		kind, scale string
	}{
		{[]piece{{section: one}, {section: one}}, "Across the engine", "2:1"},
		{[]piece{{section: two}}, "Answers", "–"},
		{[]piece{{section: two}, {section: one}}, "Answers, across the engine", "2:1"},
		{[]piece{{section: two}, {section: three}, {section: one}}, "Answers, places, across the engine", "as shown"},
	} {
		if kind, scale := kindOf(c.pieces), scaleOf(c.pieces); kind != c.kind || scale != c.scale {
			t.Errorf("%q %q, want %q %q", kind, scale, c.kind, c.scale)
		}
	}
}

// TestShared: each piece has what it asks and no more than it can use, and nothing is left over that one could use.
func TestShared(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		var pieces []piece
		least, most := 0.0, 0.0
		for range rapid.IntRange(1, 8).Draw(r, "n") {
			p := piece{least: rapid.Float64Range(0, 100).Draw(r, "least")}
			p.most = p.least + rapid.Float64Range(-10, 100).Draw(r, "more")
			pieces = append(pieces, p)
			least, most = least+p.least, most+math.Max(p.least, p.most)
		}
		whole := least + rapid.Float64Range(0, 300).Draw(r, "over")
		sum := 0.0
		for i, h := range shared(pieces, whole) {
			if p := pieces[i]; h < p.least-1e-9 || h > math.Max(p.least, p.most)+1e-9 {
				r.Fatalf("%+v has %v", p, h)
			}
			sum += h
		}
		if want := math.Min(whole, most); math.Abs(sum-want) > 1e-6 {
			r.Fatalf("%v of %v shared out", sum, want)
		}
	})
}

// TestFiguresStandNearTheirBands: however wide the sheet, the figures of the strip across the engine are not far right of its bands.
func TestFiguresStandNearTheirBands(t *testing.T) {
	o := options()
	o.Paper, o.Oriented = "A0", true
	last, ends := 0.0, 0.0
	for _, d := range NewBook(mill(t), o).Sheets() {
		for _, i := range d.Layer("across", "").Items {
			switch i := i.(type) {
			case drawing.Shape:
				if strings.Contains(i.Label, ".") {
					last = max(last, i.Path.Bounds().Max.X)
				}
			case drawing.Text:
				if i.Anchor == drawing.End {
					ends = max(ends, i.At.X)
				}
			}
		}
	}
	if last == 0 || ends > last+acrossFree+44 {
		t.Errorf("figures end at %.1f mm, bands at %.1f", ends, last)
	}
}

// TestStripFillsTheFoot: what may come early stands at the foot of a sheet where what is before it in order has no room, and nowhere
// else out of its turn.
func TestStripFillsTheFoot(t *testing.T) {
	b := &Book{l: on(drawing.Papers(true)[0], table{}), s: &scene{}}
	_, whole := roomOf(b.l).Size()
	var got []string
	block := func(name string, high float64, early bool) section {
		left := true
		return section{kind: name, short: name, early: early, left: func() bool { return left }, deal: func(_, room, _ float64) (p piece, ok bool) {
			if high > room {
				return p, false
			}
			left = false
			return piece{least: high, draw: func(*view, drawing.Box) { got = append(got, name) }}, true
		}}
	}
	b.addPacked(block("fouls", whole/2, false), block("views", whole, false), block("strip", whole/3, true), block("table", whole/3, false))
	b.sheets = make([]*drawing.Drawing, len(b.makers))
	for i := range b.sheets {
		b.Sheet(i)
		got = append(got, "|")
	}
	if want := []string{"fouls", "strip", "|", "views", "|", "table", "|"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}
