// Package labels finds room for labels beside a picture: apart from one another and, where it can, off what is drawn.
//
// It knows boxes and lines, not what they say. A newcomer may change what a place costs; run the legibility test after
// that, which finds text over text.
package labels

import (
	"math"
	"slices"

	"barover/render/drawing"
	"barover/solver/plane"
)

// Room keeps labels apart from one another and, where it can, off the picture. Each is put where it costs least: near
// what it reports, outside the swept outline, its leader crossing no other.
type Room struct {
	Far     float64 // how long a leader is at most of a label that may be left out, mm: a long one hides more than it tells
	room    drawing.Box
	taken   []drawing.Box // by labels, and kept free of them
	written []drawing.Box // by labels
	leaders [][2]plane.Vec
	wide    int
	high    int
	ink     []int32 // sums of the cells' weights, below and to the left; nil where they are to be summed again
	weight  []uint8 // of each cell: covered, lined, or both
}

// What the weight of a cell is made of. A line through a word is worse than a tint behind it.
const (
	covered = 1
	lined   = 2
)

// inkCell is the side of the squares in which it is noted what the picture covers, mm.
const inkCell = 2.0

func New(room drawing.Box) *Room {
	l := &Room{Far: 50, room: room}
	if w, h := room.Size(); w > 0 && h > 0 {
		l.wide, l.high = int(min(w, 2000)/inkCell)+1, int(min(h, 2000)/inkCell)+1
	}
	l.weight = make([]uint8, l.wide*l.high)
	return l
}

// Cover notes that the area within closed runs, mm of paper, is covered.
func (l *Room) Cover(runs [][]plane.Vec) {
	l.ink = nil
	for row := range l.high {
		y := l.room.Min.Y + (float64(row)+0.5)*inkCell
		for _, s := range drawing.Stretches(runs, y) {
			if !(s[0] <= s[1]) || !(s[1] >= l.room.Min.X) {
				continue // beside the room, or no number
			}
			from := int(max(0, math.Floor((s[0]-l.room.Min.X)/inkCell)))
			to := int(min(float64(l.wide-1), math.Floor((s[1]-l.room.Min.X)/inkCell)))
			for i := from; i <= to; i++ {
				l.weight[row*l.wide+i] |= covered
			}
		}
	}
}

// Line notes that lines run along closed runs, mm of paper.
func (l *Room) Line(runs [][]plane.Vec) {
	l.ink = nil
	for _, run := range runs {
		for i, b := range run {
			a := run[(i+len(run)-1)%len(run)]
			n := int(min(2000, math.Ceil(b.Sub(a).Len()/inkCell*2)))
			for k := range n {
				p := a.Add(b.Sub(a).Scale(float64(k) / float64(n)))
				if l.room.Holds(p) {
					l.weight[l.cell(p.Y-l.room.Min.Y, l.high)*l.wide+l.cell(p.X-l.room.Min.X, l.wide)] |= lined
				}
			}
		}
	}
}

// share is how much of a box the picture covers, 0 to 1, and how much of it lines run through, to the weight of lines.
func (l *Room) share(b drawing.Box) float64 {
	if l.ink == nil {
		l.total()
	}
	x0, x1 := l.cell(b.Min.X-l.room.Min.X, l.wide), l.cell(b.Max.X-l.room.Min.X, l.wide)+1
	y0, y1 := l.cell(b.Min.Y-l.room.Min.Y, l.high), l.cell(b.Max.Y-l.room.Min.Y, l.high)+1
	at := func(x, y int) int32 { return l.ink[y*(l.wide+1)+x] }
	sum := at(x1, y1) - at(x0, y1) - at(x1, y0) + at(x0, y0)
	return float64(sum) / float64(max(1, (x1-x0)*(y1-y0)))
}

func (l *Room) cell(d float64, n int) int {
	return int(max(0, min(float64(n-1), d/inkCell)))
}

func (l *Room) total() {
	w := l.wide + 1
	l.ink = make([]int32, w*(l.high+1))
	for y := range l.high {
		row := int32(0)
		for x := range l.wide {
			row += int32(l.weight[y*l.wide+x])
			l.ink[(y+1)*w+x+1] = l.ink[y*w+x+1] + row
		}
	}
}

// Claim takes a box for a label; false, and nothing taken, if it meets another or leaves the room.
func (l *Room) Claim(b drawing.Box) bool {
	if !l.free(b) {
		return false
	}
	l.taken, l.written = append(l.taken, b), append(l.written, b)
	return true
}

func (l *Room) free(b drawing.Box) bool {
	if !l.room.Holds(b.Min) || !l.room.Holds(b.Max) {
		return false
	}
	b = b.Grown(0.5)
	b.Min.X, b.Max.X = b.Min.X-wordSpace, b.Max.X+wordSpace
	return !slices.ContainsFunc(l.taken, b.Meets)
}

// wordSpace is by how much more labels are apart along their lines, mm, so that two are not read as one.
const wordSpace = 1.3

// shelf is the level end of a leader, beside its label, mm.
const shelf = 2.5

// Spot is where a label goes: its box, and its leader from the target by the bend to the box.
type Spot struct {
	Box  drawing.Box
	Bend plane.Vec
	End  plane.Vec
	Left bool // the leader comes from the left, so that the text begins there
}

// shelf is the box round the level end of the leader.
func (s *Spot) shelf() drawing.Box { return drawing.BoxOf([]plane.Vec{s.Bend, s.End}).Grown(0.3) }

// Block keeps labels off a box without claiming it for one.
func (l *Room) Block(b drawing.Box) { l.taken = append(l.taken, b) }

// Beside keeps labels off those of another room for the same paper and off what that keeps free, and leaders apart.
func (l *Room) Beside(o *Room) {
	l.taken, l.written, l.leaders = append(l.taken, o.taken...), append(l.written, o.written...), append(l.leaders, o.leaders...)
}

// Place finds room for a label of w × h, mm, for what lies within ring, mm, of target; false if there is none.
// outward is the way in which it had best lie, and most the share of it, by weight, that may lie
// over the picture; where that is limited its leader strikes through no other either.
func (l *Room) Place(target plane.Vec, ring, w, h float64, outward plane.Vec, most float64) (Spot, bool) {
	var best Spot
	least := math.Inf(1)
	far := ring + 130
	if !math.IsInf(most, 1) {
		far = ring + l.Far
	}
	for r := ring + 5; r <= far; r += 4 {
		if r > least {
			break
		}
		for i := range 32 {
			d := plane.Polar(2 * math.Pi * float64(i) / 32)
			s := spotAt(target, target.Add(d.Scale(r)), w, h)
			if !l.free(s.Box) || !l.free(s.shelf()) {
				continue
			}
			hides := l.share(s.Box)
			if hides > most || !math.IsInf(most, 1) && l.strikes(target, s) {
				continue
			}
			cost := r + 200*hides + 4*(1-d.Dot(outward))
			if cost < least {
				cost += overLine * float64(l.over(target.Add(d.Scale(ring+ownLine)), s.Bend))
				if cost += l.crossed(target, s, least-cost); cost < least {
					best, least = s, cost
				}
			}
		}
	}
	if math.IsInf(least, 1) {
		return best, false
	}
	l.taken, l.written = append(l.taken, best.Box, best.shelf()), append(l.written, best.Box)
	l.leaders = append(l.leaders, [2]plane.Vec{target, best.Bend})
	return best, true
}

// What a leader costs for each cell with lines that it runs over and for each label that it runs through, and how far from its target, mm,
// the lines are those of what it tells of.
const (
	overLine    = 1.5
	throughText = 80.0
	ownLine     = 4.0
)

// over counts the cells with lines that a leader runs over.
func (l *Room) over(from, to plane.Vec) (n int) {
	way := to.Sub(from)
	steps := int(way.Len() / inkCell)
	for i := range steps {
		p := from.Add(way.Scale((float64(i) + 0.5) / float64(steps)))
		if l.room.Holds(p) && l.weight[l.cell(p.Y-l.room.Min.Y, l.high)*l.wide+l.cell(p.X-l.room.Min.X, l.wide)]&lined != 0 {
			n++
		}
	}
	return n
}

func spotAt(target, bend plane.Vec, w, h float64) Spot {
	s := Spot{Bend: bend, Left: bend.X >= target.X}
	dir := 1.0
	if !s.Left {
		dir = -1
	}
	s.End = plane.Vec{X: bend.X + dir*shelf, Y: bend.Y}
	x := s.End.X + dir*0.7
	if !s.Left {
		x -= w
	}
	s.Box = drawing.Box{Min: plane.Vec{X: x, Y: bend.Y - h/2}, Max: plane.Vec{X: x + w, Y: bend.Y + h/2}}
	return s
}

// crossed is what it costs that a leader crosses others or runs through labels, as far as that stays below most.
func (l *Room) crossed(target plane.Vec, s Spot, most float64) float64 {
	cost := 0.0
	for _, o := range l.leaders {
		if crosses(target, s.Bend, o[0], o[1]) {
			cost += 25
		}
		if s.Box.Passed(o[0], o[1]) {
			cost += throughText
		}
		if cost >= most {
			return cost
		}
	}
	for _, b := range l.taken {
		if b.Passed(target, s.Bend) || b.Passed(s.Bend, s.End) {
			cost += throughText
		}
		if cost >= most {
			return cost
		}
	}
	return cost
}

// strikes reports whether a leader runs through a label.
func (l *Room) strikes(target plane.Vec, s Spot) bool {
	return slices.ContainsFunc(l.written, func(b drawing.Box) bool { return b.Passed(target, s.Bend) || b.Passed(s.Bend, s.End) })
}

func crosses(a, b, c, d plane.Vec) bool {
	ab, cd := b.Sub(a), d.Sub(c)
	return ab.Cross(c.Sub(a))*ab.Cross(d.Sub(a)) < 0 && cd.Cross(a.Sub(c))*cd.Cross(b.Sub(c)) < 0
}
