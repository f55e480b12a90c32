package sweep

import (
	"math"

	"barover/solver/plane"
)

// stops chooses places to stop at: the first, the last, and as few between as leave the way of every mark within tol of
// the straight line between stops. A crosshead that slides needs two, and so does a disc that turns about its own centre.
func (p Piece) stops(at []plane.Placement, tol float64) (stops []int) {
	w := p.way(at)
	for i := 0; i < len(at); {
		stops = append(stops, i)
		if i == len(at)-1 {
			break
		}
		to := i + 1
		for to+1 < len(at) && to-i < mostSkipped && w.straight(i, to+1, tol) {
			to++
		}
		i = to
	}
	return stops
}

// mostSkipped bounds the places between two stops, and with it the work of finding them.
const mostSkipped = 64

// way is where a piece goes.
type way struct {
	at    []plane.Placement
	marks []plane.Vec // what is to stay near its chords, in the part's axes
	c     plane.Vec   // a circle round the marks
	r     float64
	far   int // the mark that last went too far from its chord: the likeliest to do so again
}

func (p Piece) way(at []plane.Placement) *way {
	w := &way{at: at}
	for _, m := range p.Marks {
		if m.R > 0 && m.Sweep < 2*math.Pi {
			m.C = m.C.Add(plane.Polar(m.From + m.Sweep/2).Scale(m.R))
		}
		w.marks = append(w.marks, m.C)
		w.c = w.c.Add(m.C)
	}
	w.c = w.c.Scale(1 / float64(len(w.marks)))
	for _, m := range w.marks {
		w.r = max(w.r, m.Sub(w.c).Len())
	}
	return w
}

// straight reports whether every mark's way from a to b stays within tol of its chord.
func (w *way) straight(a, b int, tol float64) bool {
	if w.surely(a, b, tol) {
		return true
	}
	for k := range w.marks {
		if k = (k + w.far) % len(w.marks); !w.near(w.marks[k], a, b, tol) {
			w.far = k
			return false
		}
	}
	return true
}

// near is straight for one mark.
func (w *way) near(mark plane.Vec, a, b int, tol float64) bool {
	from := w.at[a].Out(mark)
	chord := w.at[b].Out(mark).Sub(from)
	square := chord.Dot(chord)
	for _, p := range w.at[a+1 : b] {
		d := p.Out(mark).Sub(from)
		if square > 0 {
			d = d.Sub(chord.Scale(max(0, min(1, chord.Dot(d)/square))))
		}
		if !(d.Dot(d) <= tol*tol) {
			return false
		}
	}
	return true
}

// surely reports that all of the circle round the marks stays that near, which is soon told: where all places are taken
// at the same share of their chords, how far they are off goes linearly with where they lie in the circle. The share is
// that which makes the least of it.
func (w *way) surely(a, b int, tol float64) bool {
	from, turned := w.at[a].Out(w.c), w.at[a].Dir
	chord, turn := w.at[b].Out(w.c).Sub(from), w.at[b].Dir.Sub(turned)
	square := chord.Dot(chord) + w.r*w.r*turn.Dot(turn)
	for _, p := range w.at[a+1 : b] {
		d, t := p.Out(w.c).Sub(from), p.Dir.Sub(turned)
		if square > 0 {
			share := max(0, min(1, (chord.Dot(d)+w.r*w.r*turn.Dot(t))/square))
			d, t = d.Sub(chord.Scale(share)), t.Sub(turn.Scale(share))
		}
		if !(math.Sqrt(d.Dot(d))+w.r*math.Sqrt(t.Dot(t)) <= tol) {
			return false
		}
	}
	return true
}
