package sheet

import (
	"math"
	"slices"
	"strings"

	"barover/render/drawing"
	"barover/solver"
	"barover/solver/engine"
	"barover/solver/linkage"
)

// Change is an engine before and after a change, and what came out differently, in words of the sketch after it.
type Change struct {
	Before, After *Engine
	Was, Is       string // names of the two: "as drawn", "as it stands"
	Dims          []ChangedDim
	Checks        []ChangedCheck // the greatest change first
	Sum           string         // the result, in a sentence
}

// ChangedDim is a dimension before and after; Was or Is is "" where only the other engine has it.
type ChangedDim struct {
	Name, Was, Is, By string
	From              string // where its new value comes from: "made"; or ""
}

// ChangedCheck is a check before and after. One of the two findings is nil, and its figure "", where only the other engine
// asks it.
type ChangedCheck struct {
	Before, After *solver.Finding
	Became        solver.Became
	What          string // "conrod.shank – frame.trunk"
	Was, Is, By   string // its figure, and by how much that moved
}

// signs come before the name of a check; their shapes alone tell them apart.
var signs = [...]string{solver.Better: "▲", solver.Worse: "▼", solver.FallsShortNow: "×", solver.StillShort: "×", solver.Mended: "√",
	solver.Came: "+", solver.Went: "–"}

func (c *ChangedCheck) sign() string { return signs[c.Became] }

// sure is the less sure of the two figures, in words; "" where both are proved.
func (c *ChangedCheck) sure() string {
	var less *solver.Finding
	for _, f := range []*solver.Finding{c.Before, c.After} {
		if f != nil && (less == nil || f.Sure < less.Sure) {
			less = f
		}
	}
	if less.Sure == solver.Proved {
		return ""
	}
	return " (" + sureOf(less) + ")"
}

// signsKey explains the signs that are used.
func (c *Change) signsKey() string {
	used := map[string]bool{}
	for i := range c.Checks {
		used[c.Checks[i].sign()] = true
	}
	var words []string
	for i, sign := range signs {
		if used[sign] {
			words = append(words, sign+" "+solver.Became(i).String())
			used[sign] = false // one sign is for what falls short, newly or still
		}
	}
	return strings.Join(words, "; ")
}

// both is an engine laid out as it is and, where there is a change, as it was before, in one frame. Without a change, was
// is nil.
type both struct {
	*Change
	was, is   *scene
	twins     []twin
	words     Words
	at        solver.Position // the position drawn, in the travels of the engine after the change
	answersOn int             // number of the sheet on which the table of answers begins; 0 for none but the overlay
}

// changes reports whether there is an engine before.
func (b *both) changes() bool { return b.was != nil }

// alone is an engine without one before it.
func alone(s *scene, w Words) *both {
	b := &both{Change: &Change{After: s.Engine}, is: s, words: w}
	for i := range s.bodies {
		b.twins = append(b.twins, twin{was: -1, is: i})
	}
	return b
}

// beside is a view of the engine with one of the engine before it, if there is one, on the same paper.
func (b *both) beside(now *view) *bothView {
	old := *now
	old.scene = b.was
	return &bothView{b, now, &old}
}

// layBoth lays both engines out at the position that o asks for, in a frame with room for both.
func layBoth(c *Change, o *Options) *both {
	at := positionAt(c.After, o.At)
	old := *o
	old.At = &solver.Position{Turn: at.Turn, Travel: carried(c.After.Problem, c.Before.Problem, at.Travel)}
	b := &both{was: lay(c.Before, &old), is: lay(c.After, o), words: o.Words, at: at}
	drawn := *c
	b.Change, drawn.Checks = &drawn, nil
	for i := range c.Checks {
		if s, a := b.answer(&c.Checks[i]); s.takes(&a) {
			drawn.Checks = append(drawn.Checks, c.Checks[i])
		}
	}
	box := b.was.box.Join(b.is.box)
	b.was.box, b.is.box = box, box
	b.twins = b.pair()
	return b
}

// positionAt is a position with a value for every travel: the one asked for, or rest.
func positionAt(e *Engine, asked *solver.Position) solver.Position {
	at := solver.Position{Turn: e.Problem.Turn.From, Travel: engine.RestSetting(e.Problem.Travels)}
	if asked != nil {
		at.Turn = asked.Turn
		if len(asked.Travel) == len(at.Travel) {
			at.Travel = asked.Travel
		}
	}
	return at
}

// carried is a travel setting of one engine for another: matched by the names of the travels, at rest where only the
// other has one.
func carried(from, to *solver.Problem, travel []float64) []float64 {
	out := engine.RestSetting(to.Travels)
	for i, t := range to.Travels {
		for k, f := range from.Travels {
			if f.Name == t.Name && k < len(travel) {
				out[i] = travel[k]
			}
		}
	}
	return out
}

// oldPose is the pose of the engine before the change at a position of the one after it.
func (b *both) oldPose(at solver.Position) *linkage.Pose {
	return b.was.pose(at.Turn, carried(b.After.Problem, b.Before.Problem, at.Travel))
}

// little is the distance, mm, below which two places are one: a thousand times the difference of two solutions of one
// engine.
const little = 1e-6

// same reports whether nothing differs that a sheet could show.
func (b *both) same() bool {
	return len(b.Dims)+len(b.Checks) == 0 && !b.waysDiffer() && !slices.ContainsFunc(b.twins, func(t twin) bool { return t.differs || t.across })
}

// answer is a changed check as an answer of the engine after the change, or of the one before it where only that asks it.
func (b *both) answer(c *ChangedCheck) (s *scene, a answer) {
	s, f := b.is, c.After
	if f == nil {
		s, f = b.was, c.Before
	}
	return s, answer{Judgement: s.Problem.Judge(f)}
}

// shown lists the changed checks that have a place or a curve, each pair once. Those that do not hold now come first,
// then those that are mended, then what came out differently and what only one side asks, in the order in which they
// matter. A check that is far apart before and after, or reads the same, has no telling place: it is only in the table.
func (b *both) shown() []*ChangedCheck {
	far := farShare * math.Inf(1)
	if !b.is.box.Empty() {
		far = farShare * b.is.box.Max.Sub(b.is.box.Min).Len()
	}
	var groups [4][]*ChangedCheck
	seen := map[[2]string]bool{}
	for i := range b.Checks {
		c := &b.Checks[i]
		s, a := b.answer(c)
		subject := [2]string{c.What}
		if a.OfPair() {
			one, two := s.profile(a.Check.A), s.profile(a.Check.B)
			subject = [2]string{min(one, two), max(one, two)}
		}
		if seen[subject] || !s.hasPlace(&a) && !s.hasCurve(&a) {
			continue
		}
		if g := c.rank(); g < 2 || a.OfPair() && c.Was != c.Is && min(a.Finding.Least, least(c.Before)) < far {
			seen[subject] = true
			groups[g] = append(groups[g], c)
		}
	}
	return slices.Concat(groups[:]...)
}

// farShare is the share of the engine's size at which a pair is far apart.
const farShare = 0.05

// rank is how important it is to show a check, the least first.
func (c *ChangedCheck) rank() int {
	switch {
	case c.After != nil && !c.After.OK:
		return 0
	case c.Became == solver.Mended:
		return 1
	case c.Before == nil || c.After == nil:
		return 3
	}
	return 2
}

func least(f *solver.Finding) float64 {
	if f == nil || math.IsNaN(f.Least) {
		return math.Inf(1)
	}
	return f.Least
}

// NewChangeBook lays out the sheets of a change: both engines on one overlay, before it thin and after it thick; then the
// changed places enlarged; then the plan and the strip across the engine where bands or gaps changed, which come first
// where nothing changed from the side; and last the table of changes, where it has no room on the overlay.
func NewChangeBook(c *Change, o Options) *Book {
	b := layBoth(c, &o)
	book := newBook(b, o)
	strip := b.across()
	plan, across, places := b.planSection(book.l, strip), strip.section(book.l), b.places(book.l, b.changedPlaces())
	if b.onlyAcross() {
		book.addPacked(plan, across)
	}
	book.add(1, func(o Options, _ int) *drawing.Drawing { return b.overlay(&o, book.l) })
	book.addPacked(places, plan, across, b.tableSection(book.l, b.rows()))
	return book
}

// onlyAcross reports whether the two differ across the engine, but not from the side at the position drawn.
func (b *both) onlyAcross() bool {
	return slices.ContainsFunc(b.twins, func(t twin) bool { return t.across }) && !slices.ContainsFunc(b.twins, func(t twin) bool { return t.differs })
}
