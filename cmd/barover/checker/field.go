package checker

import (
	"errors"
	"math"
)

// A field is the engine's poses on a grid over the turn and every range, at one setting of the lists.
type field struct {
	s     *Sketch
	axes  []gridAxis // those that run through a range: the turn, if there is one, before the travels
	lists []float64  // travels of the lists at this setting; NaN at ranges
	poses []*Pose    // nil where the engine cannot be assembled
	fine  []*Pose    // those along one axis, closer where a part turns fast; nil until they are asked for
}

// A gridAxis is one range cut into steps.
type gridAxis struct {
	Axis
	travel int // -1: the turn
	n      int // places on it
	seed   int // the place nearest to where the sketch starts
}

func (a *gridAxis) at(i int) float64 {
	return a.From + (a.To-a.From)*float64(i)/float64(a.n-1)
}

func (a *gridAxis) step() float64 { return (a.To - a.From) / float64(a.n-1) }

// mostPoses is about the number of poses in a grid, and fewest the least number of places on an axis.
const (
	mostPoses = 1500
	fewest    = 7
)

// fields are the grids of a sketch, one for each setting of its lists.
func (s *Sketch) fields() (out []*field, err error) {
	start, err := s.Start()
	if err != nil {
		return nil, err
	}
	for _, lists := range s.settings() {
		f := &field{s: s, axes: s.gridAxes(), lists: lists}
		f.fill(start)
		if f.poses[f.index(f.seeds())] == nil {
			return nil, errors.New("a setting does not assemble")
		}
		out = append(out, f)
	}
	return out, nil
}

// settings is the product of the lists.
func (s *Sketch) settings() [][]float64 {
	out := [][]float64{{}}
	for _, t := range s.Travels {
		values := t.List
		if values == nil {
			values = []float64{math.NaN()}
		}
		var more [][]float64
		for _, o := range out {
			for _, v := range values {
				more = append(more, append(append([]float64(nil), o...), v))
			}
		}
		out = more
	}
	return out
}

// gridAxes cuts the ranges: an axis alone in degrees, several more coarsely, an angle more finely than a length.
func (s *Sketch) gridAxes() (axes []gridAxis) {
	if s.Turn != nil {
		axes = append(axes, gridAxis{Axis: *s.Turn, travel: -1})
	}
	for k, t := range s.Travels {
		if t.List == nil {
			axes = append(axes, gridAxis{Axis: t, travel: k})
		}
	}
	total := 1.0
	wish := make([]float64, len(axes))
	for i := range axes {
		wish[i] = 60
		if axes[i].Angle {
			wish[i] = math.Max(60, (axes[i].To-axes[i].From)*180/math.Pi)
		} else if len(axes) > 1 {
			wish[i] = 12
		}
		total *= wish[i]
	}
	less := math.Min(1, math.Pow(mostPoses/total, 1/float64(max(1, len(axes)))))
	for i := range axes {
		a := &axes[i]
		a.n = max(fewest, int(wish[i]*less)) + 1
		if a.travel >= 0 {
			a.seed = int(math.Round((a.Rest - a.From) / a.step()))
		}
	}
	return axes
}

func (f *field) seeds() []int {
	at := make([]int, len(f.axes))
	for i := range f.axes {
		at[i] = f.axes[i].seed
	}
	return at
}

func (f *field) index(at []int) int {
	k := 0
	for i := range f.axes {
		k = k*f.axes[i].n + at[i]
	}
	return k
}

func (f *field) places(k int) []int {
	at := make([]int, len(f.axes))
	for i := len(f.axes) - 1; i >= 0; i-- {
		at[i] = k % f.axes[i].n
		k /= f.axes[i].n
	}
	return at
}

// setting is the turn and the travels at a place of the ranges.
func (f *field) setting(at []float64) (turn float64, travel []float64) {
	travel = append(travel, f.lists...)
	for i := range f.axes {
		if k := f.axes[i].travel; k >= 0 {
			travel[k] = at[i]
		} else {
			turn = at[i]
		}
	}
	return turn, travel
}

// fill solves every pose from its neighbour on the side of the start: first the travels from rest, then round the turn.
func (f *field) fill(start *Pose) {
	total := 1
	for i := range f.axes {
		total *= f.axes[i].n
	}
	f.poses = make([]*Pose, total)
	done := make([]bool, total)
	var solve func(at []int) *Pose
	solve = func(at []int) *Pose {
		k := f.index(at)
		if done[k] {
			return f.poses[k]
		}
		done[k] = true
		before := start
		for i := range f.axes {
			if by := at[i] - f.axes[i].seed; by != 0 {
				from := append([]int(nil), at...)
				from[i] -= by / max(by, -by)
				before = solve(from)
				break
			}
		}
		if before != nil {
			turn, travel := f.setting(f.coordinates(at))
			f.poses[k] = f.s.goTo(before, turn, travel)
		}
		return f.poses[k]
	}
	for k := range f.poses {
		solve(f.places(k))
	}
}

func (f *field) coordinates(at []int) []float64 {
	x := make([]float64, len(at))
	for i := range at {
		x[i] = f.axes[i].at(at[i])
	}
	return x
}

// pose is the engine at any place of the ranges, followed from the pose of the grid nearest to it.
func (f *field) pose(x []float64) *Pose {
	at := make([]int, len(x))
	for i := range x {
		a := &f.axes[i]
		at[i] = min(a.n-1, max(0, int(math.Round((x[i]-a.From)/a.step()))))
	}
	from := f.poses[f.index(at)]
	if from == nil {
		return nil
	}
	turn, travel := f.setting(x)
	return f.s.goTo(from, turn, travel)
}
