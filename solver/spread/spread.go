// Package spread carries the tolerances of dimensions through to every check: the worst case, the likely case, and the
// share of engines that falls short.
//
// Package machine's OverSizes bounds each check over all sizes, positions and play at once (a keep line with tight pins). The
// engine nearest to the bound is solved, and where it is near enough that is the worst. Where there is no bound, or no such
// engine, the worst is searched for: at the corner that the slopes point to, and along one tolerance after the other
// (seek.go). The reason why nothing is proved is reported. Engines drawn at random are told apart by the proof, and those
// that it leaves in doubt are solved. The reported worst is never better than the worst engine solved.
//
// It knows no words. A newcomer may change the law by which sizes are drawn, and how many are.
package spread

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/machine"
	"barover/solver/plane"
	"barover/solver/spare"
)

// Tolerance is how far a dimension may be from its value: between Value + Lower and Value + Upper, mm, rad or as a plain
// number.
type Tolerance struct {
	Dim                 int
	Value, Lower, Upper float64
	Fixed               bool // the part is made: the limits are those of its measurement
}

// Between reports whether a value lies between the limits, and is not that of the dimension either.
func (t *Tolerance) Between(v float64) bool {
	near := 1e-9 * (t.Upper - t.Lower)
	return v > t.Value+t.Lower+near && v < t.Value+t.Upper-near && math.Abs(v-t.Value) > near
}

// Ask is what is carried through. A dimension with a tolerance is made to its own figure: it does not follow the
// dimensions in its sum when these are off.
type Ask struct {
	Problem    *solver.Problem
	Vary       machine.Vary
	Tolerances []Tolerance
	Samples    int // engines drawn at random; 0 for Samples
	Seed       uint64
	Law        Law
	Inflate    float64 // of the root sum square; 0 for 1. Bender takes 1.5
	Levers     bool    // report which tolerances to close, and which may be opened
	// Neat returns a limit of a dimension that can be written down, no farther from the value; nil for the limit itself.
	Neat func(dim int, v float64) float64
}

// Samples is how many engines are drawn by default.
const Samples = 500

// glance is how many of them are solved with every check. A check whose worst case leaves more than half of its room is
// left out of the others.
const glance = 100

// Answer is the effect of the tolerances.
type Answer struct {
	Checks  []Check // in the order of the Problem
	Broken  bool    // it cannot be assembled all the way round with the values as they are
	Samples int     // how many engines were to be drawn
	Drawn   int     // how many were, where something may fall short
	Solved  int     // of these, since the enclosure of all engines left them in doubt; the others it told apart
	Glanced bool    // a side without a proof was tried in the first of these alone, since it keeps much of its room
	Cut     bool    // more were in doubt than are solved, and no further ones were drawn
	Unmade  int     // of the engines drawn: how many cannot be assembled all the way round
	Stopped bool    // it was broken off: there may be worse engines, and of the share that falls short less is known
	// Closer is which tolerances to close for every check to hold in every engine, each a way by itself; Wider is, where that is so as it
	// is, which may be opened.
	Closer, Wider []Lever
}

// Check is the effect of the tolerances on one check. Figures are mm, rad or plain numbers; NaN where there is none.
type Check struct {
	Check   int
	Finding solver.Finding // with every dimension at its value
	Upper   bool           // the figures are those at the upper limit, which the tolerances come nearer to. A limit towards which they do not move it counts last where all hold
	Figure  float64        // with every dimension at its value
	Worst   float64        // the worst found; where the limit has a tolerance too, what leaves as much room to the limit as it stands
	Room    float64        // its distance to the limit, which may depend on the dimensions too
	RSS     float64        // root sum square
	OK      bool           // it holds in every engine solved
	Drawn   bool           // the worst was found in an engine drawn, not by the search
	Unmade  bool           // an engine within the limits cannot be assembled
	// No engine is worse than Proved at any position; NaN where that is not known, for the reason Why. Holds reports that
	// it proves the check in every engine. If the limit depends on the tolerances too, Proved is the figure that leaves
	// the same room to the limit as drawn.
	Proved float64
	Holds  bool
	Why    solver.Unproved
	Sure   solver.Sure // of the worst, in its engine
	Stack  Stack       // the effect of each tolerance, the largest first
	Corner []float64   // the values of the tolerances with which the worst was found
	// Scale is the factor of the tolerances that are still open for the check to hold, in the worst case and by root sum
	// square: below 1, they must be closer. See Stack.Scale.
	Scale, ScaleRSS float64
	// Short of Samples engines fall short. Share is that. Of those drawn the share that falls short lies surely between the two of Surely: that
	// which is proved to, and that which is not proved to hold. Of all engines it lies between Low and High, by Wilson's interval,
	// with a confidence of 95 in 100.
	Short, Samples   int
	Share, Low, High float64
	Surely           [2]float64
}

// InWorst returns the finding with the worst figure found.
func (c *Check) InWorst() *solver.Finding {
	f := c.Finding
	f.OK, f.Sure = c.OK, c.Sure
	switch f.Apart = f.Apart && math.IsNaN(c.Worst); {
	case c.Upper:
		f.Greatest = c.Worst
	default:
		f.Least = c.Worst
	}
	return &f
}

// Spread carries the tolerances through. The error is linkage.Faults where the engine cannot be solved with the
// dimensions at their values. A context that ends after that is no error: the answer is what was found until then.
func Spread(ctx context.Context, q Ask, o machine.Options) (*Answer, error) {
	if q.Samples <= 0 {
		q.Samples = Samples
	}
	if !(q.Inflate > 0) {
		q.Inflate = 1
	}
	s := &spread{q: q, o: o, about: new(spare.Once[string, *machine.Machine])}
	if err := s.stand(ctx); err != nil {
		return nil, err
	}
	a, err := s.through(ctx)
	if err != nil && ctx.Err() != nil && errors.Is(err, ctx.Err()) {
		a, err = s.answer(), nil
		a.Stopped = true
	}
	return a, err
}

// through finds the answer, once the engine with all dimensions at their values is known.
func (s *spread) through(ctx context.Context) (*Answer, error) {
	for _, part := range []func(context.Context) error{s.prove, s.seek, s.draw, s.seekOn} {
		if err := part(ctx); err != nil {
			return nil, err
		}
	}
	a := s.answer()
	return a, s.levers(ctx, a)
}

// spread is the state of a Spread.
type spread struct {
	q      Ask
	o      machine.Options
	split  *halves
	base   *machine.Machine                      // every dimension at its value, if neither the turn nor a travel depends on a tolerance; otherwise nil
	still  bool                                  // no tolerance moves any part
	about  *spare.Once[string, *machine.Machine] // base for some halves alone
	now    *solver.Result                        // of the split problem, every dimension at its value
	sides  []side                                // those that the tolerances have to do with
	drawn  int                                   // engines
	asked  int                                   // that the enclosures were asked about
	unmade int                                   // of them
	solved int                                   // of them, since they were in doubt
	cut    bool                                  // no more were drawn, since too many were
}

// side is one limit of one check, with what is known of it.
type side struct {
	half         int // its number in the split problem
	figure, room float64
	slopes       []float64 // of the room, by the tolerances; nil where there are none
	worst        worst
	bound        machine.Bound // over every engine
	holds        bool          // it proves that the side holds in all of them
	climbed      bool          // the worst engine was searched for from the engine of the bound, with sizes and pins together
	sorting      *sorting      // tells of an engine whether it holds, without solving it; nil where that cannot be done
	sortings     int           // halves of sizes that it was enclosed over
	stands       []standing    // in each engine drawn in which it was looked at
	low          struct {      // of those that the sorter found to fall short: the one with least room
		at   []float64
		room float64
	}

	reach []int            // the tolerances that may affect it
	known map[string]found // engines solved for it
	lone  map[int]lone     // the effects of tolerances for which the slopes do not decide, each alone
}

// worst is the least room found for a side, and where.
type worst struct {
	room, figure float64
	at           []float64 // values of the tolerances
	ok, drawn    bool
	unmade       bool // an engine solved for it cannot be assembled
	sure         solver.Sure
}

// values returns the change that gives these values to the dimensions with tolerances.
func (s *spread) values(at []float64) map[int]float64 {
	out := make(map[int]float64, len(at))
	for i, t := range s.q.Tolerances {
		out[t.Dim] = at[i]
	}
	return out
}

// each lists a figure of every tolerance.
func (s *spread) each(figure func(t *Tolerance) float64) []float64 {
	out := make([]float64, len(s.q.Tolerances))
	for i := range out {
		out[i] = figure(&s.q.Tolerances[i])
	}
	return out
}

func (s *spread) nominal() []float64 { return s.each(func(t *Tolerance) float64 { return t.Value }) }

// machine returns the engine with these values of the tolerances, its checks in halves.
func (s *spread) machine(at []float64) (*machine.Machine, error) {
	p, v, err := s.q.Vary(s.values(at))
	if err != nil {
		return nil, err
	}
	switch {
	case s.base == nil:
		return machine.New(s.split.of(p), v)
	case s.still:
		return s.base.With(v)
	}
	return s.base.Again(v)
}

// machineAbout is the engine with these values of the tolerances, made for some halves alone.
func (s *spread) machineAbout(at []float64, halves []int) (*machine.Machine, error) {
	if s.base == nil || s.still {
		return s.machine(at)
	}
	_, v, err := s.q.Vary(s.values(at))
	if err != nil {
		return nil, err
	}
	m, err := s.about.Get(fmt.Sprint(halves), func() (*machine.Machine, error) { return s.base.About(halves) })
	if err != nil {
		return nil, err
	}
	return m.Again(v)
}

// quiet is for work that nobody is told of.
func (s *spread) quiet() machine.Options {
	o := s.o
	o.Progress = nil
	return o
}

// The names of the pieces in the progress of a spread.
const (
	ofEngines    = "engines drawn"
	ofStart      = "checks with every dimension at its value"
	ofTubes      = "settings enclosed for all engines"
	ofBounds     = "checks bounded over all engines"
	ofTolerances = "searches along one tolerance"
	ofSolved     = "engines of limits"
	ofSought     = "searches for a worst engine"
)

// telling is for work whose pieces somebody at a terminal sees counted.
func (s *spread) telling(of string) machine.Options {
	o := s.quiet()
	if tell := s.o.Progress; tell != nil {
		o.Progress = func(_ string, done, total int) { tell(of, done, total) }
	}
	return o
}

// alone is for one engine of many that are solved at once.
func (s *spread) alone() machine.Options {
	o := s.quiet()
	o.Workers = 1
	return o
}

// stand answers everything with the dimensions at their values, and finds what depends on the tolerances.
func (s *spread) stand(ctx context.Context) error {
	s.split = split(s.q.Problem)
	m, err := s.machine(s.nominal())
	if err != nil {
		return err
	}
	if s.now, err = s.split.some(ctx, m, s.telling(ofStart), solver.Numbers(len(m.Problem.Checks)), nil); err != nil {
		return err
	}
	slopes, err := s.slopes(ctx, m, s.now.Findings)
	if err != nil {
		return err
	}
	for _, k := range s.touched(m) {
		f := &s.now.Findings[k]
		d := side{half: k, slopes: slopes[k], figure: f.Figure(s.split.upper[k])}
		var ok bool
		d.room, ok = s.split.room(k, m.Problem, f)
		d.worst = worst{room: d.room, figure: d.figure, at: s.nominal(), ok: ok, sure: f.Sure}
		d.learn(engine.SettingKey(d.worst.at), found{d.room, d.slopes})
		s.sides = append(s.sides, d)
	}
	s.reaches(m)
	return s.start(ctx)
}

// within returns the values of the tolerances, or the nearest limit where a fit leaves a value out.
func (s *spread) within() []float64 {
	return s.each(func(t *Tolerance) float64 {
		return math.Max(t.Value+t.Lower, math.Min(t.Value+t.Upper, t.Value))
	})
}

// start begins the search for the worst within the limits. A fit may leave out the value itself. Then no part is made to
// the value, and its figure is no worst case.
func (s *spread) start(ctx context.Context) error {
	at := s.within()
	if slices.Equal(at, s.nominal()) {
		return nil
	}
	var all []*side
	for i := range s.sides {
		d := &s.sides[i]
		d.worst = worst{room: math.Inf(1), figure: math.NaN(), at: at, ok: true}
		all = append(all, d)
	}
	if err := s.visit(ctx, s.telling(ofStart), at, all...); err != nil {
		return err
	}
	for _, d := range all {
		if f := d.known[engine.SettingKey(at)]; f.slopes != nil {
			d.slopes = f.slopes
		}
	}
	return nil
}

// reaches finds which tolerances may affect each side.
func (s *spread) reaches(m *machine.Machine) {
	for i, t := range s.q.Tolerances {
		var halves []int
		if s.base != nil {
			halves = m.Problem.Touched(m.Values, t.Dim)
		} else {
			halves = solver.Numbers(len(m.Problem.Checks))
		}
		for k := range s.sides {
			if d := &s.sides[k]; slices.Contains(halves, d.half) {
				d.reach = append(d.reach, i)
			}
		}
	}
}

// touched lists the halves that may depend on the tolerances.
func (s *spread) touched(m *machine.Machine) []int {
	if s.rangesMove(m.Problem) {
		return solver.Numbers(len(m.Problem.Checks))
	}
	dims := make([]int, len(s.q.Tolerances))
	for i, t := range s.q.Tolerances {
		dims[i] = t.Dim
	}
	s.base, s.still = m, !m.Problem.Moves(m.Values, dims...)
	return m.Problem.Touched(m.Values, dims...)
}

// rangesMove reports whether the turn or a travel depends on a dimension with a tolerance.
func (s *spread) rangesMove(p *solver.Problem) bool {
	for i, t := range s.q.Tolerances {
		for _, by := range [2]float64{t.Lower, t.Upper} {
			at := s.nominal()
			at[i] += by
			if q, _, err := s.q.Vary(s.values(at)); err != nil || !p.SameRanges(q) {
				return true
			}
		}
	}
	return false
}

// slopes returns the effect of each tolerance on the room of each finding of m; nil where it is not known.
func (s *spread) slopes(ctx context.Context, m *machine.Machine, findings []solver.Finding) ([][]float64, error) {
	sides := make([]bool, len(findings))
	for i := range findings {
		sides[i] = s.split.upper[findings[i].Check]
	}
	g, err := m.SideSlopes(ctx, findings, sides)
	if err != nil {
		return nil, err
	}
	out := make([][]float64, len(g))
	for i := range g {
		half := findings[i].Check
		upper := s.split.upper[half]
		if other := m.Problem.Judge(&findings[i]).Upper; g[i] == nil || (other != upper && m.Problem.Checks[half].Kind == solver.Loose) {
			continue // of the two ends of a loose length only the worse has a slope
		}
		sign := plane.Sign(!upper)
		asks := m.RoomSlopes(half, upper)
		for _, t := range s.q.Tolerances {
			out[i] = append(out[i], sign*g[i][t.Dim]+asks[t.Dim])
		}
	}
	return out, nil
}
