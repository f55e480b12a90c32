package template

import (
	"bytes"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"barover/render/drawing"
	"barover/render/pdf"
	"barover/render/svg"
	"barover/solver/outline"
	"barover/solver/plane"
)

// shapesOf are the paths of a layer whose label begins so.
func shapesOf(d *drawing.Drawing, layer, label string) (out []drawing.Shape) {
	for _, l := range d.Layers {
		if l.ID != layer {
			continue
		}
		for _, i := range l.Items {
			if s, ok := i.(drawing.Shape); ok && strings.HasPrefix(s.Label, label) {
				out = append(out, s)
			}
		}
	}
	return out
}

// textsOf are the texts of a layer.
func textsOf(d *drawing.Drawing, layer string) (out []string) {
	for _, l := range d.Layers {
		if l.ID != layer {
			continue
		}
		for _, i := range l.Items {
			if t, ok := i.(drawing.Text); ok {
				out = append(out, t.S)
			}
		}
	}
	return out
}

// register are the marks of a sheet by their names, mm of its paper.
func register(d *drawing.Drawing) map[string]plane.Vec {
	marks := map[string]plane.Vec{}
	for _, s := range shapesOf(d, "joints", "mark ") {
		marks[strings.TrimPrefix(s.Label, "mark ")] = s.Path[1].Centre
	}
	return marks
}

// joined lays sheets together by their marks alone, as somebody with scissors would, and returns where each lies against
// the first. It fails where marks that two sheets share do not all lie on one another.
func joined(t interface{ Fatalf(string, ...any) }, sheets []*drawing.Drawing) []plane.Vec {
	known := register(sheets[0])
	at := make([]plane.Vec, len(sheets))
	for i, d := range sheets[1:] {
		shared := 0
		marks := register(d)
		for name, m := range marks {
			k, ok := known[name]
			if !ok {
				continue
			}
			by := k.Sub(m)
			if shared++; shared == 1 {
				at[i+1] = by
			} else if by.Sub(at[i+1]).Len() > 1e-9 {
				t.Fatalf("sheet %d: marks shared with others lie %v and %v away", i+2, at[i+1], by)
			}
		}
		if shared < 2 {
			t.Fatalf("sheet %d shares %d marks with those before it", i+2, shared)
		}
		for name, m := range marks {
			known[name] = m.Add(at[i+1])
		}
	}
	return at
}

// TestTilesJoin: a circle and a square round it, whose edges cross many sheets, make up the same circle and square again
// when the sheets are laid mark on mark; what neighbours both show agrees.
func TestTilesJoin(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		side := rapid.Float64Range(420, 900).Draw(r, "side") // more than one sheet of A3
		high := rapid.Float64Range(250, 900).Draw(r, "high")
		paper := rapid.SampledFrom([]string{"A4", "A3"}).Draw(r, "paper")
		s := newShop(t)
		s.profile("plate", 5, s.box(0, 0, side, high), hole(s.disc(side/2, high/2, min(side, high)*0.8)))
		p := s.part()
		pages, err := p.Pages(options(paper))
		if err != nil {
			r.Fatal(err)
		}
		tiles := sheetsWithOutline(pages)
		if len(tiles) < 2 {
			r.Fatalf("one sheet holds %v × %v", side, high)
		}
		at := joined(r, tiles)
		covered, straight := map[int]bool{}, map[string][][2]float64{}
		var centre plane.Vec
		var radius float64
		for i, d := range tiles {
			for _, sh := range shapesOf(d, "profile-1", "") {
				lay(r, sh.Path, at[i], &centre, &radius, covered, straight)
			}
		}
		if math.Abs(radius-min(side, high)*0.4) > 1e-9 {
			r.Errorf("the hole's radius is %v, want %v", radius, min(side, high)*0.4)
		}
		if len(covered) != 3600 {
			r.Errorf("%d tenths of a degree of the circle are on the sheets, want all 3600", len(covered))
		}
		if len(straight) != 4 {
			r.Fatalf("the edges of the plate lie on %d lines: %v", len(straight), straight)
		}
		for line, pieces := range straight {
			slices.SortFunc(pieces, func(a, b [2]float64) int { return int(math.Copysign(1, a[0]-b[0])) })
			end := pieces[0][1]
			for _, q := range pieces[1:] {
				if q[0] > end+1e-9 {
					r.Errorf("line %s has a gap from %v to %v", line, end, q[0])
				}
				end = max(end, q[1])
			}
			if want := map[byte]float64{'x': high, 'y': side}[line[0]]; math.Abs(end-pieces[0][0]-want) > 1e-9 {
				r.Errorf("line %s is %v long, want %v", line, end-pieces[0][0], want)
			}
		}
	})
}

// sheetsWithOutline leaves out the sheets of the list.
func sheetsWithOutline(pages []*drawing.Drawing) (out []*drawing.Drawing) {
	for _, d := range pages {
		if len(textsOf(d, "whereabouts")) > 0 {
			out = append(out, d)
		}
	}
	return out
}

// lay notes which tenths of a degree of the circle a path covers, and which pieces of which upright and level lines.
func lay(r *rapid.T, p drawing.Path, by plane.Vec, centre *plane.Vec, radius *float64, covered map[int]bool, straight map[string][][2]float64) {
	var last, start plane.Vec
	for _, s := range p {
		to := s.To.Add(by)
		switch s.Op {
		case drawing.MoveTo:
			start = to
		case drawing.ArcTo:
			c := s.Centre.Add(by)
			arm := last.Sub(c)
			if *radius == 0 {
				*centre, *radius = c, arm.Len()
			}
			if c.Sub(*centre).Len() > 1e-9 || math.Abs(arm.Len()-*radius) > 1e-9 || math.Abs(to.Sub(c).Len()-*radius) > 1e-9 {
				r.Fatalf("an arc about %v of radius %v does not go on the one about %v of %v", c, arm.Len(), *centre, *radius)
			}
			from := math.Atan2(arm.Y, arm.X)
			for k := 0.0; k <= 1; k += 1 / math.Ceil(math.Abs(s.Sweep)*6000) {
				covered[(int(math.Floor((from+s.Sweep*k)*1800/math.Pi))+36000)%3600] = true
			}
		default:
			if s.Op == drawing.CloseTo {
				to = start
			}
			d := to.Sub(last)
			switch {
			case d.Len() < 1e-9:
			case math.Abs(d.X) < 1e-9:
				key := line("x", to.X)
				straight[key] = append(straight[key], [2]float64{min(last.Y, to.Y), max(last.Y, to.Y)})
			case math.Abs(d.Y) < 1e-9:
				key := line("y", to.Y)
				straight[key] = append(straight[key], [2]float64{min(last.X, to.X), max(last.X, to.X)})
			default:
				r.Fatalf("a line from %v to %v that is neither upright nor level", last, to)
			}
		}
		last = to
	}
}

func line(axis string, at float64) string { return axis + string(drawing.AppendNumber(nil, at, 7)) }

// TestFewestSheets: how many sheets parts take, counted by hand. An A4 sheet on its side has a window of 253 × 135 mm, an
// upright one of 166 × 222; neighbours share 10 mm, and 6 mm are left free round the part.
func TestFewestSheets(t *testing.T) {
	for _, c := range []struct {
		wide, high float64
		paper      string
		rows, cols int
		landscape  bool
	}{
		{240, 100, "A4", 1, 1, true}, {100, 200, "A4", 1, 1, false}, {241, 122, "A4", 1, 1, true}, {242, 100, "A4", 1, 2, true},
		{150, 500, "A4", 3, 1, false}, {700, 100, "A4", 1, 3, true}, {300, 300, "A4", 2, 2, false}, {300, 300, "A2", 1, 1, false},
		{480, 250, "A4", 2, 2, true}, {300, 200, "A3", 1, 1, true},
	} {
		s := newShop(t)
		s.profile("plate", 5, s.box(0, 0, c.wide, c.high))
		got, err := s.part().tile(&Options{Paper: c.paper})
		if err != nil {
			t.Fatal(err)
		}
		if got.rows != c.rows || got.columns != c.cols || (got.paper.Wide > got.paper.High) != c.landscape {
			w, h := got.window.Size()
			t.Errorf("%v × %v on %s: %d rows, %d columns, landscape %v, window %.0f × %.0f; want %d, %d, %v",
				c.wide, c.high, c.paper, got.rows, got.columns, got.paper.Wide > got.paper.High, w, h, c.rows, c.cols, c.landscape)
		}
	}
}

// TestSheetNames: what each sheet says of itself and of its neighbours.
func TestSheetNames(t *testing.T) {
	s := newShop(t)
	s.profile("plate", 5, s.box(0, 0, 300, 250))
	pages, err := s.part().Pages(options("A4"))
	if err != nil {
		t.Fatal(err)
	}
	if len(pages) != 5 {
		t.Fatalf("%d sheets, want two rows of two and a list", len(pages))
	}
	for i, want := range []string{"1 of 5, row A column 1", "2 of 5, row A column 2", "3 of 5, row B column 1", "4 of 5, row B column 2"} {
		if got := textsOf(pages[i], "whereabouts"); got[0] != want {
			t.Errorf("sheet %d says %q, want %q", i+1, got[0], want)
		}
	}
	if got := textsOf(pages[0], "joints"); !slices.Contains(got, "fold or cut; joins row A column 2") || !slices.Contains(got, "fold or cut; joins row B column 1") || slices.Contains(got, "joins row A column 1") {
		t.Errorf("sheet 1 joins %q", got)
	}
	for n, want := range map[int]string{0: "A", 25: "Z", 26: "AA", 27: "AB", 701: "ZZ"} {
		if got := letters(n); got != want {
			t.Errorf("row %d is %s, want %s", n, got, want)
		}
	}
}

// TestNarrowSheetsSayAll: on the narrowest paper, with more sheets than nine, no word of how a sheet is used is cut off.
func TestNarrowSheetsSayAll(t *testing.T) {
	s := newShop(t)
	s.profile("plate", 5, s.box(0, 0, 600, 600))
	o := options("A4")
	o.Sheet.Oriented, o.Sheet.Portrait = true, true
	pages, err := s.part().Pages(o)
	if err != nil {
		t.Fatal(err)
	}
	if len(pages) < 11 {
		t.Fatalf("only %d sheets", len(pages))
	}
	for i, d := range pages[:len(pages)-1] {
		got := textsOf(d, "whereabouts")
		if len(got) != 3 || !strings.HasPrefix(got[0], strconv.Itoa(i+1)+" of ") || got[1] != "print at 100 %, mark on mark" || got[2] != "try the check lengths both ways" {
			t.Errorf("sheet %d says %q", i+1, got)
		}
	}
}

// TestJointsStayOffCentres: wherever a plate's holes lie, as long as the sheets have room to be moved, no joint comes nearer to one
// than offCentre, and the plate stands on the sheets with its margin all round.
func TestJointsStayOffCentres(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s := newShop(t)
		wide, high := rapid.Float64Range(230, 300).Draw(r, "wide"), rapid.Float64Range(20, 150).Draw(r, "high")
		shapes := []outline.Shape{s.box(0, 0, wide, high), hole(s.disc(wide/2, high/2, 6))}
		for range rapid.IntRange(0, 2).Draw(r, "holes") {
			shapes = append(shapes, hole(s.disc(rapid.Float64Range(5, wide-5).Draw(r, "x"), high/4, 4)))
		}
		s.profile("plate", 5, shapes...)
		p := s.part()
		paper, _ := drawing.PaperNamed("A4", false)
		tl := p.lay(paper, windowOf(paper.Wide, paper.High))
		if tl.columns != 2 {
			return
		}
		if tl.corner.X > -clear+1e-6 || tl.corner.X+tl.pitch().X*2+overlap < p.Wide+clear-1e-6 {
			r.Fatalf("the sheets reach from %v over %v, the plate is %v wide", tl.corner.X, tl.pitch().X*2+overlap, p.Wide)
		}
		off := func(joint float64) float64 {
			least := offCentre
			for i := range p.Marks {
				least = min(least, math.Abs(joint-p.Marks[i].At.X))
			}
			return least
		}
		// Any place of the joint that leaves the margin, by brute force.
		slack, middle, most := tl.pitch().X*2+overlap-p.Wide-2*clear, p.Wide/2, 0.0
		for d := -slack / 2; d <= slack/2; d += 0.01 {
			most = max(most, off(middle+d))
		}
		if got := off(tl.joint(1, 0).X); got < most-0.5 {
			r.Fatalf("the joint at %v is %v off the nearest centre; %v can be had", tl.joint(1, 0).X, got, most)
		}
	})
}

// TestEverySheetHasItsFurniture: check lengths of true length both ways, the cautions, and nothing beyond the paper.
func TestEverySheetHasItsFurniture(t *testing.T) {
	s := newShop(t)
	s.profile("plate", 5, s.box(0, 0, 300, 250), hole(s.disc(100, 100, 30)))
	p := s.part()
	pages, err := p.Pages(options("A4"))
	if err != nil {
		t.Fatal(err)
	}
	whole, err := p.Whole(options("A4"))
	if err != nil {
		t.Fatal(err)
	}
	for i, d := range append(pages, whole) {
		var level, upright []float64
		for _, s := range shapesOf(d, "check-lengths", "") {
			v := s.Path[1].To.Sub(s.Path[0].To)
			level, upright = append(level, v.X), append(upright, v.Y)
		}
		for _, long := range []float64{100, 101.6} {
			near := func(v float64) bool { return math.Abs(v-long) < 1e-9 }
			if !slices.ContainsFunc(level, near) || !slices.ContainsFunc(upright, near) {
				t.Errorf("sheet %d: no check lengths of %v mm both ways: %v, %v", i+1, long, level, upright)
			}
		}
		if all := strings.Join(textsOf(d, "title"), "\n"); !strings.Contains(all, "Ideal rigid geometry") || !strings.Contains(all, "1:1") {
			t.Errorf("sheet %d lacks cautions or scale: %s", i+1, all)
		}
		paper := drawing.Box{Max: plane.Vec{X: d.Width, Y: d.Height}}
		for _, l := range d.Layers {
			for _, item := range d.Sound(l) {
				b := drawing.Box{}
				switch it := item.(type) {
				case drawing.Shape:
					b = it.Path.Bounds()
				case drawing.Text:
					b = it.Box()
				}
				if !paper.Holds(b.Min) || !paper.Holds(b.Max) {
					t.Errorf("sheet %d, layer %s: %v reaches beyond the paper", i+1, l.ID, item)
				}
			}
		}
	}
}

// TestLabelsKeepClear: no two labels lie on one another, and none on an outline, as long as there is room.
func TestLabelsKeepClear(t *testing.T) {
	s := newShop(t)
	s.profile("plate", 5, s.box(-10, -40, 110, 40), hole(s.disc(0, 0, 10)), hole(s.disc(100, 0, 10)), hole(s.disc(50, 0, 40)), hole(s.disc(50, 30, 5)))
	s.profile("boss", 9, s.disc(0, 0, 30), hole(s.disc(0, 0, 10)))
	p := s.part()
	pages, err := p.Pages(options("A3"))
	if err != nil {
		t.Fatal(err)
	}
	var boxes []drawing.Box
	var said []string
	for _, l := range pages[0].Layers {
		if l.ID != "labels" {
			continue
		}
		for _, i := range l.Items {
			if x, ok := i.(drawing.Text); ok {
				boxes, said = append(boxes, x.Box()), append(said, x.S)
			}
		}
	}
	for _, want := range []string{"no 1, shaft", "hole 10 dia", "hole 40 dia", "hole 5 dia", "arm.plate, 5 thick", "arm.boss, 9 thick"} {
		if !slices.Contains(said, want) {
			t.Errorf("nothing says %q: %q", want, said)
		}
	}
	for i, b := range boxes {
		for k, c := range boxes[:i] {
			if b.Grown(-0.6).Meets(c.Grown(-0.6)) {
				t.Errorf("%q and %q lie on one another", said[i], said[k])
			}
		}
		for _, layer := range []string{"profile-1", "profile-2"} {
			for _, sh := range shapesOf(pages[0], layer, "") {
				runs, _ := sh.Path.Flat(0.01)
				for _, run := range runs {
					for n := 1; n < len(run); n++ {
						if b.Passed(run[n-1], run[n]) {
							t.Errorf("%q lies on an outline of %s", said[i], layer)
							n = len(run)
						}
					}
				}
			}
		}
	}
}

// TestSameBytes: the same part gives the same files.
func TestSameBytes(t *testing.T) {
	var before [2][]byte
	for range 2 {
		s := newShop(t)
		s.profile("plate", 5, s.box(0, 0, 300, 250), hole(s.disc(100, 100, 30)), hole(s.strip(150, 50, 200, 70, 8, 8, true)))
		s.profile("boss", 9, s.disc(100, 100, 60), hole(s.disc(100, 100, 30)))
		p := s.part()
		pages, err := p.Pages(options("A4"))
		if err != nil {
			t.Fatal(err)
		}
		whole, err := p.Whole(options("A4"))
		if err != nil {
			t.Fatal(err)
		}
		now := [2][]byte{pdf.Bytes(pages...), svg.Bytes(whole)}
		for i := range now {
			if before[i] != nil && !bytes.Equal(before[i], now[i]) {
				t.Errorf("file %d differs from one time to the next", i)
			}
		}
		before = now
	}
}

// TestVeryManyHoles: a plate of hundreds of holes is drawn, with every one in the list.
func TestVeryManyHoles(t *testing.T) {
	s := newShop(t)
	shapes := []outline.Shape{s.box(0, 0, 660, 330)}
	for i := range 30 {
		for k := range 16 {
			shapes = append(shapes, hole(s.disc(20+float64(i)*21, 15+float64(k)*20, 8)))
		}
	}
	s.profile("plate", 5, shapes...)
	p := s.part()
	pages, err := p.Pages(options("A4"))
	if err != nil {
		t.Fatal(err)
	}
	listed := 0
	for _, d := range pages {
		for _, x := range textsOf(d, "list") {
			if x == "8 dia" {
				listed++
			}
		}
	}
	if listed != 480 {
		t.Errorf("%d holes stand in the list, want 480", listed)
	}
}
