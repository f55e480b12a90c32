// Package report says what was found in words, tables, JSON and Markdown: the answers of check, compare, ledger, seek,
// spread and template, and the words of sheets and page. It is the one part of render that knows the sketch, for its
// units, names and lines. It finds nothing by itself; where a result leaves something unsaid, it asks the machine of the
// engine.
//
// A newcomer may change every word here: the scripts of the command's tests pin them.
package report

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"path/filepath"
	"slices"

	"barover/render/report/figures"
	"barover/render/terminal"
	"barover/sketch/assembled"
	"barover/sketch/quantity"
	"barover/sketch/syntax"
	"barover/solver"
	"barover/solver/linkage"
)

// Report is what a study found, in the sketch's own unit and with its own names. Its fields are the object that
// `check --json` prints; what only the table for reading needs is not exported.
type Report struct {
	Sketch    string          `json:"sketch"`
	Units     string          `json:"units"`
	Values    string          `json:"values"`
	Set       figures.List    `json:"set,omitempty"`  // dimensions that the command line gave
	Wear      *figures.Figure `json:"wear,omitempty"` // by how much every play is larger than it is written
	Turn      turnRange       `json:"turn"`
	Assembled bool            `json:"assembled"`
	Broken    []brokenSpan    `json:"broken"`
	Passes    []passAnswer    `json:"passes"`
	Checks    []checkAnswer   `json:"checks"`
	Marks     []markAnswer    `json:"marks"`
	LeftOut   []leftOut       `json:"left_out"`
	Pinned    []asideAnswer   `json:"pinned,omitempty"` // of the pairs left out, profiles tried away from their pins
	Measures  []measureRange  `json:"measures"`
	Scans     []scanAnswer    `json:"scans,omitempty"`
	OpenSlots []openSlot      `json:"open_slots,omitempty"` // that break out of the part
	*widths                   // across the engine, where that is asked for

	told   []solver.Told // of the checks, a pair once, in the order of the report
	title  string
	values string // which values counted, in words
	units  quantity.Units
	flags  string // the flags that chose the values, as typed
	moves  []travelRange

	never     []string   // words about marks that do not happen
	round     []roundPin // profiles in one band that are taken for a pin and its eye
	slips     []string   // statements without effect, and likely mistakes
	clearsAll bool       // the sketch has a clear all line
	fixed     bool       // the sketch has no turn: there is one position
	followed  bool       // see solver.Result
	allLevers bool       // the levers of every check are reported
	allTried  bool       // the quarters of checks that hold are reported too
}

// travelRange is a travel as a table for reading needs it.
type travelRange struct {
	name     string
	isRange  bool
	from, to figures.Figure   // of a range
	settings []figures.Figure // of a list
	shown    figures.List     // where it stands in a table of marks: each setting of a list; of a range rest, then its ends
}

type turnRange struct {
	Name string         `json:"name"`
	From figures.Figure `json:"from"`
	To   figures.Figure `json:"to"`
}

// MarshalJSON writes null for a sketch without a turn.
func (t turnRange) MarshalJSON() ([]byte, error) {
	if t.Name == "" {
		return []byte("null"), nil
	}
	type object turnRange
	return json.Marshal(object(t))
}

// brokenSpan is a stretch of the turn over which the parts cannot be assembled.
type brokenSpan struct {
	span
	File   string         `json:"file,omitempty"` // where the line stands, unless in the sketch itself
	Line   int            `json:"line"`
	Miss   figures.Figure `json:"miss"`
	Travel figures.List   `json:"travel"`

	missKind quantity.Kind
	Either   bool   `json:"-"`             // it can go either way there
	Why      string `json:"why,omitempty"` // what cannot be met has no value there
	text     string // of the statement that cannot be met
	sure     bool   // over part of it, it is proved that there is no position
	tried    []span // where that was only tried
	Place    string `json:"-"` // where it stands, for reading
}

// span is a stretch of the turn, degrees.
type span struct {
	From figures.Figure `json:"from"`
	To   figures.Figure `json:"to"`
}

// foulSpan is a stretch of the turn in which a check is not met.
type foulSpan struct {
	span
	Out    *figures.Figure `json:"out,omitempty"` // how far either end may be out; absent where they are right to 0.001°
	Travel figures.List    `json:"travel"`
}

// checkAnswer is the answer to one check.
type checkAnswer struct {
	CheckName
	AtLeast    figures.Figure `json:"at_least"`
	AtMost     figures.Figure `json:"at_most"`
	Least      figures.Figure `json:"least"`
	Greatest   figures.Figure `json:"greatest"`
	At         figures.List   `json:"at"`
	Fouls      []foulSpan     `json:"fouls"`
	OK         bool           `json:"ok"`
	Sure       string         `json:"sure"`
	Unproved   []UnprovedSpan `json:"unproved"`
	Levers     []lever        `json:"levers"`
	AtQuarters []atQuarter    `json:"at_quarters,omitempty"` // of what moves with the turn
	Fill       *filling       `json:"fill,omitempty"`        // of a gap too wide, where something at hand fills it
	NoValue    *noValue       `json:"no_value,omitempty"`    // of a keep line that has none somewhere
	*tightness                // of a loose line; nil of others
	// Tight is the tight spots of a loose line; of a clear line with play, the least with every play at zero.
	Tight    any       `json:"tight,omitempty"`
	WithPlay *withPlay `json:"with_play,omitempty"` // of a keep line
	// LeastProved and GreatestProved are what no place in its play brings a clear line beyond; null where that is not known.
	LeastProved    *figures.Figure `json:"least_proved,omitempty"`
	GreatestProved *figures.Figure `json:"greatest_proved,omitempty"`

	kind             quantity.Kind
	judged           solver.Judgement
	tight, tightMost *figures.Figure // of a clear line, its least and greatest with every play at zero; nil where none counts
	lap              figures.Figure  // of a clear line: by how much the two bands overlap; 0 where that is all of one
	playRoom         float64         // of a keep line with play: by how much it keeps within its limits, below zero where it may not
	ofAll            bool            // of `clear all`
	stays            bool            // over the turn: of a keep line, only travels change it
	level            bool            // of a keep or loose line: it reads the same at every position and every travel
}

// lever is what one dimension does to a check.
type lever struct {
	Dim     string         `json:"dim"`
	PerUnit figures.Figure `json:"per_unit"`
	ToHold  figures.Figure `json:"to_hold"`
	Made    bool           `json:"made"`

	kind    quantity.Kind
	now     figures.Figure
	next    figures.Figure // the next size available
	stocked bool           // it is one of those that a stock line names
	spare   figures.Figure // the room that it leaves the check
	breaks  []int          // of the checks, those that hold now and would not
	mends   []int          // those that do not hold now and would
	worsens []worsened
}

// worsened is a check that falls short already, and what it would come to.
type worsened struct {
	check int
	is    figures.Figure
}

// markAnswer is one time that a mark happens.
type markAnswer struct {
	Name  string       `json:"name"`
	At    figures.List `json:"at"`
	Shows figures.List `json:"shows"`
}

type leftOut struct {
	A   string `json:"a"`
	B   string `json:"b"`
	Why string `json:"why"`
}

// measureRange is the least and greatest of a measure over the whole turn and every travel.
type measureRange struct {
	Name       string         `json:"name"`
	Note       string         `json:"note,omitempty"`
	Least      figures.Figure `json:"least"`
	LeastAt    figures.List   `json:"least_at"`
	Greatest   figures.Figure `json:"greatest"`
	GreatestAt figures.List   `json:"greatest_at"`
	NoValue    *noValue       `json:"no_value,omitempty"` // where it has none somewhere

	kind  quantity.Kind
	stays bool // over the turn: only travels change it
}

// Reporter turns the answers of a study into a report.
type Reporter struct {
	Engine *assembled.Engine
	Units  quantity.Units
}

// NewReporter speaks of an engine in its own units.
func NewReporter(e *assembled.Engine) Reporter { return Reporter{e, e.Units} }

// Wish is what to report beside the answers.
type Wish struct {
	Levers bool // what every dimension does to every check
	Long   bool // of what holds, too, what the quarters show
	Across bool // the widths across the engine
}

// Whole is all that check says about a study. What the study does not say it asks about the machine: where sums have no value, what
// the quarters show, and what stands across the engine.
func Whole(ctx context.Context, e *assembled.Engine, res *solver.Result, w Wish) (*Report, error) {
	r := New(e, res)
	r.allLevers, r.allTried = w.Levers, w.Long
	lacks, err := lacking(ctx, e, res)
	if err != nil {
		return nil, err
	}
	r.take(e, lacks)
	if err := r.tryQuarters(ctx, e); err != nil {
		return nil, err
	}
	if w.Across {
		err = r.layAcross(ctx, e)
	}
	return r, err
}

func New(e *assembled.Engine, res *solver.Result) *Report {
	w := NewReporter(e)
	t := e.Problem.Turn
	r := &Report{
		Sketch: filepath.ToSlash(e.Path), Units: e.Units.Name(), Values: e.Shown, Set: w.set(),
		Turn:      turnRange{t.Name, figures.Of(w.Units, t.From, quantity.Angle), figures.Of(w.Units, t.To, quantity.Angle)},
		Assembled: len(res.Broken) == 0,
		Broken:    figures.Each(res.Broken, w.Broken), Passes: figures.Each(res.Passes, w.pass), Checks: figures.Each(res.Findings, w.check),
		Marks: figures.Each(res.Events, w.mark), Measures: figures.Each(res.Extremes, w.measure),
		LeftOut: figures.Each(res.LeftOut, func(l *solver.LeftOut) leftOut { return leftOut(*l) }), Pinned: w.aside(res), round: figures.Each(res.RoundPin, w.roundPin),
		told: e.Problem.Once(res.Findings), never: w.never(res),
		title: e.Title, values: figures.InWords(e.Sketch), units: w.Units, flags: e.Flags, moves: w.travels(),
		slips: w.slips(), clearsAll: e.Problem.LeftOut != nil, fixed: t.Stmt < 0, followed: res.Followed, Scans: scansOf(e), OpenSlots: w.openSlots(),
	}
	if e.Wear > 0 {
		worn := figures.Of(w.Units, e.Wear, quantity.Length)
		r.Wear = &worn
		r.values += ", every play larger by " + worn.Size(w.Units, quantity.Length)
	}
	return r
}

// set is the dimensions that the command line gave.
func (w Reporter) set() figures.List {
	var n figures.List
	for _, d := range figures.DimsSet(w.Engine.Sketch) {
		n = append(n, figures.Named{Name: d.Name, Value: figures.Of(w.Units, d.Value, d.Kind), Kind: d.Kind})
	}
	return n
}

// line is the line of a statement, and its file where that is not the sketch itself.
func (w Reporter) line(stmt int) (file string, line int) {
	file, line, _ = w.Engine.Place(stmt)
	return w.fileOf(file), line
}

// fileOf is the file of a line; "" for the sketch itself.
func (w Reporter) fileOf(file string) string {
	if file == w.Engine.Path {
		return ""
	}
	return filepath.ToSlash(file)
}

// place is where a statement stands, for reading: its line, and its file as seen from the sketch.
func (w Reporter) place(stmt int) string {
	file, line, _ := w.Engine.Place(stmt)
	return w.placeIn(file, line)
}

func (w Reporter) placeIn(file string, line int) string {
	if file == w.Engine.Path {
		return fmt.Sprintf("line %d", line)
	}
	if near, err := filepath.Rel(filepath.Dir(w.Engine.Path), file); err == nil {
		file = near
	}
	return fmt.Sprintf("%s line %d", filepath.ToSlash(file), line)
}

func (w Reporter) travels() (list []travelRange) {
	for i := range w.Engine.Problem.Travels {
		t := &w.Engine.Problem.Travels[i]
		k := quantity.KindOf(t.Angle, t.Number)
		r := travelRange{name: t.Name, isRange: t.Range, from: figures.Of(w.Units, t.From, k), to: figures.Of(w.Units, t.To, k)}
		r.settings = figures.Each(t.Settings, func(v *float64) figures.Figure { return figures.Of(w.Units, *v, k) })
		at := slices.Clone(t.Settings)
		if t.Range {
			at = slices.DeleteFunc([]float64{t.Rest, t.From, t.To}, func(v float64) bool { return v == t.Rest })
			at = append([]float64{t.Rest}, at...)
		}
		for _, v := range at {
			r.shown = append(r.shown, w.setting(i, v))
		}
		list = append(list, r)
	}
	return list
}

func (w Reporter) travel(settings []float64) figures.List {
	n := figures.List{}
	for i, v := range settings {
		n = append(n, w.setting(i, v))
	}
	return n
}

// setting is a travel at a value.
func (w Reporter) setting(travel int, v float64) figures.Named {
	t := &w.Engine.Problem.Travels[travel]
	k := quantity.KindOf(t.Angle, t.Number)
	return figures.Named{Name: t.Name, Value: figures.Of(w.Units, v, k), Kind: k, Rest: math.Abs(v-t.Rest) <= 1e-9}
}

// Position is where the turn and the travels stand.
func (w Reporter) Position(p solver.Position) figures.List {
	turn := figures.Named{Name: w.Engine.Problem.Turn.Name, Value: figures.Of(w.Units, p.Turn, quantity.Angle), Kind: quantity.Angle}
	return append(figures.List{turn}, w.travel(p.Travel)...)
}

func (w Reporter) span(i solver.Interval) span {
	return span{figures.Of(w.Units, i.From, quantity.Angle), figures.Of(w.Units, i.To, quantity.Angle)}
}

func (w Reporter) Broken(b *linkage.Broken) brokenSpan {
	s := brokenSpan{span: w.span(solver.Interval{From: b.From, To: b.To}), Travel: w.travel(b.Travel), missKind: quantity.Length, Either: b.Either()}
	s.File, s.Line = w.line(b.Stmt)
	s.Place = w.place(b.Stmt)
	if file, st := w.Engine.Statement(b.Stmt); st != nil {
		s.text = terminal.OneLine(file.SpanText(st.Where()))
		if _, isAngle := st.(*syntax.Angle); isAngle {
			s.missKind = quantity.Angle
		}
	}
	s.Miss = figures.Of(w.Units, b.Miss, s.missKind)
	s.sure = len(b.Sure) > 0
	for _, t := range b.Tried() {
		s.tried = append(s.tried, w.span(solver.Interval{From: t[0], To: t[1]}))
	}
	if b.Lack != nil {
		s.Why, _, _, _ = w.Engine.LackAt(b.Lack)
	}
	return s
}

func (w Reporter) check(f *solver.Finding) checkAnswer {
	c := &w.Engine.Problem.Checks[f.Check]
	k := quantity.KindOf(c.Angle, c.Number)
	a := checkAnswer{
		CheckName: w.Name(f.Check),
		AtLeast:   figures.Of(w.Units, f.AtLeast, k), AtMost: figures.Of(w.Units, f.AtMost, k),
		Least: figures.Of(w.Units, f.Least, k), Greatest: figures.Of(w.Units, f.Greatest, k),
		At: figures.List{}, OK: f.OK, Sure: f.Sure.String(),
		kind: k, judged: w.Engine.Problem.Judge(f),
	}
	if _, s := w.Engine.Statement(c.Stmt); s != nil {
		all, ok := s.(*syntax.Clear)
		a.ofAll = ok && all.All
	}
	if a.tightness = w.tightness(f); a.tightness != nil {
		a.Tight = a.tightness.Tight
	}
	w.play(f, &a)
	a.stays = c.Kind == solver.Keep && w.Engine.Problem.Graph.StaysOverTurn(c.Sum)
	if c.Kind == solver.Keep || c.Kind == solver.Loose {
		a.level = !a.Least.Missing() && a.Least.Read(w.Units, k) == a.Greatest.Read(w.Units, k)
	}
	if known := !a.Least.Missing() || !a.Greatest.Missing() || len(f.Fouls) > 0; known && !f.Apart {
		a.At = w.Position(f.At)
	}
	switch c.Kind {
	case solver.Gap:
		a.Fill = w.fill(f)
	case solver.Clear:
		a.lap = w.lap(c)
	}
	if w.Engine.Problem.Turn.Stmt < 0 { // there are no stretches of a turn
		f = &solver.Finding{Levers: f.Levers, Unproved: f.Unproved}
	}
	a.Fouls = figures.Each(f.Fouls, func(i *solver.Interval) foulSpan {
		foul := foulSpan{span: w.span(*i), Travel: w.travel(f.FoulsAt)}
		if i.Out > 0 {
			far := figures.Of(w.Units, i.Out, quantity.Angle)
			foul.Out = &far
		}
		return foul
	})
	a.Unproved = w.Unproved(f)
	a.Levers = figures.Each(f.Levers, func(l *solver.Lever) lever { return w.lever(l, k) })
	return a
}

// lap is by how much the bands of a clear line overlap with sideplay, where to part them is less than to move one past the other.
func (w Reporter) lap(c *solver.Check) figures.Figure {
	m := w.Engine.Machine
	over := -m.Gap(c.A, c.B)
	for _, i := range []int{c.A, c.B} {
		if b := m.Bands[i]; !(over < b.To-b.From) {
			return 0
		}
	}
	return figures.Of(w.Units, over, quantity.Length)
}

// names are the two that a check is about: two profiles, or two points of a loose length. A keep line has its sum.
func (w Reporter) names(c *solver.Check) (a, b string) {
	p := w.Engine.Problem
	switch c.Kind {
	case solver.Clear, solver.Gap:
		return p.Profiles[c.A].Name, p.Profiles[c.B].Name
	case solver.Loose:
		e := &p.Linkage.Equations[c.Equation]
		return p.Linkage.Points[e.P].Name, p.Linkage.Points[e.Q].Name
	}
	file, s := w.Engine.Statement(c.Stmt)
	switch s := s.(type) {
	case *syntax.Keep:
		return terminal.OneLine(file.SpanText(s.Sum.Where())), ""
	case *syntax.Slide: // between the ends of its slot
		return fmt.Sprintf("along(%s, %s)", s.P.Text, s.On.Text), ""
	}
	return "", ""
}

func (w Reporter) lever(l *solver.Lever, k quantity.Kind) lever {
	d := &w.Engine.Dims[l.Dim]
	one := lever{
		Dim: d.Name, Made: d.IsMade(),
		PerUnit: figures.Of(w.Units, l.PerUnit, quantity.Kind{L: k.L - d.Kind.L, A: k.A - d.Kind.A}),
		ToHold:  figures.Of(w.Units, l.ToHold, d.Kind),
		kind:    d.Kind, now: figures.Of(w.Units, d.Value, d.Kind), next: figures.Of(w.Units, l.Next, d.Kind), stocked: len(d.Stock) > 0,
		spare: figures.Of(w.Units, l.Spare, k), breaks: l.Breaks, mends: l.Mends,
	}
	for _, f := range l.Worsens {
		one.worsens = append(one.worsens, worsened{f.Check, w.worstOf(&f)})
	}
	return one
}

// worstOf is the figure at which a finding holds by least.
func (w Reporter) worstOf(f *solver.Finding) figures.Figure {
	return figures.Of(w.Units, w.Engine.Problem.Judge(f).Worst, w.KindOfCheck(f.Check))
}

func (w Reporter) mark(e *solver.Event) markAnswer {
	m := &w.Engine.Problem.Marks[e.Mark]
	a := markAnswer{Name: m.Name, At: w.Position(e.At), Shows: figures.List{}}
	for i, v := range e.Shows {
		s := &w.Engine.Problem.Measures[m.Shows[i]]
		k := quantity.KindOf(s.Angle, s.Number)
		a.Shows = append(a.Shows, figures.Named{Name: s.Name, Value: figures.Of(w.Units, v, k), Kind: k})
	}
	return a
}

func (w Reporter) measure(x *solver.Extremes) measureRange {
	m := &w.Engine.Problem.Measures[x.Measure]
	k := quantity.KindOf(m.Angle, m.Number)
	a := measureRange{Name: m.Name, Note: m.Note, Least: figures.Of(w.Units, x.Least, k), Greatest: figures.Of(w.Units, x.Greatest, k),
		LeastAt: figures.List{}, GreatestAt: figures.List{}, kind: k, stays: w.Engine.Problem.Graph.StaysOverTurn(m.Sum)}
	if !a.Least.Missing() {
		a.LeastAt, a.GreatestAt = w.Position(x.LeastAt), w.Position(x.GreatestAt)
	}
	return a
}
