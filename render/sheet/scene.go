package sheet

import (
	"cmp"
	"math"
	"runtime"
	"slices"
	"sync/atomic"

	"barover/render/drawing"
	"barover/render/sweep"
	"barover/solver"
	"barover/solver/expr"
	"barover/solver/linkage"
	"barover/solver/outline"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// body is a profile as it is drawn.
type body struct {
	index         int // among the bodies of its scene
	profile, part int
	name          string
	band          [2]float64 // across, mm
	region        *outline.Region
	path          drawing.Path // in the part's axes, mm
	fixed         bool
}

// scene is an engine laid out for drawing, mm of the engine.
type scene struct {
	*Engine
	bodies   []body // from the datum outward: of two that overlap, the later is nearer
	chosen   *linkage.Pose
	ghosts   []*linkage.Pose
	turns    []*linkage.Pose // close together over the whole turn, at the chosen travels; nil where not assembled
	swept    []swept
	box      drawing.Box    // round all of it
	settings int            // number of travel settings for the swept outlines
	told     []answer       // see everyAnswer
	names    map[string]int // see named
}

// swept is the outline of everything that a part passes over.
type swept struct {
	part   int
	runs   [][]plane.Vec
	shaken [][]plane.Vec // the same anywhere in its play; nil where there is none
}

// fine is the step of the turn of the motion for swept outlines and traces, rad.
const fine = 2 * math.Pi / 180

// mostTaken bounds the positions of a drawing. Of a turn with more steps every second one is taken, or every third, and
// so on, so that the whole turn is covered.
const mostTaken = 720

// lay makes a scene.
func lay(e *Engine, o *Options) *scene {
	s := &scene{Engine: e, box: drawing.NoBox()}
	s.layBodies()
	at := positionAt(e, o.At)
	s.chosen = s.pose(at.Turn, at.Travel)
	for _, t := range s.steps(o.Ghosts) {
		if p := s.pose(t, at.Travel); p != nil {
			s.ghosts = append(s.ghosts, p)
		}
	}
	s.sweep(at.Travel)
	s.measure()
	return s
}

// pose returns a pose, or nil where there is none or it has figures that are not numbers.
func (s *scene) pose(turn float64, travel []float64) *linkage.Pose {
	if s.Poses == nil || math.IsNaN(turn) {
		return nil
	}
	p, ok := s.Poses.Pose(turn, travel)
	if !ok || p == nil || len(p.Part) < len(s.Problem.Linkage.Parts) || len(p.Point) < len(s.Problem.Linkage.Points) {
		return nil
	}
	return p
}

// stride is the step, or its least multiple with which at most mostTaken of them make the turn.
func (s *scene) stride(step float64) float64 {
	t := s.Problem.Turn
	if n := math.Ceil((t.To-t.From)/(step*mostTaken) - 1e-9); n > 1 {
		return n * step
	}
	return step
}

// steps returns turn values from the start of the turn by stride; a whole turn leaves out the end, which is the start.
func (s *scene) steps(step float64) (v []float64) {
	t := s.Problem.Turn
	span := t.To - t.From
	step = s.stride(step)
	if !(step > 0) || !(span > 0) || math.IsInf(span, 0) || math.IsInf(step, 0) {
		return nil
	}
	n := int(math.Floor(span/step + 1e-9))
	for i := 0; i <= n; i++ {
		if d := float64(i) * step; d < 2*math.Pi-1e-9 || span > 2*math.Pi+1e-9 {
			v = append(v, t.From+d)
		}
	}
	return v
}

func (s *scene) layBodies() {
	for i, p := range s.Problem.Profiles {
		if i >= len(s.Regions) || s.Regions[i] == nil || p.Part < 0 || p.Part >= len(s.Problem.Linkage.Parts) || !s.Pick.Takes(p.Name) {
			continue
		}
		b := body{profile: i, part: p.Part, name: p.Name, region: s.Regions[i], path: PathOf(s.Regions[i])}
		b.band = [2]float64{s.value(p.From), s.value(p.To)}
		b.fixed = s.Problem.Linkage.Parts[p.Part].Kind == schedule.Frame
		s.bodies = append(s.bodies, b)
	}
	slices.SortStableFunc(s.bodies, func(a, b body) int { return cmp.Compare(a.outward(), b.outward()) })
	for i := range s.bodies {
		s.bodies[i].index = i
	}
}

// outward is how far out the body's outer face lies from the datum; zero where its band has no value.
func (b *body) outward() float64 {
	if z := max(b.band[0], b.band[1]); !math.IsNaN(z) {
		return z
	}
	return 0
}

func (s *scene) value(id expr.ID) float64 {
	if s.Values == nil || id < 0 || int(id) >= len(s.Values.Node) {
		return math.NaN()
	}
	return s.Values.At(id)
}

// PathOf returns the outline of a region, arcs true.
func PathOf(r *outline.Region) drawing.Path {
	var p drawing.Path
	for _, loop := range r.Loops {
		for i, e := range loop {
			if i == 0 {
				p.MoveTo(e.A)
			}
			if e.R > 0 {
				p.ArcTo(e.C, e.Turn, e.B)
			} else if i < len(loop)-1 {
				p.LineTo(e.B)
			}
		}
		p.Close()
	}
	return p
}

// sweep makes the swept outline of every moving part: over the whole turn, at the chosen travels and at the ends of every
// travel.
func (s *scene) sweep(travel []float64) {
	steps := s.steps(fine)
	if t := s.Problem.Turn; t.To > t.From && !math.IsInf(t.To-t.From, 0) {
		steps = append(steps, t.To)
	}
	ends := s.ends(travel)
	motions := make([][]*linkage.Pose, len(ends))
	var crew solver.Crew
	for i, setting := range ends {
		crew.Go(func() {
			for _, t := range steps {
				motions[i] = append(motions[i], s.pose(t, setting))
			}
		})
	}
	crew.Wait()
	s.settings = len(motions)
	s.turns = motions[0]
	motions = append(motions, s.alongTravels(travel)...)
	pieces := map[int][]sweep.Piece{}
	var parts []int
	for _, b := range s.bodies {
		if b.fixed {
			continue
		}
		if pieces[b.part] == nil {
			parts = append(parts, b.part)
		}
		pieces[b.part] = append(pieces[b.part], sweep.Of(b.region)...)
	}
	s.swept = make([]swept, len(parts))
	tol := s.sweptWithin()
	var edges map[*linkage.Pose][]sweep.Edges
	if s.Plays != nil {
		plays, _ := s.Plays()
		edges = sweep.EdgesOver(plays, motions, s.byTurns)
	}
	order := slices.Clone(parts) // parts with most pieces first, so that short work is begun last
	slices.SortStableFunc(order, func(a, b int) int { return len(pieces[b]) - len(pieces[a]) })
	s.byTurns(len(order), func(i int) {
		part := order[i]
		stretches := sweep.Stretches(motions, part)
		s.swept[slices.Index(parts, part)] = swept{part, sweep.Outline(pieces[part], sweep.Ways(stretches, part), tol),
			sweep.Shaken(pieces[part], sweep.Stands(stretches, part, edges), tol)}
	})
}

// byTurns does n pieces of work in order, as many at a time as there are processors. It begins no more once the drawing
// is no longer wanted.
func (s *scene) byTurns(n int, work func(i int)) {
	var crew solver.Crew
	var next atomic.Int64
	for range min(runtime.GOMAXPROCS(0), n) {
		crew.Go(func() {
			for i := int(next.Add(1)) - 1; i < n && !s.stopped(); i = int(next.Add(1)) - 1 {
				work(i)
			}
		})
	}
	crew.Wait()
}

// stopped reports whether the drawing is no longer wanted.
func (s *scene) stopped() bool { return s.Stopped != nil && s.Stopped() }

// sweptShare is the size of the scene over the error of its swept outlines: 0.1 mm of an A4 sheet's width.
const sweptShare = 3000

// size is the diagonal of a box round the circles round all bodies at the positions drawn, mm.
func (s *scene) size() float64 {
	b := drawing.NoBox()
	for _, p := range s.ghosts {
		for i := range s.bodies {
			r := s.bodies[i].region
			c := p.Part[s.bodies[i].part].Out(r.Centre)
			b = b.Join(sane(drawing.Box{Min: c, Max: c}.Grown(r.Radius)))
		}
	}
	if b.Empty() {
		return 1
	}
	return max(b.Max.Sub(b.Min).Len(), 1e-6)
}

// mostAlong is the number of turn values at which each running range is followed, and the number of its settings there.
const mostAlong = 12

// alongTravels is the motion of every running range from end to end, at turn values all round the turn: a part that
// swings with a range passes over everything between its ends.
func (s *scene) alongTravels(chosen []float64) (motions [][]*linkage.Pose) {
	for i, t := range s.Problem.Travels {
		if !t.Range || len(t.Settings) < 2 {
			continue
		}
		every := (len(t.Settings) + mostAlong - 1) / mostAlong
		for _, turn := range s.steps((s.Problem.Turn.To - s.Problem.Turn.From) / mostAlong) {
			at := func(setting float64) *linkage.Pose {
				v := slices.Clone(chosen)
				v[i] = setting
				return s.pose(turn, v)
			}
			var m []*linkage.Pose
			for k := 0; k < len(t.Settings); k += every {
				m = append(m, at(t.Settings[k]))
			}
			motions = append(motions, append(m, at(t.Settings[len(t.Settings)-1])))
		}
	}
	return motions
}

// mostSettings bounds the travel settings for swept outlines.
const mostSettings = 9

// ends returns the chosen travel setting and every other that consists of ends of ranges and of listed settings. Where
// those are too many, it returns those that differ from the chosen one in one travel alone.
func (s *scene) ends(chosen []float64) [][]float64 {
	all := [][]float64{chosen}
	add := func(v []float64) {
		if !slices.ContainsFunc(all, func(have []float64) bool { return slices.Equal(have, v) }) {
			all = append(all, v)
		}
	}
	product := [][]float64{{}}
	for _, t := range s.Problem.Travels {
		var next [][]float64
		for _, v := range product {
			for _, stop := range stopsOf(t) {
				next = append(next, append(slices.Clone(v), stop))
			}
		}
		if product = next; len(product) > mostSettings {
			break
		}
	}
	if len(product) <= mostSettings {
		for _, v := range product {
			add(v)
		}
		return all
	}
	for i, t := range s.Problem.Travels {
		for _, stop := range stopsOf(t) {
			v := slices.Clone(chosen)
			if v[i] = stop; len(all) < 4*mostSettings {
				add(v)
			}
		}
	}
	return all
}

func stopsOf(t solver.Travel) []float64 {
	if t.Range {
		return []float64{t.From, t.To}
	}
	return t.Settings
}
