package report

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"

	"barover/render/report/figures"
	"barover/sketch/assembled"
	"barover/sketch/quantity"
	"barover/sketch/syntax"
	"barover/solver"
	"barover/solver/engine"
	"barover/solver/expr"
)

// noValue tells where the sum of a measure or of a keep line has no value, and why.
type noValue struct {
	File  string         `json:"file,omitempty"` // where the line stands, unless in the sketch itself
	Line  int            `json:"line"`
	Why   string         `json:"why"`
	At    figures.List   `json:"at"`    // the first such position: with the travels at rest, if there is one
	Share figures.Figure `json:"share"` // of the positions that a table shows, over all travels; 1: at none has it a value

	message syntax.Message
	why     string // as Why, of the place alone
	onward  string // what is said of the places beyond it
	place   string // where the line stands, for reading
	fixed   bool   // the sketch has no turn
	moves   bool   // it has travels
}

// lacking finds the measures and keep lines that have no value somewhere, by their sums. What a study has proved everywhere need
// not be tried; nil for no study.
func lacking(ctx context.Context, e *assembled.Engine, res *solver.Result) (map[expr.ID]*noValue, error) {
	stmt := provedSums(e, res)
	var sums []expr.ID
	add := func(sum expr.ID, of int) {
		if _, seen := stmt[sum]; !seen {
			sums, stmt[sum] = append(sums, sum), of
		}
	}
	for _, m := range e.Problem.Measures {
		add(m.Sum, m.Stmt)
	}
	for _, k := range e.Problem.Checks {
		if k.Kind == solver.Keep {
			add(k.Sum, k.Stmt)
		}
	}
	lacks, err := e.Machine.Lacking(ctx, sums)
	if err != nil {
		return nil, err
	}
	list := map[expr.ID]*noValue{}
	for _, l := range lacks {
		list[l.Sum] = noValueOf(e, l, stmt[l.Sum])
	}
	return list, nil
}

// provedSums are the sums of measures and keep lines that are proved over the whole turn and every travel, and so have a value there.
func provedSums(e *assembled.Engine, res *solver.Result) map[expr.ID]int {
	list := map[expr.ID]int{}
	if res == nil {
		return list
	}
	for _, x := range res.Extremes {
		if m := &e.Problem.Measures[x.Measure]; x.Sure == solver.Proved {
			list[m.Sum] = m.Stmt
		}
	}
	for _, f := range res.Findings {
		if c := &e.Problem.Checks[f.Check]; c.Kind == solver.Keep && f.Sure == solver.Proved {
			list[c.Sum] = c.Stmt
		}
	}
	return list
}

func noValueOf(e *assembled.Engine, l engine.Lack, stmt int) *noValue {
	w := NewReporter(e)
	why, file, span := e.Lack(l.Lack, stmt)
	n := &noValue{Why: why, At: w.Position(l.At), Share: figures.Figure(l.Share), fixed: e.Problem.Turn.Stmt < 0, moves: len(e.Problem.Travels) > 0}
	n.why = why
	if l.Onward {
		n.onward = "; from there on nothing tells which way round it has gone"
		n.Why += n.onward
	}
	n.Line, _ = file.Place(span.Start)
	n.place = fmt.Sprintf("line %d", n.Line)
	if file != e.Files[0] {
		n.File = filepath.ToSlash(file.Path)
		n.place = filepath.Base(file.Path) + " " + n.place
	}
	n.message = syntax.Message{File: file, Span: span, Text: why}
	return n
}

// over says over how much of the turn and the travels there is no value.
func (n *noValue) over() string {
	switch {
	case n.Share >= 1:
		return "has no value at any position"
	case n.fixed:
		return "has no value at some travel settings"
	case n.moves:
		return "has no value at some positions"
	}
	return "has no value over part of the turn"
}

// where is the first position without a value, in words.
func (n *noValue) where(u quantity.Units) string {
	var words []string
	for i, f := range n.At {
		switch turn := i == 0 && !n.fixed; {
		case turn:
			words = append(words, f.Value.Read(u, quantity.Angle))
		case i > 0 && !f.Rest:
			words = append(words, f.Name+" "+f.Value.Size(u, f.Kind))
		}
	}
	if len(words) == 0 {
		return " with travels at rest"
	}
	return " at " + strings.Join(words, ", ")
}

// text are the words about it below a figure; "" for nil.
func (n *noValue) text(r *Report) string {
	if n == nil {
		return ""
	}
	at := ""
	if n.Share < 1 {
		at = n.where(r.units) + ", the first such position"
	}
	return fmt.Sprintf("%s: %s, %s%s%s", n.over(), n.place, n.why, at, n.onward)
}

// take puts into a report what has no value.
func (r *Report) take(e *assembled.Engine, lacks map[expr.ID]*noValue) {
	for i := range r.Measures {
		r.Measures[i].NoValue = lacks[e.Problem.Measures[i].Sum]
	}
	for i := range r.Checks {
		if c := &e.Problem.Checks[i]; c.Kind == solver.Keep {
			r.Checks[i].NoValue = lacks[c.Sum]
		}
	}
}

// Empty says beside a table why a measure is empty in places.
func Empty(ctx context.Context, e *assembled.Engine) (list []syntax.Message, err error) {
	lacks, err := lacking(ctx, e, nil)
	if err != nil {
		return nil, err
	}
	for _, m := range e.Problem.Measures {
		if n := lacks[m.Sum]; n != nil {
			n.message.Text = fmt.Sprintf("%s %s: %s", m.Name, n.over(), n.why)
			if (n.moves || n.onward != "") && n.Share < 1 {
				n.message.Text += n.where(e.Units)
			}
			n.message.Text += n.onward
			list = append(list, n.message)
		}
	}
	return list, nil
}
