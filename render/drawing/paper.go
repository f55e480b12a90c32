package drawing

import (
	"math"
	"slices"
	"strconv"
)

// Paper is a sheet of ISO 216's A series, by its sides in mm, Wide along x.
type Paper struct {
	Name       string
	Wide, High float64
}

// sizes are the A series, short side and long side, from the smallest that is drawn on.
var sizes = []Paper{{"A4", 210, 297}, {"A3", 297, 420}, {"A2", 420, 594}, {"A1", 594, 841}, {"A0", 841, 1189}}

// Papers returns A4 to A0, long side along x if landscape.
func Papers(landscape bool) []Paper {
	out := append([]Paper(nil), sizes...)
	if landscape {
		for i := range out {
			out[i].Wide, out[i].High = out[i].High, out[i].Wide
		}
	}
	return out
}

// PaperNamed returns the size of that name; false if it is none of A4 to A0.
func PaperNamed(name string, landscape bool) (Paper, bool) {
	for _, p := range Papers(landscape) {
		if p.Name == name {
			return p, true
		}
	}
	return Paper{}, false
}

// Scale is a scale of ISO 5455: Drawn mm on paper for Real mm of the engine.
type Scale struct{ Drawn, Real float64 }

// K is how many mm of paper a mm of the engine takes.
func (s Scale) K() float64 { return s.Drawn / s.Real }

func (s Scale) String() string {
	return strconv.FormatFloat(s.Drawn, 'f', -1, 64) + ":" + strconv.FormatFloat(s.Real, 'f', -1, 64)
}

// Scales are the recommended ones, largest first: 1, 2 and 5 by whole powers of ten either way. The standard stops at
// 50:1 and 1:10 000 and lets the series go on by powers of ten, which watch and bridge both need.
var Scales = append(larger(1000, 5, 2, 1), smaller(2, 5, 10)...)

// larger returns enlarged scales, greatest first: each number of of to 1, times the powers of ten from greatest down to 1.
func larger(greatest float64, of ...float64) (s []Scale) {
	for ten := greatest; ten >= 1; ten /= 10 {
		for _, n := range of {
			s = append(s, Scale{n * ten, 1})
		}
	}
	return s
}

// smaller returns reduced scales: 1 to each number of of, times the powers of ten up to 100 000.
func smaller(of ...float64) (s []Scale) {
	for ten := 1.0; ten <= 1e5; ten *= 10 {
		for _, n := range of {
			s = append(s, Scale{1, n * ten})
		}
	}
	return s
}

// Largest returns the largest scale of ISO 5455 at which a thing wide × high, mm, fits room wide × high, mm of paper.
// It reports false if none does.
func Largest(wide, high, roomWide, roomHigh float64) (Scale, bool) {
	for _, s := range Scales {
		// A millionth is given, so that what fits exactly is not turned away by rounding.
		if wide*s.K() <= roomWide*(1+1e-6) && high*s.K() <= roomHigh*(1+1e-6) && !math.IsNaN(wide+high) {
			return s, true
		}
	}
	return Scales[len(Scales)-1], false
}

// between are the scales that stand between the recommended ones, by exception (ISO 5455), largest first. With them no scale is
// more than half as large again as the next.
var between = slices.Concat(larger(10, 80, 60, 40, 30, 25, 15), larger(1, 8, 6, 4, 3, 2.5), []Scale{{3, 2}, {3, 4}, {2, 3}},
	smaller(2.5, 3, 4, 6, 8, 15))

// wasted is the share of the room that a recommended scale may leave before one between is taken.
const wasted = 1.0 / 3

// Fitting is Largest, but takes a scale between the recommended ones where the recommended one would leave more than a third
// of the room.
func Fitting(wide, high, roomWide, roomHigh float64) (Scale, bool) {
	best, ok := Largest(wide, high, roomWide, roomHigh)
	if !ok {
		return best, ok
	}
	room := math.Min(roomWide/wide, roomHigh/high)
	if best.K() >= room*(1-wasted) {
		return best, ok
	}
	for _, s := range between {
		if s.K() <= room*(1+1e-6) && s.K() > best.K() {
			return s, true
		}
	}
	return best, ok
}
