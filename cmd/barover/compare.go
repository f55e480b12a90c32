package main

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"

	"barover/sketch"
	"barover/solver"
	"barover/solver/change"
	"barover/solver/machine"
)

func newCompare(c *console) *cobra.Command {
	var v valueFlags
	var d drawFlags
	var asJSON, long bool
	cmd := &cobra.Command{
		Use:   "compare FILE | compare OLD NEW",
		Short: "What a change moved: drawn against now, or two sketches",
		Long: `compare solves the engine before and after a change and tells of the checks that came out otherwise what they were
and are, and which dimension brought that about: each changed dimension's own share is what it does alone, and "together"
is what is left, so that the shares add up to the whole change. Those that fall short now or are mended come first, then
what has lost the most of its room; what else holds with room is counted, and marks are told with the ranges at rest,
unless --long is given.

Dimensions that follow from changed ones stand apart, and with each the profiles and parts that are written with it: what
has a new size.

With one FILE the sketch as drawn, its dim lines alone, is compared with the sketch as it stands, made and
planned values included, or with the --case and --set that are given. With two, one sketch is compared with
another, such as two versions of one; the values asked for are those of both.

With -o it draws both engines on one sheet as well, before in thin lines and after in thick ones, with what changed
named where it is and in a table; a .pdf has further pages with the changed places enlarged, and the strip across the
engine where bands or gaps changed. They stand where the check that changed most is worst, one that falls short after
the change, newly or still, before one that is mended, and that before any other; or at --at, travels at rest.

It ends with status 0 if everything holds after the change, and 1 if something falls short then.`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 1 || len(args) == 2 {
				return nil
			}
			return fmt.Errorf("compare takes one FILE, or OLD and NEW: barover %s", cmd.Use)
		},
		ValidArgsFunction: completeSketch,
		RunE: func(cmd *cobra.Command, args []string) error {
			return c.runCompare(cmd, args, &v, &d, asJSON, long)
		},
	}
	v.add(cmd)
	d.addPlaces(cmd, "the `position` of the turn that is drawn, degrees; where the most changed check is worst if left out",
		"which `page` an .svg or .png shows, by its number; a .pdf has them all")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print the answers as one JSON object, with every digit")
	cmd.Flags().BoolVar(&long, "long", false, "list every check that came out otherwise, those that hold with room as well, and marks at every travel setting")
	return cmd
}

// runCompare compares, draws if that is asked for, and prints.
func (c *console) runCompare(cmd *cobra.Command, args []string, v *valueFlags, d *drawFlags, asJSON, long bool) error {
	if err := drawnIfAsked(cmd, d, args); err != nil {
		return err
	}
	b, err := c.compare(cmd.Context(), args, v)
	if err != nil {
		return err
	}
	if err := c.drawBoth(cmd.Context(), b, d); err != nil {
		return err
	}
	c.wrote(d.out)
	b.report.long = long
	return c.show(b.report, asJSON)
}

// beforeAfter is two engines with what differs between them, and what is to be told of it.
type beforeAfter struct {
	before, after *engine
	found         *change.Comparison
	report        *compareReport
}

// compare reads and solves the two engines.
func (c *console) compare(ctx context.Context, args []string, v *valueFlags) (*beforeAfter, error) {
	after, err := c.open(args[len(args)-1], v)
	if err != nil {
		return nil, err
	}
	var before *engine
	if len(args) == 2 {
		before, err = c.open(args[0], v)
	} else {
		before, err = c.openDrawn(after)
	}
	if err != nil {
		return nil, err
	}
	p := c.newProgress(filepath.Base(after.Path))
	found, err := change.Compare(ctx, engineOf(before), engineOf(after), machine.Options{Progress: p.step})
	p.end()
	if err != nil {
		of := after
		if u := (*change.Unusable)(nil); errors.As(err, &u) && u.Old {
			of = before
		}
		messages, err := inAnyMessages(of.Sketch, err)
		return nil, c.tell(messages, err)
	}
	r := newCompareReport(before, after, found)
	r.two = len(args) == 2
	return &beforeAfter{before, after, found, r}, nil
}

// openDrawn assembles the same sketch with its dim lines alone.
func (c *console) openDrawn(e *engine) (*engine, error) {
	drawn, messages, err := assembleRead(e.Again(sketch.Options{AsDrawn: true}))
	if err := c.tell(messages, err); err != nil {
		return nil, err
	}
	return drawn, nil
}

// compareReport is what differs between two engines, in the unit of the second and with its names. Its fields are the
// object that `compare --json` prints.
type compareReport struct {
	Before   compared        `json:"before"`
	After    compared        `json:"after"`
	Units    string          `json:"units"`
	Dims     []dimChange     `json:"dims"`
	DimsCame []string        `json:"dims_came"`
	DimsWent []string        `json:"dims_went"`
	Checks   []checkChange   `json:"checks"`
	Came     []checkOutcome  `json:"came"`
	Went     []checkOutcome  `json:"went"`
	Measures []measureChange `json:"measures"`
	Marks    []markChange    `json:"marks"`

	title  string
	units  sketch.Units
	shares map[string]bool // measures that are shares of something on both sides
	two    bool            // they are two sketches
	moves  []travelRange
	long   bool     // every check is listed that came out otherwise, and marks at every travel setting
	looked []string // those that do not and were only looked at, a pair once
	short  int      // checks that fall short after the change, a pair once
	total  int
}

// compared is one of the two.
type compared struct {
	Sketch    string       `json:"sketch"`
	Values    string       `json:"values"`
	Set       namedFigures `json:"set,omitempty"`
	Assembled bool         `json:"assembled"`

	words string
}

// dimChange is a dimension that was changed by itself, or follows from such.
type dimChange struct {
	Name    string   `json:"name"`
	Before  figure   `json:"before"`
	After   figure   `json:"after"`
	Cause   bool     `json:"cause"`             // it was changed by itself
	Alone   bool     `json:"alone"`             // the engine can be solved with it alone changed, so that it has shares
	Follows []string `json:"follows,omitempty"` // the causes that it follows from
	UsedBy  []string `json:"used_by"`           // the profiles and parts that are written with it

	kind   sketch.Kind
	was    float64
	is     float64
	stands string // the words for where its new value comes from
}

// checkChange is a check that came out otherwise.
type checkChange struct {
	checkName
	Before   figure  `json:"before"`
	After    figure  `json:"after"`
	OKBefore bool    `json:"ok_before"`
	OKAfter  bool    `json:"ok_after"`
	Because  []share `json:"because"`
	Together figure  `json:"together"`
	Lines    bool    `json:"other_lines"` // something other than dimensions has to do with it

	called
	kind     sketch.Kind
	wasApart bool
	nowApart bool
	became   solver.Became
	word     string
}

// share is what one dimension does alone.
type share struct {
	Dim   string `json:"dim"`
	Share figure `json:"share"`
}

// checkOutcome is a check that only one of the two asks.
type checkOutcome struct {
	checkName
	Least    figure `json:"least"`
	Greatest figure `json:"greatest"`
	OK       bool   `json:"ok"`

	state solver.State
}

// measureChange is a measure that came out otherwise.
type measureChange struct {
	Name           string `json:"name"`
	LeastBefore    figure `json:"least_before"`
	LeastAfter     figure `json:"least_after"`
	GreatestBefore figure `json:"greatest_before"`
	GreatestAfter  figure `json:"greatest_after"`

	kind sketch.Kind
}

// markChange is a mark that happens elsewhere or shows something else; null where it does not happen.
type markChange struct {
	Name   string      `json:"name"`
	Before *markAnswer `json:"before"`
	After  *markAnswer `json:"after"`
}

func newCompareReport(before, after *engine, f *change.Comparison) *compareReport {
	old, now := reporter{before, after.Units}, reporter{after, after.Units}
	u := after.Units
	r := &compareReport{
		Before: old.compared(f.Before), After: now.compared(f.After), Units: u.Name(),
		Dims: []dimChange{}, DimsCame: append([]string{}, f.DimsCame...), DimsWent: append([]string{}, f.DimsWent...),
		Checks: []checkChange{}, Came: []checkOutcome{}, Went: []checkOutcome{}, Measures: []measureChange{}, Marks: []markChange{},
		title: after.Title, units: u, total: len(after.Problem.Once(f.After.Findings)), moves: now.travels(),
	}
	for i, d := range f.Dims {
		k := after.Dims[d.Number].Kind
		r.Dims = append(r.Dims, dimChange{Name: d.Name, Before: out(u, d.Before, k), After: out(u, d.After, k), Cause: true, Alone: f.Alone[i],
			kind: k, was: d.Before, is: d.After, stands: after.Dims[d.Number].Source.String()})
	}
	r.Dims = now.withFollowers(r.Dims, f)
	var short, looked []checkName
	for i := range f.After.Findings {
		switch f := &f.After.Findings[i]; {
		case !f.OK:
			short = append(short, now.name(f.Check))
		case after.Problem.Judge(f).State == solver.HoldsWhereSeen:
			looked = append(looked, now.name(f.Check))
		}
	}
	r.short = len(once(short))
	for _, n := range once(looked) {
		r.looked = append(r.looked, n.Named)
	}
	for i := range f.Checks {
		d := &f.Checks[i]
		r.Checks = append(r.Checks, now.checkChange(d, f))
	}
	for _, i := range f.Came {
		r.Came = append(r.Came, now.outcome(&f.After.Findings[i]))
	}
	for _, i := range f.Went {
		r.Went = append(r.Went, old.outcome(&f.Before.Findings[i]))
	}
	r.tells(old, now, f)
	return r
}

func (w reporter) compared(res *solver.Result) compared {
	return compared{filepath.ToSlash(w.e.Path), w.e.Shown, w.set(), len(res.Broken) == 0, valuesInWords(w.e.Sketch)}
}

func (w reporter) checkChange(d *change.Check, f *change.Comparison) checkChange {
	k := w.kindOfCheck(d.After)
	is := w.e.Problem.Judge(&f.After.Findings[d.After])
	c := checkChange{checkName: w.name(d.After), Before: out(w.u, d.Was, k), After: out(w.u, d.Is, k), OKBefore: d.OKBefore,
		OKAfter: d.OKNow, Because: []share{}, Together: out(w.u, d.Together, k), Lines: d.Lines, kind: k, became: d.Became, word: d.Became.Word(&is),
		wasApart: f.Before.Findings[d.Before].Apart, nowApart: f.After.Findings[d.After].Apart}
	for _, s := range d.Shares {
		c.Because = append(c.Because, share{f.Dims[s.Dim].Name, out(w.u, s.By, k)})
	}
	return c
}

func (w reporter) outcome(f *solver.Finding) checkOutcome {
	k := w.kindOfCheck(f.Check)
	return checkOutcome{w.name(f.Check), out(w.u, f.Least, k), out(w.u, f.Greatest, k), f.OK, w.e.Problem.Judge(f).State}
}

// tells adds measures and marks.
func (r *compareReport) tells(old, now reporter, f *change.Comparison) {
	r.shares = now.shares(f.After.Extremes)
	for name, share := range old.shares(f.Before.Extremes) {
		if is, both := r.shares[name]; both {
			share = share && is
		}
		r.shares[name] = share
	}
	for _, m := range f.Measures {
		was, is := old.measure(f.Before.Extremes[m.Before]), now.measure(f.After.Extremes[m.After])
		r.Measures = append(r.Measures, measureChange{is.Name, was.Least, is.Least, was.Greatest, is.Greatest, is.kind})
	}
	for _, m := range f.Marks {
		var c markChange
		if m.Before != nil {
			a := old.mark(*m.Before)
			c.Name, c.Before = a.Name, &a
		}
		if m.After != nil {
			a := now.mark(*m.After)
			c.Name, c.After = a.Name, &a
		}
		r.Marks = append(r.Marks, c)
	}
}

// status is 1 where something falls short after the change.
func (r *compareReport) status() int {
	if r.short > 0 || !r.After.Assembled {
		return fallsShort
	}
	return allHolds
}
