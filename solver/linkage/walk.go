package linkage

import (
	"math"
	"slices"

	"barover/solver/position"
)

// road is a straight line from one position of the drives to another.
type road struct {
	turn, dTurn float64   // where it starts, and how far it goes, rad
	end         float64   // where it ends, rad: turn + dTurn may miss that by rounding
	travel, d   []float64 // the same of the travels
	length      float64   // rad, or a substitute where a travel moves
}

// turnRoad leads from one turn to another with the travels held.
func turnRoad(e *position.State, to float64) *road {
	return &road{turn: e.Turn, dTurn: to - e.Turn, end: to, travel: slices.Clone(e.Travel), d: make([]float64, len(e.Travel)),
		length: math.Abs(to - e.Turn)}
}

// travelRoad moves travel k alone.
func travelRoad(e *position.State, k int, to float64) *road {
	r := turnRoad(e, e.Turn)
	r.d[k] = to - e.Travel[k]
	r.length = math.Abs(r.d[k]) / e.Scale.Size
	return r
}

// walker moves an engine along a road. It cuts its steps wherever a block comes near a dead centre, so that it never
// changes branch.
type walker struct {
	e       *position.State
	r       *road
	limit   int   // number of blocks that move along
	all     []int // scalars
	at      float64
	pace    float64
	v       *position.Speed
	here    footing // at `at`
	last    footing // before it
	trail   []footing
	travel  []float64
	changes []change
	steady  []steadiness // of each scalar; nil where all are
	hopper
}

// trailLength is the number of places that a walker remembers: enough to look back from a dead centre, which it nears in
// steps of a quarter of the rest, to where the motion was ordinary.
const trailLength = 48

// footing is a place on the road where the engine is assembled.
type footing struct {
	at     float64
	x, det []float64
	v      []float64
}

func newFooting(e *position.State) footing {
	return footing{at: math.NaN(), x: make([]float64, len(e.X)), det: make([]float64, len(e.Det)), v: make([]float64, len(e.X))}
}

func (f *footing) copy(o *footing) {
	f.at = o.at
	copy(f.x, o.x)
	copy(f.det, o.det)
	copy(f.v, o.v)
}

func newWalker(e *position.State) *walker {
	all := make([]int, len(e.X))
	for i := range all {
		all[i] = i
	}
	return &walker{e: e, all: all, limit: len(e.Program.Blocks), v: position.NewSpeed(e), here: newFooting(e), last: newFooting(e),
		travel: make([]float64, len(e.Travel)), pace: firstStep, steady: steadinessOf(e.Schedule), hopper: newHopper(e)}
}

// walk goes along r from its start, where the engine must be. It reports whether it came to the end; if not, the engine
// is where it had to stop.
func (w *walker) walk(r *road) bool {
	w.r, w.at = r, 0
	w.forget()
	for range walkSteps {
		if w.at >= r.length {
			return true
		}
		w.stand()
		if w.behind() == nil {
			w.begin()
		}
		if !w.hop() && !w.advance() {
			return false
		}
	}
	return false
}

// set moves the drives to a place on the road, or beyond its end.
func (w *walker) set(at float64) {
	f := 0.0
	if w.r.length > 0 {
		f = at / w.r.length
	}
	for i := range w.travel {
		w.travel[i] = w.r.travel[i] + f*w.r.d[i]
	}
	turn := w.r.turn + f*w.r.dTurn
	if at == w.r.length {
		turn = w.r.end
	}
	w.e.Set(turn, w.travel)
}

// stand notes the engine's place and speed.
func (w *walker) stand() {
	w.last.copy(&w.here)
	w.note(&w.here, w.at)
	if n := len(w.trail); n == 0 || n < trailLength && !math.IsNaN(w.trail[n-1].at) {
		w.trail = append(w.trail, newFooting(w.e))
	}
	oldest := w.trail[len(w.trail)-1]
	copy(w.trail[1:], w.trail)
	w.trail[0] = oldest
	w.trail[0].copy(&w.here)
}

// note puts the engine's place and speed into a footing.
func (w *walker) note(f *footing, at float64) {
	e := w.e
	e.Complete()
	for i := range w.travel {
		w.travel[i] = w.r.d[i] / w.r.length
	}
	e.Velocity(w.v, w.r.dTurn/w.r.length, w.travel, w.limit)
	f.at = at
	copy(f.x, e.X)
	copy(f.det, e.Det)
	copy(f.v, w.v.X)
}

// predict extrapolates the scalars by a parabola through the last two footings.
func (w *walker) predict(h float64) {
	back := w.here.at - w.last.at
	for i := range w.e.X {
		x := w.here.x[i] + h*w.here.v[i]
		if back > 0 {
			x += h * h / 2 * (w.here.v[i] - w.last.v[i]) / back
		}
		w.e.X[i] = x
	}
}

// advance takes one step, as long as is safe. If even the least step is too long it goes back and reports false.
func (w *walker) advance() bool {
	h := min(w.pace, w.r.length-w.at)
	for {
		to := w.at + h
		if h == w.r.length-w.at {
			to = w.r.length // exactly, without rounding
		}
		w.predict(h)
		if w.arrive(to, h) {
			w.at = to
			w.setPace(h)
			return true
		}
		if h /= 2; !(h > leastStep/2) {
			break
		}
		w.pace = h
	}
	w.retreat()
	return false
}

// retreat puts the engine back where it was.
func (w *walker) retreat() {
	w.set(w.here.at)
	copy(w.e.X, w.here.x)
	w.e.SolveUpTo(w.limit)
	copy(w.e.Det, w.here.det)
}

// arrive solves at a place on the road, h farther on, and judges whether the pose there continues the last.
func (w *walker) arrive(at, h float64) bool {
	e := w.e
	w.set(at)
	copy(w.last.x, e.X) // the prediction; last.x is not used before the next stand
	if _, ok := e.SolveUpTo(w.limit); !ok {
		return false
	}
	for k, d := range e.Det[:w.limit] {
		if o := w.here.det[k]; !(d*o >= 0.5*o*o) && !w.loose(k) {
			return false
		}
	}
	return w.near(w.last.x, h)
}

// near reports whether the state's scalars are as close to a prediction as a step of h requires.
func (w *walker) near(x []float64, h float64) bool { return w.nearOf(w.all, x, h) }

// nearOf reports the same of some scalars.
func (w *walker) nearOf(scalars []int, x []float64, h float64) bool {
	e := w.e
	for _, i := range scalars {
		allow := position.StrayShare
		if !e.Schedule.Scalars[i].Direction {
			allow *= e.Program.Size[i]
		}
		switch w.foretold(i) {
		case leaps:
			allow = math.Inf(1)
		case steady:
			allow = min(allow, 0.3*h*math.Abs(w.here.v[i])+0.05*allow)
		}
		if !(math.Abs(e.X[i]-x[i]) <= allow) {
			return false
		}
	}
	return true
}

// foretold says how well a scalar can be predicted.
func (w *walker) foretold(scalar int) steadiness {
	if w.steady == nil {
		return steady
	}
	return w.steady[scalar]
}

// setPace chooses the next step after one of h: longer, unless a determinant falls so that its square would come near
// zero.
func (w *walker) setPace(h float64) {
	if h >= w.pace {
		w.pace = 2 * h
	}
	for k, d := range w.e.Det[:w.limit] {
		o := w.here.det[k]
		if q := d * d / (o * o); q < 1 && !w.loose(k) {
			w.pace = min(w.pace, 0.5*h*q/(1-q))
		}
	}
	w.pace = max(w.pace, leastStep)
}

// loose reports whether loose lengths hold block k: it may cross a dead centre as their play allows.
func (w *walker) loose(k int) bool { return w.e.Program.Blocks[k].Kernel == position.Loosely }
