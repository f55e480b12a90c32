package spread

import (
	"context"
	"math"
	"slices"
)

// passes is how often a walker goes through all its tolerances at most, and refined how often it tries places between the
// points of one line.
const (
	passes  = 4
	refined = 3
)

// walker is the search for the worst of one side by trial. It moves one tolerance after the other to where the side has
// least room, with the others unchanged, until that gains nothing more.
type walker struct {
	d       *side
	at      []float64
	room    float64 // there; NaN before it is known
	axes    []int   // the tolerances that it tries
	left    int     // number of lines that it may still go along
	keen    bool    // it tries places between the points wherever that may help, not only near the limit
	k       int     // number of the present axis
	idle    int     // lines since the last gain
	line    line
	between int // number of rounds between the points
	done    bool
}

func newWalker(d *side, at []float64, axes []int, times int) *walker {
	return &walker{d: d, at: slices.Clone(at), room: math.NaN(), axes: axes, left: times * len(axes), keen: times > 1, done: len(axes) == 0}
}

// walk moves walkers until all are done. In each round the engines that they need are solved together.
func (s *spread) walk(ctx context.Context, list []*walker) error {
	for {
		var places []place
		var who []*walker
		for _, w := range list {
			for _, x := range s.wants(w) {
				places = append(places, place{w.with(x), w.d})
				who = append(who, w)
			}
		}
		if len(places) == 0 {
			return nil
		}
		found, err := s.visit(ctx, places)
		if err != nil {
			return err
		}
		for i, f := range found {
			who[i].hear(places[i].at, f)
		}
	}
}

// axis returns the tolerance that a walker tries.
func (w *walker) axis() int { return w.axes[w.k%len(w.axes)] }

// with returns the place of a walker, with x for the tolerance that it tries.
func (w *walker) with(x float64) []float64 {
	at := slices.Clone(w.at)
	at[w.axis()] = x
	return at
}

// hear adds a result to a walker's line.
func (w *walker) hear(at []float64, f found) {
	p := point{at[w.axis()], f.room, math.NaN()}
	if f.slopes != nil {
		p.slope = f.slopes[w.axis()]
	}
	w.line = w.line.add(p)
}

// wants lists the values of its tolerance that a walker needs next: first both limits and the value itself, then places
// between. There are none when it is done.
func (s *spread) wants(w *walker) []float64 {
	for !w.done {
		if w.line == nil {
			w.line, w.between = make(line, 0, 8), 0
			return s.ends(w.axis(), w.at[w.axis()])
		}
		if w.between < refined && (w.between == 0 || w.keen || w.tight()) {
			w.between++
			if list := w.line.guesses(); len(list) > 0 {
				return list
			}
		}
		w.turn()
	}
	return nil
}

// ends lists the first points of a line: the limits of a tolerance, its value if it is between them, and its present
// place.
func (s *spread) ends(i int, now float64) []float64 {
	t := s.q.Tolerances[i]
	list := []float64{t.Value + t.Lower, t.Value + t.Upper}
	for _, x := range [2]float64{t.Value, now} {
		if x >= list[0] && x <= list[1] && !slices.Contains(list, x) {
			list = append(list, x)
		}
	}
	return list
}

// tight reports whether the least room on the line is less than half of the room with every dimension at its value. Only
// then is it worth more than one try between the points.
func (w *walker) tight() bool { return len(w.line) > 0 && w.line[w.line.least()].room < w.d.room/2 }

// turn moves to the place with least room on the line, and on to the next tolerance.
func (w *walker) turn() {
	w.idle++
	if len(w.line) > 0 {
		best := w.line[w.line.least()]
		if !(best.room >= w.room-rounding) {
			w.at[w.axis()], w.room, w.idle = best.x, best.room, 1
		}
	}
	w.line = nil
	w.k++
	w.left--
	w.done = w.idle > len(w.axes) || w.left <= 0
}
