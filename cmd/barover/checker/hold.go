package checker

import (
	"fmt"
	"math"
	"slices"
)

// Truth is what the checker itself finds of a sketch.
type Truth struct {
	Sketch *Sketch
	fields []*field

	// Results computed once, since several answers to a sketch are compared to one truth. Each is keyed by its question.
	found  map[string]Least
	not    map[string]unmet
	doubts map[string]string
}

// unmet is where on the turn a figure is below zero, and whether the engine goes round there.
type unmet struct {
	in []Span
	ok bool
}

// Held is how an answer compares with the truth.
type Held struct {
	Wrong    []string // each a sentence
	Asked    int      // checks
	Wide     int      // stretches whose ends may be out by more than 0.001°, as the answer says
	Unproved int      // number of them that were not proved; only their verdict is compared
}

func (h *Held) wrong(format string, a ...any) { h.Wrong = append(h.Wrong, fmt.Sprintf(format, a...)) }

// whole reports whether the engine can be assembled all over the grids.
func (t *Truth) whole() bool {
	return !slices.ContainsFunc(t.fields, func(f *field) bool { return slices.Contains(f.poses, nil) })
}

// solve makes the truth of a sketch whose linkage is complete.
func (s *Sketch) solve() (*Truth, error) {
	fields, err := s.fields()
	s.solved = fields
	return &Truth{s, fields, make(map[string]Least), make(map[string]unmet), make(map[string]string)}, err
}

// below returns where a figure is below zero at a setting. The result is kept under the figure's name.
func (t *Truth) below(f *field, travel []float64, name string, g Figure) ([]Span, bool) {
	key := fmt.Sprint(name, travel)
	u, ok := t.not[key]
	if !ok {
		u.in, u.ok = t.Sketch.below(f, travel, g)
		t.not[key] = u
	}
	return u.in, u.ok
}

// doubt returns what the library says against the checker's distance of two profiles at a pose; "" where they agree. The
// result is kept by pair and place.
func (t *Truth) doubt(p *Pose, i, j int) string {
	key := fmt.Sprint(i, j, p.Turn, p.Travel)
	d, ok := t.doubts[key]
	if !ok {
		d = t.Sketch.Doubt(p, i, j)
		t.doubts[key] = d
	}
	return d
}

// least is the least of a figure, kept by name.
func (t *Truth) least(name string, g Figure) Least {
	l, ok := t.found[name]
	if !ok {
		l = least(t.fields, g)
		t.found[name] = l
	}
	return l
}

// pair is the least distance of two profiles.
func (t *Truth) pair(i, j int) Least {
	return t.least(fmt.Sprint(i, j), t.distance(i, j))
}

// lowest and highest are the least of a sum and of minus the sum.
func (t *Truth) lowest(v Sum) Least { return t.least(v.Text, v.Of) }

func (t *Truth) highest(v Sum) Least {
	return t.least("-"+v.Text, func(p *Pose) float64 { return -v.Of(p) })
}

func (t *Truth) distance(i, j int) Figure {
	return func(p *Pose) float64 { return t.Sketch.signed(p, i, j).D }
}

// Hold compares an answer with the truth.
func (t *Truth) Hold(a *Answer) *Held {
	h := &Held{Asked: len(t.Sketch.Asks)}
	t.holdMotion(h, a)
	for i := range t.Sketch.Asks {
		q := &t.Sketch.Asks[i]
		c := a.check(t.Sketch, q)
		if c == nil {
			h.wrong("line %d is not answered", q.Line)
			continue
		}
		if q.Kind != "meet" && (c.Sure != "proved" || len(c.Unproved) > 0) {
			h.Unproved++
		}
		switch q.Kind {
		case "clear":
			t.holdClear(h, q, c)
		case "keep":
			t.holdKeep(h, q, c)
		case "gap":
			t.holdGap(h, q, c)
		case "meet":
			holdMeeting(h, q, c)
		}
	}
	for i := range t.Sketch.Measures {
		t.holdMeasure(h, &t.Sketch.Measures[i], a)
	}
	return h
}

// holdMotion holds what is said of the assembly: all the way, or up to the dead centre at which the motion ends.
func (t *Truth) holdMotion(h *Held, a *Answer) {
	s := t.Sketch
	if !s.Ends {
		if !a.Assembled {
			h.wrong("said not to be assembled all the way, and it is")
		}
		return
	}
	if end := s.Turn.To * 180 / math.Pi; !a.Assembled && (len(a.Broken) != 1 || math.Abs(a.Broken[0].From-end) > 0.001) {
		h.wrong("said not to be assembled over %v, true from %.9g on", a.Broken, end)
	}
}

// How much a figure may miss what was asked and still hold. README: "How sure is it".
const (
	meetsLength = 1e-4 // mm
	meetsOther  = 1e-5 // rad, or a bare number
)

// holdClear compares the answer to a clear line: the verdict, the least, its place and the stretches.
func (t *Truth) holdClear(h *Held, q *Ask, c *Answered) {
	s := t.Sketch
	if s.across(q.A, q.B) >= 0 {
		if !c.OK || c.Least != nil {
			h.wrong("line %d: the bands do not overlap, yet it says ok %v, least %v", q.Line, c.OK, show(c.Least))
		}
		return
	}
	g := t.distance(q.A, q.B)
	low := t.pair(q.A, q.B)
	at, f := t.poseAt(c.At)
	if at != nil {
		low.take(at, g(at))
	}
	if room := low.V - q.AtLeast + meetsLength; low.V > 0 || s.signed(low.At, q.A, q.B).Depth || room < -4*meetsLength {
		t.holdVerdict(h, q, c, room, s.Tolerance())
	}
	if c.Sure != "proved" || t.beside(c, low.At) {
		return
	}
	deep := low.At == nil || s.signed(low.At, q.A, q.B).Depth
	t.holdLeast(h, q.Line, "least", c.Least, low, at, g, deep, s.Tolerance())
	if !c.OK && at != nil {
		t.holdFouls(h, q, c, f, fmt.Sprint("line ", q.Line), func(p *Pose) float64 { return g(p) - q.AtLeast })
	}
	if low.At != nil {
		if doubt := t.doubt(low.At, q.A, q.B); doubt != "" {
			h.wrong("line %d: the checker is at odds with itself: %s", q.Line, doubt)
		}
	}
}

// holdVerdict compares whether a check holds, where that is outside the tolerance of both.
func (t *Truth) holdVerdict(h *Held, q *Ask, c *Answered, room, tolerance float64) {
	if math.Abs(room) > tolerance && c.OK != (room > 0) {
		h.wrong("line %d: said ok %v (%s, least %s at %v), true room %.9g", q.Line, c.OK, c.Sure, show(c.Least), c.At, room)
	}
}

// beside reports whether a pose lies in a stretch that an answer leaves out of its claim.
func (t *Truth) beside(c *Answered, p *Pose) bool {
	if p == nil {
		return false
	}
	d := p.Turn * 180 / math.Pi
	return slices.ContainsFunc(c.Unproved, func(u AnsweredSpan) bool { return d >= u.From-0.001 && d <= u.To+0.001 })
}

// holdLeast compares a least with the least that was found, and with the figure at its own place. Where outlines overlap
// whose depth the checker does not know, the figure must be below zero there.
func (t *Truth) holdLeast(h *Held, line int, name string, said *float64, low Least, at *Pose, g Figure, deep bool, tolerance float64) {
	switch {
	case said == nil:
		h.wrong("line %d: no %s, true %.9g", line, name, low.V)
		return
	case at == nil:
		h.wrong("line %d: %s %.9g is said to be where the engine cannot be", line, name, *said)
		return
	}
	there := g(at)
	if !deep && *said <= tolerance && there <= tolerance {
		return
	}
	if !(math.Abs(*said-low.V) <= tolerance) {
		h.wrong("line %d: %s said %.9g, true %.9g at %s", line, name, *said, low.V, t.where(low.At))
	} else if !(math.Abs(there-*said) <= tolerance) {
		h.wrong("line %d: %s said %.9g where it is %.9g; true place %s", line, name, *said, there, t.where(low.At))
	}
}

// holdFouls compares the stretches in which a check is not met, at the setting that the answer gives, to 0.001°. They are
// those in which the figure g is below zero; name is the name of g.
func (t *Truth) holdFouls(h *Held, q *Ask, c *Answered, f *field, name string, g Figure) {
	s := t.Sketch
	if s.Turn == nil || len(c.Fouls) == 0 {
		if s.Turn != nil {
			h.wrong("line %d: not met, yet no stretch is given", q.Line)
		}
		return
	}
	place := map[string]float64{s.Turn.Name: s.Turn.From * 180 / math.Pi}
	for k, v := range c.Fouls[0].Travel {
		place[k] = v
	}
	p, _ := t.poseAt(place)
	if p == nil {
		h.wrong("line %d: the stretches are at a setting that is none: %v", q.Line, c.Fouls[0].Travel)
		return
	}
	truth, ok := t.below(f, p.Travel, name, g)
	if !ok {
		return
	}
	var said []Span
	out := fine
	for _, i := range c.Fouls {
		if i.Out > 0 {
			h.Wide++
			out = max(out, i.Out*math.Pi/180+fine)
		}
		said = append(said, Span{i.From * math.Pi / 180, i.To * math.Pi / 180})
	}
	said = onTurn(said, s.Turn.From, s.Turn.To)
	wrong := func(i Span, met bool) bool {
		if i.To-i.From <= out {
			return false
		}
		least, greatest, ok := t.over(i, p.Travel, f, g)
		level := 1e-11 * s.Size() // a figure within rounding of the limit is both met and not met
		return !ok || max(-least, greatest) > level && (met && least < 0 || !met && greatest > 0)
	}
	if slices.ContainsFunc(less(truth, said), func(i Span) bool { return wrong(i, true) }) ||
		slices.ContainsFunc(less(said, truth), func(i Span) bool { return wrong(i, false) }) { // the truth may miss a short one, or a short gap
		h.wrong("line %d: stretches said %s, true %s", q.Line, inDegrees(said), inDegrees(truth))
	}
}

// fine is how far the end of a stretch may be off, rad: 0.001°, and the checker's own share.
const fine = 0.001*math.Pi/180 + 1e-9

// over is the least and greatest of a figure at nine places within a stretch; false where the engine cannot be followed there.
func (t *Truth) over(i Span, travel []float64, f *field, g Figure) (least, greatest float64, ok bool) {
	s := t.Sketch
	least, greatest = math.Inf(1), math.Inf(-1)
	p := s.goTo(f.poses[f.index(f.seeds())], s.Turn.From, travel)
	for k := range 9 {
		if p == nil {
			return least, greatest, false
		}
		if p = s.goTo(p, i.From+(i.To-i.From)*float64(k+1)/10, travel); p != nil {
			v := g(p)
			least, greatest = math.Min(least, v), math.Max(greatest, v)
		}
	}
	return least, greatest, true
}

// show writes a figure that may be missing.
func show(v *float64) string {
	if v == nil {
		return "none"
	}
	return fmt.Sprintf("%.9g", *v)
}

// where names the place of a pose.
func (t *Truth) where(p *Pose) string {
	if p == nil {
		return "no place"
	}
	text := ""
	if s := t.Sketch.Turn; s != nil {
		text = fmt.Sprintf(" %s %.6f", s.Name, p.Turn*180/math.Pi)
	}
	for k, a := range t.Sketch.Travels {
		text += fmt.Sprintf(" %s %.6f", a.Name, p.Travel[k]/map[bool]float64{true: math.Pi / 180, false: 1}[a.Angle])
	}
	return text
}

func inDegrees(in []Span) string {
	text := ""
	for _, i := range in {
		text += fmt.Sprintf(" [%.5f, %.5f]", i.From*180/math.Pi, i.To*180/math.Pi)
	}
	return text
}
