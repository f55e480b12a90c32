package template

import (
	"fmt"
	"math"
	"strconv"

	"barover/render/drawing"
	"barover/render/office"
	"barover/solver/plane"
)

// Rooms of a sheet, mm.
const (
	aside     = 13.0 // left of the window, for the upright check lengths
	beneath   = 15.0 // under it, for the level ones
	clear     = 6.0  // round the part, at least
	overlap   = 10.0 // what two neighbouring sheets both show
	MostSheet = 200  // sheets that a part is spread over, at most
)

// tiling is how a part lies over the sheets: each has a window of one size, and neighbours overlap.
type tiling struct {
	paper         drawing.Paper
	window        drawing.Box // on each sheet
	rows, columns int
	corner        plane.Vec // of all that the windows show, lower left, from the datums
}

// windowOf is the room for the picture on a sheet.
func windowOf(width, height float64) drawing.Box {
	b := office.Room(width, height)
	return drawing.Box{Min: b.Min.Add(plane.Vec{X: aside, Y: beneath}), Max: b.Max.Sub(plane.Vec{X: 1, Y: 1})}
}

// tile lays the part over sheets of the paper, as they are asked for, or upright or on their side as takes fewer; of equal
// numbers the one that the part's own form suits.
func (p *Part) tile(o *Options) (tiling, error) {
	best, found, name := tiling{}, false, o.Paper
	for _, landscape := range []bool{p.Wide > p.High, p.Wide <= p.High} {
		if o.Sheet.Oriented && landscape == o.Sheet.Portrait {
			continue
		}
		paper, ok := drawing.PaperNamed(name, landscape)
		if !ok {
			return best, fmt.Errorf("there is no paper %s: take A4, A3, A2, A1 or A0", name)
		}
		t := p.lay(paper, windowOf(paper.Wide, paper.High))
		if !found || t.count() < best.count() {
			best, found = t, true
		}
	}
	if n := best.count(); n > MostSheet {
		return best, fmt.Errorf("it takes %d sheets of %s, and %d are the most: take larger paper", n, name, MostSheet)
	}
	return best, nil
}

// lay lays the part over sheets with that window: in the middle of them all, or so far from it that no line along which sheets are
// joined runs through a centre that is to be set out, or near it.
func (p *Part) lay(paper drawing.Paper, window drawing.Box) tiling {
	w, h := window.Size()
	t := tiling{paper: paper, window: window, rows: sheetsFor(p.High, h), columns: sheetsFor(p.Wide, w)}
	pitch := t.pitch()
	t.corner = plane.Vec{X: (p.Wide - pitch.X*float64(t.columns) - overlap) / 2, Y: (p.High - pitch.Y*float64(t.rows) - overlap) / 2}
	var across, up []float64
	for i := range p.Marks {
		across, up = append(across, p.Marks[i].At.X), append(up, p.Marks[i].At.Y)
	}
	t.corner.X += clearOf(across, t.joint(1, 0).X, pitch.X, t.columns-1, -t.corner.X-clear)
	t.corner.Y += clearOf(up, t.joint(0, 1).Y, pitch.Y, t.rows-1, -t.corner.Y-clear)
	return t
}

// offCentre is how far a joint stays from every centre where it can, mm: so far that the mark of a punch and the cross are whole.
const offCentre = 12.0

// clearOf is how far n joints, the first at a place and the others a pitch apart, are to be moved, by no more than most either way,
// so that they stay off centres: as little as that takes, or, where it cannot be had, to where they stay off farthest.
func clearOf(centres []float64, first, pitch float64, n int, most float64) (by float64) {
	const step = 0.5
	best := math.Inf(-1)
	for i := 0; float64(i)*step <= max(0, most); i++ {
		for _, d := range []float64{float64(i) * step, -float64(i) * step} {
			off := offCentre
			for k := range n {
				for _, c := range centres {
					off = math.Min(off, math.Abs(first+d+pitch*float64(k)-c))
				}
			}
			if off > best+1e-9 {
				best, by = off, d
			}
		}
		if best >= offCentre {
			break
		}
	}
	return by
}

// sheetsFor is how many windows a length needs.
func sheetsFor(length, window float64) int {
	if need := length + 2*clear; need > window {
		return int(math.Ceil((need-overlap)/(window-overlap) - 1e-9))
	}
	return 1
}

func (t *tiling) count() int { return t.rows * t.columns }

// pitch is from a sheet to its neighbour.
func (t *tiling) pitch() plane.Vec {
	w, h := t.window.Size()
	return plane.Vec{X: w - overlap, Y: h - overlap}
}

// joint is a crossing of the lines along which sheets are joined, counted from the lower left corner: the middle of what
// neighbours both show.
func (t *tiling) joint(column, row int) plane.Vec {
	pitch := t.pitch()
	return t.corner.Add(plane.Vec{X: overlap/2 + pitch.X*float64(column), Y: overlap/2 + pitch.Y*float64(row)})
}

// tile is one sheet of a tiling. Rows are lettered from above, columns numbered from the left.
type tile struct {
	*tiling
	column, row int         // row from below
	shows       drawing.Box // from the datums
	own         drawing.Box // up to the joints: what is not left to a neighbour
	by          plane.Vec   // from the datums to the paper
}

// tiles are the sheets, row by row from above.
func (t *tiling) tiles() (out []tile) {
	for row := t.rows - 1; row >= 0; row-- {
		for column := range t.columns {
			n := tile{tiling: t, column: column, row: row}
			low, high := t.joint(column, row), t.joint(column+1, row+1)
			n.shows = drawing.Box{Min: low, Max: high}.Grown(overlap / 2)
			n.own = drawing.Box{Min: low, Max: high}
			n.own = n.outer()
			n.by = t.window.Min.Sub(n.shows.Min)
			out = append(out, n)
		}
	}
	return out
}

// outer widens what a sheet has for its own to the window's edge where there is no neighbour.
func (n *tile) outer() drawing.Box {
	b := n.own
	if n.column == 0 {
		b.Min.X = n.shows.Min.X
	}
	if n.row == 0 {
		b.Min.Y = n.shows.Min.Y
	}
	if n.column == n.columns-1 {
		b.Max.X = n.shows.Max.X
	}
	if n.row == n.rows-1 {
		b.Max.Y = n.shows.Max.Y
	}
	return b
}

// name says which sheet it is: "row A column 2"; "" where there is but one.
func (n *tile) name() string {
	if n.count() == 1 {
		return ""
	}
	return "row " + letters(n.rows-1-n.row) + " column " + strconv.Itoa(n.column+1)
}

// letters counts A, B, … Z, AA, AB, …
func letters(i int) string {
	if i < 26 {
		return string(rune('A' + i))
	}
	return letters(i/26-1) + letters(i%26)
}
