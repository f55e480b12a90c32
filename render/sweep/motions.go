package sweep

import (
	"maps"
	"math"

	"barover/solver/linkage"
	"barover/solver/plane"
)

// Stretches cuts motions, in which nil is a position that cannot be assembled, into those that are unbroken. What goes the same way in
// several, since no travel moves the part, is taken once.
func Stretches(motions [][]*linkage.Pose, part int) (stretches [][]*linkage.Pose) {
	var ways [][]plane.Placement
	add := func(run []*linkage.Pose) {
		way := wayOf(run, part)
		for _, have := range ways {
			if Same(have, way) {
				return
			}
		}
		if len(run) > 0 && (len(stretches) == 0 || moves(way)) {
			stretches, ways = append(stretches, run), append(ways, way)
		}
	}
	for _, m := range motions {
		from := 0
		for i, p := range m {
			if p == nil {
				add(m[from:i])
				from = i + 1
			}
		}
		add(m[from:])
	}
	return stretches
}

// Ways is where a part goes in stretches.
func Ways(stretches [][]*linkage.Pose, part int) (ways [][]plane.Placement) {
	for _, run := range stretches {
		ways = append(ways, wayOf(run, part))
	}
	return ways
}

func wayOf(stretch []*linkage.Pose, part int) []plane.Placement {
	way := make([]plane.Placement, len(stretch))
	for i, p := range stretch {
		way[i] = p.Part[part]
	}
	return way
}

// moves reports whether the places differ.
func moves(at []plane.Placement) bool {
	for i := range at {
		if !Same(at[:1], at[i:i+1]) {
			return true
		}
	}
	return false
}

// Same reports whether two ways are the same to the solver's own accuracy.
func Same(a, b []plane.Placement) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if !(a[i].Origin.Sub(b[i].Origin).Len() < 1e-6 && a[i].Dir.Sub(b[i].Dir).Len() < 1e-8) {
			return false
		}
	}
	return true
}

// Poser tells where everything stands. It is declared by its users, so that whatever has positions can be drawn. It reports
// false where the engine cannot be assembled. Nobody changes the pose afterwards. Several goroutines may ask at once.
type Poser interface {
	Pose(turn float64, travel []float64) (*linkage.Pose, bool)
}

// Play is an engine with one eye at the edge of its play, along x and along y; on a line the first is nil.
type Play [2]Poser

// Edges is where everything stands with one eye at the edge of its play, as Play has it.
type Edges [2]*linkage.Pose

// EdgesAt is where everything stands with each eye in turn at the edge of its play. It reports false where one of these engines cannot be
// assembled.
func EdgesAt(plays []Play, p *linkage.Pose) (edges []Edges, ok bool) {
	for _, play := range plays {
		var e Edges
		for k, of := range play {
			if of == nil {
				continue
			}
			if e[k], ok = of.Pose(p.Turn, p.Travel); !ok {
				return nil, false
			}
		}
		edges = append(edges, e)
	}
	return edges, true
}

// EdgesOver is EdgesAt at each position of motions, where it is known; by gives n pieces of work to as many workers as there are.
func EdgesOver(plays []Play, motions [][]*linkage.Pose, by func(n int, work func(i int))) map[*linkage.Pose][]Edges {
	each := make([]map[*linkage.Pose][]Edges, len(motions))
	by(len(motions), func(i int) {
		each[i] = map[*linkage.Pose][]Edges{}
		for _, p := range motions[i] {
			if p == nil {
				continue
			}
			if e, ok := EdgesAt(plays, p); ok {
				each[i][p] = e
			}
		}
	})
	all := map[*linkage.Pose][]Edges{}
	for _, m := range each {
		maps.Copy(all, m)
	}
	return all
}

// Standing is where a part stands at a pose, and what the edges of each play do to it there.
func Standing(p *linkage.Pose, part int, edges []Edges) Stand {
	s := Stand{Placement: p.Part[part]}
	for _, e := range edges {
		var shift Shift
		far := 0.0
		for k, off := range e {
			if off != nil {
				q := off.Part[part]
				shift[k] = Nudge{q.Origin.Sub(s.Origin), math.Atan2(s.Dir.Cross(q.Dir), s.Dir.Dot(q.Dir))}
				far = max(far, shift[k].By.Len(), math.Abs(shift[k].Turn))
			}
		}
		if far > leastShift {
			s.Shifts = append(s.Shifts, shift)
		}
	}
	return s
}

// leastShift is what solved places may be off by themselves, mm and rad.
const leastShift = 1e-7

// Stands is where a part stands in stretches with what its play does there. A stretch is cut where that is not known. There are none
// where no play moves the part.
func Stands(stretches [][]*linkage.Pose, part int, edges map[*linkage.Pose][]Edges) (out [][]Stand) {
	if len(edges) == 0 {
		return nil
	}
	off := false
	for _, stretch := range stretches {
		var run []Stand
		for _, p := range stretch {
			e, ok := edges[p]
			if !ok {
				out, run = append(out, run), nil
				continue
			}
			s := Standing(p, part, e)
			off = off || len(s.Shifts) > 0
			run = append(run, s)
		}
		out = append(out, run)
	}
	if !off {
		return nil
	}
	return out
}

// PathOf is the path of a point over a motion, broken where the engine cannot be assembled.
func PathOf(motion []*linkage.Pose, point int) (runs [][]plane.Vec) {
	var run []plane.Vec
	for _, p := range append(motion[:len(motion):len(motion)], nil) {
		if p != nil && point >= 0 && point < len(p.Point) {
			run = append(run, p.Point[point])
			continue
		}
		if len(run) > 1 {
			runs = append(runs, run)
		}
		run = nil
	}
	return runs
}
