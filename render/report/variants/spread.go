package variants

import (
	"cmp"
	"math"
	"path/filepath"
	"slices"
	"strconv"

	"barover/render/report"
	"barover/render/report/figures"
	"barover/sketch"
	"barover/sketch/assembled"
	"barover/sketch/quantity"
	"barover/solver"
	"barover/solver/spread"
)

// SpreadReport is what the tolerances come to. Its fields are the object that `spread --json` prints.
type Spread struct {
	Sketch     string          `json:"sketch"`
	Units      string          `json:"units"`
	Values     string          `json:"values"`
	Samples    int             `json:"samples"`
	Seed       uint64          `json:"seed"`
	Law        string          `json:"law"`
	Assembled  bool            `json:"assembled"`
	Stopped    bool            `json:"stopped,omitempty"` // it was broken off: there may be worse engines
	Drawn      int             `json:"drawn"`             // engines drawn; none where all holds in every engine
	Solved     int             `json:"solved"`            // of these: those that the proof left in doubt, or did not ask about
	Cut        bool            `json:"cut,omitempty"`     // no more were drawn, since too many were
	Unmade     int             `json:"unmade"`            // of the engines drawn: those that cannot be assembled
	Tolerances []toleranceUsed `json:"tolerances"`
	Checks     []spreadCheck   `json:"checks"`
	// Closer is which tolerances to close for every check to hold in every engine, each entry a way by itself; Wider which may be
	// opened where all hold. All of them are proved.
	Closer [][]closeTo `json:"closer"`
	Wider  [][]closeTo `json:"wider"`

	e       *assembled.Engine
	glanced bool // not all that is not proved was tried in every engine drawn
}

// Tolerances lists the tolerances of a sketch's dimensions.
func Tolerances(e *assembled.Engine) (list []spread.Tolerance) {
	for i := range e.Dims {
		d := &e.Dims[i]
		if t := d.Counts(); t.Given && t.Upper > t.Lower {
			list = append(list, spread.Tolerance{Dim: i, Value: d.Value, Lower: t.Lower, Upper: t.Upper, Fixed: d.Source == sketch.FromMade})
		}
	}
	return list
}

// toleranceUsed is one that was carried through.
type toleranceUsed struct {
	Dim   string         `json:"dim"`
	Lower figures.Figure `json:"lower"`
	Upper figures.Figure `json:"upper"`
	Fit   string         `json:"fit,omitempty"`
	Made  bool           `json:"made"`
}

// spreadCheck is what the tolerances do to one check. Worst and rss are of the side that they come nearer to, the least
// or the greatest; where all hold, of a side that they move.
type spreadCheck struct {
	report.CheckName
	AtLeast  figures.Figure `json:"at_least"`
	AtMost   figures.Figure `json:"at_most"`
	Least    figures.Figure `json:"least"`
	Greatest figures.Figure `json:"greatest"`
	Side     string         `json:"side"`
	Worst    figures.Figure `json:"worst"`
	// WorstProved is what no engine that the tolerances allow is worse than, at any position; null where that is not proved, for the
	// reasons in NotProved.
	WorstProved figures.Figure        `json:"worst_proved"`
	NotProved   []report.UnprovedSpan `json:"not_proved"`
	WorstFrom   string                `json:"worst_from"` // "limits": every part at its worst limit; "between": some between them; "drawn": an engine drawn was worse
	WorstWith   figures.List          `json:"worst_with"`
	RSS         figures.Figure        `json:"rss"`
	FallsShort  figures.Figure        `json:"falls_short"`
	Between     [2]figures.Figure     `json:"falls_short_between"` // with a confidence of 95 in 100
	Surely      [2]figures.Figure     `json:"falls_short_surely"`  // of the engines drawn, the share that surely falls short, and that which may
	Drawn       int                   `json:"drawn"`               // engines in which it was tried
	OK          bool                  `json:"ok"`                  // it holds in the worst found
	OKNow       bool                  `json:"ok_now"`              // and with every dimension at its value
	Unmade      bool                  `json:"unmade"`              // an engine within the limits cannot be assembled
	Sure        string                `json:"sure"`                // "proved": every engine is proved to hold, or the worst found to fall short
	Matters     []matter              `json:"matters"`             // the tolerances, the most first
	Scale       figures.Figure        `json:"scale"`               // by what the open tolerances may be multiplied for it to hold in the worst found
	ScaleRSS    figures.Figure        `json:"scale_rss"`           // and by root sum square

	report.Called
	kind   quantity.Kind
	apart  bool
	figure figures.Figure
	judged solver.Judgement // of the worst found
	short  int
	holds  bool         // in every engine, proved
	inside figures.List // with which sizes between the limits the worst was found
}

// matter is what one tolerance does to a check.
type matter struct {
	Dim     string         `json:"dim"`
	PerUnit figures.Figure `json:"per_unit"`   // null where slopes do not tell: then the rest was found by trial
	Either  figures.Figure `json:"either_way"` // by how much it moves the figure from the middle of its limits
	Share   figures.Figure `json:"share"`      // of the square sum
}

func NewSpread(e *assembled.Engine, q *spread.Ask, a *spread.Answer) *Spread {
	w := report.NewReporter(e)
	r := &Spread{Sketch: filepath.ToSlash(e.Path), Units: e.Units.Name(), Values: e.Shown, Samples: a.Samples, Seed: q.Seed,
		Law: q.Law.String(), Assembled: !a.Broken, Stopped: a.Stopped, Drawn: a.Drawn, Solved: a.Solved, Cut: a.Cut, Unmade: a.Unmade, Checks: []spreadCheck{}, e: e, glanced: a.Glanced}
	r.Tolerances = figures.Each(q.Tolerances, func(t *spread.Tolerance) toleranceUsed {
		d := &e.Dims[t.Dim]
		return toleranceUsed{d.Name, figures.Of(w.Units, t.Lower, d.Kind), figures.Of(w.Units, t.Upper, d.Kind), d.Counts().Fit, t.Fixed}
	})
	r.Closer, r.Wider = leversOf(w, q, a.Closer), leversOf(w, q, a.Wider)
	for i := range a.Checks {
		if s := checkOf(w, q, &a.Checks[i]); !s.leftOut() {
			r.Checks = append(r.Checks, s)
		}
	}
	return r
}

func checkOf(w report.Reporter, q *spread.Ask, c *spread.Check) spreadCheck {
	k := w.KindOfCheck(c.Check)
	f := &c.Finding
	of := func(v float64) figures.Figure { return figures.Of(w.Units, v, k) }
	s := spreadCheck{CheckName: w.Name(c.Check), AtLeast: of(f.AtLeast), AtMost: of(f.AtMost), Least: of(f.Least), Greatest: of(f.Greatest),
		Side: "least", Worst: of(c.Worst), WorstFrom: "limits", WorstWith: figures.List{}, RSS: of(c.RSS), FallsShort: figures.Figure(c.Share),
		Between: [2]figures.Figure{figures.Figure(c.Low), figures.Figure(c.High)}, Drawn: c.Samples, OK: c.OK, OKNow: f.OK, Unmade: c.Unmade,
		Sure: c.Sure.String(), Matters: []matter{}, Scale: figures.Figure(c.Scale), ScaleRSS: figures.Figure(c.ScaleRSS),
		kind: k, apart: f.Apart, figure: of(c.Figure), judged: w.Engine.Problem.Judge(c.InWorst()), short: c.Short}
	s.judged.Margin = c.Room // its limit may follow from the dimensions too
	s.WorstProved, s.holds, s.NotProved = of(c.Proved), c.Holds, []report.UnprovedSpan{}
	if math.IsNaN(c.Proved) && !c.Holds && c.Why.Why != solver.NotTried {
		s.NotProved = w.Unproved(&solver.Finding{Unproved: []solver.Unproved{c.Why}})
	}
	if c.OK && !c.Holds {
		s.Sure = solver.Sampled.String() // the worst found holds, and another engine may not
	}
	s.Surely = [2]figures.Figure{figures.Figure(math.NaN()), figures.Figure(math.NaN())}
	if c.Samples > 0 {
		s.Surely = [2]figures.Figure{figures.Figure(c.Surely[0]), figures.Figure(c.Surely[1])}
	}
	if c.Upper {
		s.Side = "greatest"
	}
	for i, v := range c.Corner {
		t := &q.Tolerances[i]
		d := &w.Engine.Dims[t.Dim]
		n := figures.Named{Name: d.Name, Value: figures.Of(w.Units, v, d.Kind), Kind: d.Kind}
		s.WorstWith = append(s.WorstWith, n)
		if t.Between(v) {
			s.inside = append(s.inside, n)
		}
	}
	switch {
	case c.Drawn:
		s.WorstFrom = "drawn"
	case len(s.inside) > 0:
		s.WorstFrom = "between"
	}
	for i, p := range c.Stack {
		d := &w.Engine.Dims[p.Dim]
		slope := p.Slope
		if c.Upper {
			slope = -slope
		}
		s.Matters = append(s.Matters, matter{d.Name, figures.Of(w.Units, slope, quantity.Kind{L: k.L - d.Kind.L, A: k.A - d.Kind.A}),
			of(p.Half()), figures.Figure(c.Stack.Share(i))})
	}
	return s
}

// WorstSet is the sizes of the worst engine of the tightest check that tolerances make worse, as --set takes them; none where there is
// no such check. What is seen from the side comes before what is not.
func (r *Spread) WorstSet() []string {
	short, holds, _ := r.rows()
	across := func(list []*spreadCheck) []*spreadCheck {
		slices.SortStableFunc(list, func(a, b *spreadCheck) int { return cmp.Compare(aside(a), aside(b)) })
		return list
	}
	for _, s := range append(across(short), across(holds)...) {
		if s.Worst.Missing() || len(s.WorstWith) == 0 || s.Worst.Read(r.e.Units, s.kind) == s.figure.Read(r.e.Units, s.kind) {
			continue
		}
		return figures.Each(s.WorstWith, func(n *figures.Named) string {
			return n.Name + "=" + strconv.FormatFloat(float64(n.Value), 'g', -1, 64)
		})
	}
	return nil
}

// aside is 0 for a check that is seen from the side.
func aside(s *spreadCheck) int {
	if s.Kind == "clear" {
		return 0
	}
	return 1
}

// Status is 1 where something falls short in the worst found.
func (r *Spread) Status() int {
	short := slices.ContainsFunc(r.Checks, func(s spreadCheck) bool { return !s.OK })
	return report.StatusOf(!short && r.Assembled && r.Unmade == 0)
}
