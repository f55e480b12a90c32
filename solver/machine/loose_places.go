package machine

import (
	"context"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/expr"
	"barover/solver/linkage"
	"barover/solver/plane"
	"barover/solver/schedule"
	"barover/solver/tube"
)

// Where loose lines place a part its pose is not smooth in the turn, and cannot be enclosed. But the set of all places
// that they allow can be. Over a stretch of the turn, as many of them as there are freedoms are taken for rigid rods with
// play at both pins, and the others are left out. The places allowed then include all places that the lines allow
// together. The choice of lines changes round the turn, since a rod does not hold its crank at its dead centre. The claim
// is for the way of assembly drawn.

// loosely is an engine with all places that its loose lines allow, stretch by stretch of the turn.
type loosely struct {
	m       *Machine
	wear    float64
	sizes   []tube.Size
	moves   []bool       // of each part: loose lines place it
	rods    []looseRod   // of each loose line, and of each part that goes from pin to pin of it
	asked   map[int]bool // parts that are asked about
	stretch []looseStretch
}

// looseStretch is a stretch of the turn with the ways in which it was enclosed. Where there are none, why gives the
// reason.
type looseStretch struct {
	ways []looseWay
	why  solver.Unproved
}

// looseRod is a loose line, and the part that goes from pin to pin of it; -1 for none.
type looseRod struct{ equation, part int }

// looseWay is an engine in which some loose lines are rods.
type looseWay struct {
	*Playing
	held []int // equations
	back bool  // rods that are left out are placed by the eye at their end
}

const (
	// looseStretches is how many stretches the turn is cut into at first. looseHalvings is how often one of them is
	// halved where no rod holds all along it.
	looseStretches = 8
	looseHalvings  = 4
	// looseWays is how many choices of rods are tried at most.
	looseWays = 12
	// looseBoxes is how many boxes one way may take on a stretch.
	looseBoxes = 200
)

// loosely encloses every place that loose lines allow, over some sizes, if any of the checks needs it; it returns nil
// where none does. The lines' play is larger by wear.
func (m *Machine) loosely(ctx context.Context, o Options, wear float64, sizes []tube.Size, checks []int) (*loosely, error) {
	parts, points := engine.AskedAbout(m.Problem)
	plan, _ := tube.NewPlanFor(m.Linkage.Schedule(), m.Values, parts, points)
	l := &loosely{m: m, wear: wear, sizes: sizes, moves: make([]bool, len(m.Problem.Linkage.Parts)), asked: map[int]bool{}}
	for _, i := range parts {
		l.moves[i] = !plan.Encloses(i)
	}
	for _, i := range checks {
		if c := &m.Problem.Checks[i]; l.places(i) {
			l.asked[m.Problem.Profiles[c.A].Part], l.asked[m.Problem.Profiles[c.B].Part] = true, true
		}
	}
	if len(l.asked) == 0 {
		return nil, nil
	}
	l.findRods()
	t := m.Problem.Turn
	at := make([][]looseStretch, looseStretches)
	err := Share(ctx, o, looseStretches, func(i int) (err error) {
		from, to := t.From+(t.To-t.From)*float64(i)/looseStretches, t.From+(t.To-t.From)*float64(i+1)/looseStretches
		at[i], err = l.enclose(ctx, o, from, to, looseHalvings)
		return err
	})
	l.stretch = slices.Concat(at...)
	return l, err
}

// places reports whether a check is a clear line of a part that loose lines place.
func (l *loosely) places(check int) bool {
	c := &l.m.Problem.Checks[check]
	moves := func(profile int) bool { return l.moves[l.m.Problem.Profiles[profile].Part] }
	return c.Kind == solver.Clear && (moves(c.A) || moves(c.B))
}

// enclose encloses a stretch of the turn in every way that is possible. Where none is, it encloses each half.
func (l *loosely) enclose(ctx context.Context, o Options, from, to float64, halvings int) ([]looseStretch, error) {
	out := looseStretch{why: solver.Unproved{Interval: solver.Interval{From: from, To: to}, Why: solver.LooseLines}}
	o.Workers, o.Budget = 1, looseBoxes
	turn := l.m.Problem.Turn
	turn.From, turn.To = from, to
	pose, status, err := l.m.Pose(ctx, from, engine.RestSetting(l.m.Problem.Travels))
	if err != nil || status != linkage.Solved && status != linkage.DeadCentre {
		return []looseStretch{out}, err
	}
	of := l.m.Problem
	if l.wear > 0 && len(of.Plays) == 0 { // every pin wears, those of the loose lines among them
		worn := *of
		worn.Plays = of.Eyes()
		of = &worn
	}
	for _, held := range l.choices() {
		for _, back := range [2]bool{false, true} {
			if back && !l.leavesOut(held) {
				break
			}
			p, err := l.m.playing(ctx, o, of.Held(held, back, turn, pose.Point), l.wear, l.sizes, engine.SameSlack)
			if err != nil {
				return nil, err
			}
			if p.whole != nil {
				break
			}
			out.ways = append(out.ways, looseWay{p, held, back})
		}
	}
	if len(out.ways) > 0 || halvings == 0 {
		return []looseStretch{out}, nil
	}
	a, err := l.enclose(ctx, o, from, (from+to)/2, halvings-1)
	if err != nil {
		return nil, err
	}
	b, err := l.enclose(ctx, o, (from+to)/2, to, halvings-1)
	return append(a, b...), err
}

// findRods lists the loose lines and their parts.
func (l *loosely) findRods() {
	m := l.m.Problem.Linkage
	for i := range m.Equations {
		e := &m.Equations[i]
		if !e.Loose {
			continue
		}
		l.rods = append(l.rods, looseRod{i, -1})
		for k := range m.Parts {
			if t := &m.Parts[k]; t.Kind == schedule.FromTo && (t.P == e.P && t.Q == e.Q || t.P == e.Q && t.Q == e.P) {
				l.rods = append(l.rods, looseRod{i, k})
			}
		}
	}
}

// leavesOut reports whether a part that is asked about goes from pin to pin of a loose line that is not held.
func (l *loosely) leavesOut(held []int) bool {
	return slices.ContainsFunc(l.rods, func(r looseRod) bool { return l.asked[r.part] && !slices.Contains(held, r.equation) })
}

// choices lists the loose lines that may be held together: of each block that loose lines place, as many as it has
// freedoms.
func (l *loosely) choices() [][]int {
	list := [][]int{nil}
	for i := range l.m.Linkage.Schedule().Steps {
		step := &l.m.Linkage.Schedule().Steps[i]
		if len(step.Loose) == 0 {
			continue
		}
		var next [][]int
		for _, more := range chosen(len(step.Loose), len(step.Scalars)-len(step.Rows)) {
			for _, held := range list {
				both := slices.Clone(held)
				for _, k := range more {
					both = append(both, step.Loose[k].Equation)
				}
				next = append(next, both)
			}
		}
		list = next[:min(len(next), looseWays)]
	}
	return list
}

// chosen lists the ways to choose k of n, in order.
func chosen(n, k int) (list [][]int) {
	if k < 0 || k > n {
		return nil
	}
	if k == 0 {
		return [][]int{nil}
	}
	for i := n - 1; i >= k-1 && len(list) < looseWays; i-- {
		for _, c := range chosen(i, k-1) {
			list = append(list, append(c, i))
		}
	}
	return list
}

// Check bounds the worst of a clear line over all stretches. Over each stretch it takes the best bound of its ways.
func (l *loosely) Check(ctx context.Context, i int, upper bool) (Bound, error) {
	sign := plane.Sign(!upper)
	worst := Bound{Room: math.Inf(1)}
	for k := range l.stretch {
		s := &l.stretch[k]
		best := Bound{Why: s.why}
		var ways []Bound
		for w := range s.ways {
			b, err := s.ways[w].Check(ctx, i, upper)
			if err != nil {
				return b, err
			}
			b.way = &s.ways[w]
			ways = append(ways, b)
			if b.Known && (!best.Known || sign*b.Worst > sign*best.Worst) {
				best = b
			} else if !b.Known && !best.Known && len(s.ways) > 0 {
				best.Why = b.Why
			}
		}
		if !best.Known {
			return best, nil
		}
		if !worst.Known || sign*best.Worst < sign*worst.Worst {
			worst = best
			worst.ways = ways
		}
	}
	return worst, ctx.Err()
}

// Loose reports whether a bound is for the places that loose lines allow.
func (b *Bound) Loose() bool { return b.way != nil }

// backSteps is the number of steps in which the engine of a bound is brought back to where its loose lines agree.
const backSteps = 20

// worst returns the worst found. It starts at the engines of the bounds and brings their rods back towards their middles
// until no loose line is missed by more than its play. It is nil where that fails.
func (l *loosely) worst(ctx context.Context, check int, b *Bound, upper bool) (best *stood, err error) {
	sign := plane.Sign(!upper)
	for i := range b.ways {
		if w := &b.ways[i]; w.With != nil {
			if s := l.worstIn(ctx, check, w, upper); s != nil && (best == nil || sign*s.v < sign*best.v) {
				best = s
			}
		}
	}
	return best, ctx.Err()
}

func (l *loosely) worstIn(ctx context.Context, check int, b *Bound, upper bool) *stood {
	off := b.way.off(b)
	if at, s := l.begun(ctx, b, check, off, upper); s != nil {
		return l.descend(ctx, b, check, at, off, s, upper)
	}
	at := slices.Clone(off)
	for k := backSteps; k >= 0; k-- {
		for i := range at {
			at[i] = off[i] * float64(k) / backSteps
		}
		if s := l.allowed(ctx, b, check, at, &b.At); s != nil {
			return l.descend(ctx, b, check, at, off, s, upper)
		}
	}
	return nil
}

// begun returns the worst place, and its eyes, of those that the loose lines allow with one or two eyes of a bound in the middle: not
// all eyes can be as far off as the bound has them. It is nil where none is allowed.
func (l *loosely) begun(ctx context.Context, b *Bound, check int, off []float64, upper bool) (eyes []float64, best *stood) {
	sign := plane.Sign(!upper)
	disc := b.way.sizes.Disc
	for i := range disc {
		for k := range disc[:i+1] {
			if !disc[i] || !disc[k] {
				continue
			}
			at := slices.Clone(off)
			at[i], at[i+1], at[k], at[k+1] = 0, 0, 0, 0
			if s := l.allowed(ctx, b, check, at, &b.At); s != nil && (best == nil || sign*s.v < sign*best.v) {
				eyes, best = at, s
			}
		}
	}
	return eyes, best
}

// allowed returns the distance of a clear line at a place with the eyes this far off, if the loose lines allow it;
// otherwise nil.
func (l *loosely) allowed(ctx context.Context, b *Bound, check int, at []float64, where *tube.Place) *stood {
	s, pose := b.way.stands(ctx, check, at, where)
	if s == nil || !l.allows(pose) {
		return nil
	}
	return s
}

// rims is how many places on the rim of an eye's play are tried. rimRounds is how often all eyes are tried.
const rims, rimRounds = 8, 2

// rimStep is how closely the direction of an eye is sought, rad: the eye is then off its worst place by less than 1e-4 of its play.
const rimStep = 0.01

// turned holds the steps of the turn that are tried to either side, rad.
var turned = [...]float64{2 * math.Pi / 180, 0.5 * math.Pi / 180}

// descend moves one eye after the other, and the turn, to lower the distance of the line, as far as the loose lines
// allow.
func (l *loosely) descend(ctx context.Context, b *Bound, check int, at, off []float64, best *stood, upper bool) *stood {
	sign := plane.Sign(!upper)
	where := b.At
	for range rimRounds {
		before := best.v
		for i, disc := range b.way.sizes.Disc {
			if !disc {
				continue
			}
			x, y := at[i], at[i+1]
			for k := range rims + 2 {
				angle := 2 * math.Pi * float64(k) / rims
				switch at[i], at[i+1] = math.Cos(angle), math.Sin(angle); k {
				case rims:
					at[i], at[i+1] = 0, 0
				case rims + 1:
					at[i], at[i+1] = off[i], off[i+1]
				}
				if s := l.allowed(ctx, b, check, at, &where); s != nil && sign*s.v < sign*best.v {
					best, x, y = s, at[i], at[i+1]
				}
			}
			for step := math.Pi / rims; step > rimStep && (x != 0 || y != 0); step /= 2 { // the best of a few directions may be half a step off
				for _, by := range [2]float64{step, -step} {
					sin, cos := math.Sincos(by)
					at[i], at[i+1] = x*cos-y*sin, x*sin+y*cos
					if s := l.allowed(ctx, b, check, at, &where); s != nil && sign*s.v < sign*best.v {
						best, x, y = s, at[i], at[i+1]
						break
					}
				}
			}
			at[i], at[i+1] = x, y
		}
		for _, by := range turned {
			for _, to := range [2]float64{where.Turn - by, where.Turn + by} {
				there := where
				there.Turn = math.Min(math.Max(to, b.way.m.Problem.Turn.From), b.way.m.Problem.Turn.To)
				if s := l.allowed(ctx, b, check, at, &there); s != nil && sign*s.v < sign*best.v {
					best, where = s, there
				}
			}
		}
		if best.v == before {
			break
		}
	}
	return best
}

// allows reports whether in a pose no loose line is missed by more than its play, as worn, and no eye of a rod is off its pin by
// more than half of it.
func (l *loosely) allows(pose *linkage.Pose) bool {
	for _, r := range l.rods {
		e := &l.m.Problem.Linkage.Equations[r.equation]
		length, play := l.m.Values.At(e.V), l.m.Values.At(e.Play)+l.wear+1e-9
		if r.part < 0 {
			if math.Abs(pose.Point[e.P].Sub(pose.Point[e.Q]).Len()-length) > play {
				return false
			}
			continue
		}
		t := &l.m.Problem.Linkage.Parts[r.part]
		way := plane.Vec{X: length}
		if t.Heading != expr.None {
			way = plane.Polar(l.m.Values.At(t.Heading)).Scale(length)
		}
		at := pose.Part[r.part]
		if at.Origin.Sub(pose.Point[t.P]).Len() > play/2 || at.Out(way).Sub(pose.Point[t.Q]).Len() > play/2 {
			return false
		}
	}
	return true
}

// beyond lists the stretches of the turn over which a clear line may be below a limit, or above an upper one.
func (l *loosely) beyond(ctx context.Context, c *solver.Check, limit float64, b *Bound, upper bool) (out []solver.Interval) {
	for k := range l.stretch {
		out = append(out, l.stretch[k].ways[0].beyond(ctx, c, limit, b, upper)...)
	}
	return engine.Together(out)
}
