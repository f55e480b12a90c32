package main

import (
	"context"
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"

	"barover/sketch"
	"barover/solver"
	"barover/solver/machine"
	"barover/solver/spread"
)

// spreadFlags are the flags of spread beside those that every verb has.
type spreadFlags struct {
	valueFlags
	samples int
	seed    uint64
	law     string
	inflate float64
	json    bool
}

func newSpread(c *console) *cobra.Command {
	var f spreadFlags
	cmd := &cobra.Command{
		Use:   "spread FILE",
		Short: "The tolerances carried through to every check",
		Long: `spread carries the tolerances of the sketch (±, tol, fit, and the ± of what was measured) through to every check:
the worst found; the root sum square, which is as unlikely as one part at its limit; and in what share of engines
drawn at random, each solved anew, the check falls short.

The worst is sought, not proved over all sizes between the limits. Every part is put at the limit that is worst for
the check as its slopes tell; where they leave doubt, sizes are tried one by one; and from an engine drawn that is
worse the search goes on. The engine that is named has been solved, its figure is as sure as those of check, and no
engine drawn is worse.

Sizes are drawn by the normal law, with the limits at three standard deviations and none beyond them, or with
--law even, every size between the limits alike. The same seed draws the same engines. A check that keeps more than
half of its room in the worst found is tried on the first 100 of them.

It ends with status 0 if everything holds in the worst found, 1 if something falls short.`,
		Args:              oneFile,
		ValidArgsFunction: completeSketch,
		RunE: func(cmd *cobra.Command, args []string) error {
			r, err := c.spread(cmd.Context(), args[0], &f)
			if err != nil {
				return err
			}
			return c.show(r, f.json)
		},
	}
	f.add(cmd)
	cmd.Flags().IntVar(&f.samples, "samples", spread.Samples, "how many engines to draw")
	cmd.Flags().Uint64Var(&f.seed, "seed", 1, "which engines are drawn")
	cmd.Flags().StringVar(&f.law, "law", spread.Normal.String(), "how sizes lie between their limits: `normal or even`")
	cmd.Flags().Float64Var(&f.inflate, "inflate", 1, "multiply the root sum square by this `factor`, for parts that lie off the middle; Bender takes 1.5")
	cmd.Flags().BoolVar(&f.json, "json", false, "print the answers as one JSON object, with every digit")
	return cmd
}

// mostSamples bounds what --samples may ask for.
const mostSamples = 1_000_000

// ask makes of the flags what is to be carried through.
func (f *spreadFlags) ask(e *engine) (spread.Ask, error) {
	q := spread.Ask{Problem: e.Problem, Vary: vary(e.Sketch), Samples: f.samples, Seed: f.seed, Inflate: f.inflate}
	switch f.law {
	case spread.Normal.String():
	case spread.Even.String():
		q.Law = spread.Even
	default:
		return q, fmt.Errorf("--law %s: there are normal and even", f.law)
	}
	if f.samples < 1 || f.samples > mostSamples {
		return q, fmt.Errorf("--samples %d: from 1 to %d engines can be drawn", f.samples, mostSamples)
	}
	if !(f.inflate >= 1 && f.inflate <= 10) {
		return q, fmt.Errorf("--inflate %g: a factor from 1 to 10, such as 1.5", f.inflate)
	}
	for i := range e.Dims {
		d := &e.Dims[i]
		if t := d.Counts(); t.Given && t.Upper > t.Lower {
			q.Tolerances = append(q.Tolerances, spread.Tolerance{Dim: i, Value: d.Value, Lower: t.Lower, Upper: t.Upper,
				Fixed: d.Source == sketch.FromMade})
		}
	}
	return q, nil
}

// spread reads the sketch and carries its tolerances through.
func (c *console) spread(ctx context.Context, path string, f *spreadFlags) (*spreadReport, error) {
	e, err := c.open(path, &f.valueFlags)
	if err != nil {
		return nil, err
	}
	q, err := f.ask(e)
	if err != nil {
		return nil, err
	}
	p := c.newProgress(filepath.Base(e.Path))
	a, err := spread.Spread(ctx, q, machine.Options{Progress: p.step})
	p.end()
	if err != nil {
		messages, err := inAnyMessages(e.Sketch, err)
		return nil, c.tell(messages, err)
	}
	return newSpreadReport(e, f, &q, a), nil
}

// spreadReport is what the tolerances come to. Its fields are the object that `spread --json` prints.
type spreadReport struct {
	Sketch     string          `json:"sketch"`
	Units      string          `json:"units"`
	Values     string          `json:"values"`
	Samples    int             `json:"samples"`
	Seed       uint64          `json:"seed"`
	Law        string          `json:"law"`
	Assembled  bool            `json:"assembled"`
	Unmade     int             `json:"unmade"` // of the engines drawn: those that cannot be assembled
	Tolerances []toleranceUsed `json:"tolerances"`
	Checks     []spreadCheck   `json:"checks"`

	e *engine
}

// toleranceUsed is one that was carried through.
type toleranceUsed struct {
	Dim   string `json:"dim"`
	Lower figure `json:"lower"`
	Upper figure `json:"upper"`
	Fit   string `json:"fit,omitempty"`
	Made  bool   `json:"made"`
}

// spreadCheck is what the tolerances do to one check. Worst and rss are of the side that they come nearer to, the least
// or the greatest.
type spreadCheck struct {
	checkName
	AtLeast    figure       `json:"at_least"`
	AtMost     figure       `json:"at_most"`
	Least      figure       `json:"least"`
	Greatest   figure       `json:"greatest"`
	Side       string       `json:"side"`
	Worst      figure       `json:"worst"`
	WorstFrom  string       `json:"worst_from"` // "limits": every part at its worst limit; "between": some between them; "drawn": an engine drawn was worse
	WorstWith  namedFigures `json:"worst_with"`
	RSS        figure       `json:"rss"`
	FallsShort figure       `json:"falls_short"`
	Between    [2]figure    `json:"falls_short_between"` // with a confidence of 95 in 100
	Drawn      int          `json:"drawn"`               // engines that it was looked at in
	OK         bool         `json:"ok"`                  // it holds in the worst found
	OKNow      bool         `json:"ok_now"`              // and with every dimension at its value
	Unmade     bool         `json:"unmade"`              // an engine within the limits cannot be assembled
	Sure       string       `json:"sure"`
	Matters    []matter     `json:"matters"`   // the tolerances, the most first
	Scale      figure       `json:"scale"`     // by what the open tolerances may be multiplied for it to hold in the worst found
	ScaleRSS   figure       `json:"scale_rss"` // and by root sum square

	called
	kind   sketch.Kind
	apart  bool
	figure figure
	judged solver.Judgement // of the worst found
	short  int
	inside namedFigures // with which sizes between the limits the worst was found
}

// matter is what one tolerance does to a check.
type matter struct {
	Dim     string `json:"dim"`
	PerUnit figure `json:"per_unit"`   // null where slopes do not tell: then the rest was found by trial
	Either  figure `json:"either_way"` // by how much it moves the figure from the middle of its limits
	Share   figure `json:"share"`      // of the square sum
}

func newSpreadReport(e *engine, f *spreadFlags, q *spread.Ask, a *spread.Answer) *spreadReport {
	w := reporter{e, e.Units}
	r := &spreadReport{Sketch: filepath.ToSlash(e.Path), Units: e.Units.Name(), Values: e.Shown, Samples: a.Samples, Seed: f.seed,
		Law: f.law, Assembled: !a.Broken, Unmade: a.Unmade, Tolerances: []toleranceUsed{}, Checks: []spreadCheck{}, e: e}
	for _, t := range q.Tolerances {
		d := &e.Dims[t.Dim]
		r.Tolerances = append(r.Tolerances, toleranceUsed{d.Name, out(w.u, t.Lower, d.Kind), out(w.u, t.Upper, d.Kind), d.Counts().Fit, t.Fixed})
	}
	for i := range a.Checks {
		if s := w.spreadCheck(q, &a.Checks[i]); !s.leftOut() {
			r.Checks = append(r.Checks, s)
		}
	}
	return r
}

func (w reporter) spreadCheck(q *spread.Ask, c *spread.Check) spreadCheck {
	k := w.kindOfCheck(c.Check)
	f := &c.Finding
	of := func(v float64) figure { return out(w.u, v, k) }
	s := spreadCheck{checkName: w.name(c.Check), AtLeast: of(f.AtLeast), AtMost: of(f.AtMost), Least: of(f.Least), Greatest: of(f.Greatest),
		Side: "least", Worst: of(c.Worst), WorstFrom: "limits", WorstWith: namedFigures{}, RSS: of(c.RSS), FallsShort: figure(c.Share),
		Between: [2]figure{figure(c.Low), figure(c.High)}, Drawn: c.Samples, OK: c.OK, OKNow: f.OK, Unmade: c.Unmade,
		Sure: c.Sure.String(), Matters: []matter{}, Scale: figure(c.Scale), ScaleRSS: figure(c.ScaleRSS),
		kind: k, apart: f.Apart, figure: of(c.Figure), judged: w.e.Problem.Judge(c.InWorst()), short: c.Short}
	s.judged.Margin = c.Room // its limit may follow from the dimensions too
	if c.Upper {
		s.Side = "greatest"
	}
	for i, v := range c.Corner {
		t := &q.Tolerances[i]
		d := &w.e.Dims[t.Dim]
		n := named{name: d.Name, value: out(w.u, v, d.Kind), kind: d.Kind}
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
		d := &w.e.Dims[p.Dim]
		slope := p.Slope
		if c.Upper {
			slope = -slope
		}
		s.Matters = append(s.Matters, matter{d.Name, out(w.u, slope, sketch.Kind{L: k.L - d.Kind.L, A: k.A - d.Kind.A}),
			of(p.Half()), figure(c.Stack.Share(i))})
	}
	return s
}

// status is 1 where something falls short in the worst found.
func (r *spreadReport) status() int {
	for i := range r.Checks {
		if !r.Checks[i].OK {
			return fallsShort
		}
	}
	if !r.Assembled || r.Unmade > 0 {
		return fallsShort
	}
	return allHolds
}
