package report

import (
	"math"
	"path/filepath"

	"barover/render/report/figures"
	"barover/sketch"
	"barover/sketch/assembled"
	"barover/sketch/quantity"
	"barover/solver"
	"barover/solver/change"
)

// outdated reports whether the dim line of a finished part now has another value than as drawn: what it follows
// from has changed. A plan of its own that what was made has overtaken is no such change.
func outdated(d *sketch.Dim) bool {
	return d.PlanStmt < 0 && !(math.Abs(d.Asked-d.Drawn) <= 1e-12*math.Max(1, math.Abs(d.Asked)))
}

// Differs reports whether a finished part differs from what is asked by more than the rounding of a sum.
func Differs(d *sketch.Dim) bool {
	return math.Abs(d.Made-d.Asked) > 1e-12*math.Max(1, math.Abs(d.Asked))
}

// LedgerReport is the dimensions of a sketch. Its fields are the object that `ledger --json` prints.
type LedgerReport struct {
	Sketch string      `json:"sketch"`
	Units  string      `json:"units"`
	Values string      `json:"values"`
	Dims   []dimRecord `json:"dims"`

	e     *assembled.Engine
	ends  int // status
	total int // checks
}

// dimRecord is one dimension. What is not there is null.
type dimRecord struct {
	Name      string         `json:"name"`
	File      string         `json:"file,omitempty"`
	Line      int            `json:"line"`
	Drawn     figures.Figure `json:"drawn"`
	Planned   figures.Figure `json:"planned"`
	Asked     figures.Figure `json:"asked"`
	Made      figures.Figure `json:"made"`
	Now       figures.Figure `json:"now"` // the value that counts
	Differs   figures.Figure `json:"differs"`
	Lower     figures.Figure `json:"lower"` // its limit deviations, as it is asked for
	Upper     figures.Figure `json:"upper"`
	Fit       string         `json:"fit,omitempty"` // where a fit gives them
	Within    bool           `json:"within"`        // the difference is within the tolerance that the dimension has
	Again     bool           `json:"again"`         // it follows from others and is not what they ask about it: to be made again
	Note      string         `json:"note"`
	MadeNote  string         `json:"made_note,omitempty"`
	PlanNote  string         `json:"plan_note,omitempty"`
	Moves     []moved        `json:"moves"`
	Breaks    []CheckName    `json:"breaks"`
	Mends     []CheckName    `json:"mends"`
	BySlope   bool           `json:"by_slope"`          // the engine cannot be solved with what is asked: moves go by slopes
	From      []string       `json:"follows,omitempty"` // the changed dimensions that its value follows from
	UsedBy    []string       `json:"used_by,omitempty"` // profiles and parts that are written with it, where it is not as drawn
	dim       *sketch.Dim
	differing bool
	follows   bool // its value is not the drawn one only because its sum follows others
}

// moved is by how much the difference moves one check.
type moved struct {
	CheckName
	By figures.Figure `json:"by"`

	kind quantity.Kind
}

func (r *LedgerReport) Status() int { return r.ends }

func NewLedgerReport(e *assembled.Engine, entries []change.Entry, res *solver.Result) *LedgerReport {
	w := NewReporter(e)
	r := &LedgerReport{Sketch: filepath.ToSlash(e.Path), Units: e.Units.Name(), Values: e.Shown, Dims: []dimRecord{}, e: e,
		ends: StatusOf(len(res.Broken) == 0), total: len(res.Findings)}
	done := make(map[int]bool)
	for i := range entries {
		done[entries[i].Dim] = true
		r.Dims = append(r.Dims, w.entry(&entries[i]))
	}
	for i := range e.Dims {
		if !done[i] {
			r.Dims = append(r.Dims, w.record(i))
		}
	}
	r.follow()
	return r
}

func (w Reporter) record(dim int) dimRecord {
	d := &w.Engine.Dims[dim]
	r := dimRecord{
		Name: d.Name, Drawn: figures.Of(w.Units, d.Drawn, d.Kind), Planned: figures.Of(w.Units, d.Planned, d.Kind), Asked: figures.Of(w.Units, d.Asked, d.Kind),
		Made: figures.Of(w.Units, d.Made, d.Kind), Differs: figures.Of(w.Units, d.Made-d.Asked, d.Kind), Note: d.Note, MadeNote: d.MadeNote, PlanNote: d.PlanNote,
		Moves: []moved{}, Breaks: []CheckName{}, Mends: []CheckName{}, dim: d,
	}
	r.File, r.Line = w.line(d.Stmt)
	r.tolerance(w.Units)
	if d.IsMade() {
		r.differing = Differs(d) && d.Source == sketch.FromMade // else the finished part does not count
		r.Within = within(d)
		r.Again = r.differing && !r.Within && outdated(d) && change.Derived(w.Engine.Problem, d.AskedSum)
	}
	return r
}

// tolerance puts the limits of a dimension into its record.
func (r *dimRecord) tolerance(u quantity.Units) {
	t, k := r.dim.Tol, r.dim.Kind
	r.Lower, r.Upper = figures.Figure(math.NaN()), figures.Figure(math.NaN())
	if t.Given {
		r.Lower, r.Upper, r.Fit = figures.Of(u, t.Lower, k), figures.Of(u, t.Upper, k), t.Fit
	}
}

// within reports whether a finished part lies within the limits of what is asked. A part without a tolerance lies within
// only if it is what is asked.
func within(d *sketch.Dim) bool {
	off := d.Made - d.Asked
	const slack = 1e-9
	return !Differs(d) || (d.Tol.Given && off >= d.Tol.Lower-slack && off <= d.Tol.Upper+slack)
}

func (w Reporter) entry(e *change.Entry) dimRecord {
	r := w.record(e.Dim)
	r.BySlope = e.BySlope
	r.Moves = figures.Each(e.Moves, func(m *change.Move) moved {
		k := w.KindOfCheck(m.Check)
		return moved{w.Name(m.Check), figures.Of(w.Units, m.By, k), k}
	})
	r.Breaks, r.Mends = w.Names(e.Breaks), w.Names(e.Mends)
	return r
}
