package main

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"barover/render/drawing"
	"barover/render/sheet"
	"barover/sketch"
	"barover/solver"
	"barover/solver/machine"
)

// book lays out all the sheets of an engine, the overlay first.
func (e *engine) book(ctx context.Context, res *solver.Result, look drawFlags) (*sheet.Book, error) {
	rep := newReport(e, res)
	e = e.asking(res)
	at, err := e.chosen(rep, res, look.at)
	if err != nil {
		return nil, err
	}
	drawn := sheet.Of(ctx, e.machine, withAsides(res))
	drawn.Problem = e.Problem
	drawn.Charts = e.charts(ctx)
	o := e.sheetOptions(at)
	o.Words.Mends = rep.mends(res)
	return sheet.NewBook(drawn, o), ctx.Err()
}

// mends tells of a finding of a result what would mend it.
func (r *report) mends(res *solver.Result) func(f *solver.Finding) string {
	words := map[int]string{}
	short, _ := r.rows()
	for _, w := range short {
		words[w.judged.Finding.Check], _ = r.remedies(w)
	}
	return func(f *solver.Finding) string { return words[f.Check] }
}

// digest is a short digest of all that a drawing is made from: the sketch, the files that it uses, and the values that count.
// The same sketch with the same values has the same, wherever it lies.
func (e *engine) digest() string {
	h := sha256.New()
	for _, f := range e.Files {
		fmt.Fprintf(h, "%d\n%s", len(f.Text), f.Text)
	}
	for _, d := range e.Dims {
		fmt.Fprintf(h, "%s %x\n", d.Name, math.Float64bits(d.Value))
	}
	return hex.EncodeToString(h.Sum(nil)[:4])
}

// withAsides is the answers with what was looked at aside and is not clear among them.
func withAsides(res *solver.Result) *solver.Result {
	all := *res
	all.Findings = slices.Clip(res.Findings)
	for i := range res.Aside {
		if f := &res.Aside[i].Finding; !f.OK {
			all.Findings = append(all.Findings, *f)
		}
	}
	return &all
}

// chosen is the position drawn thick: the one asked for, in degrees, or else where the check that falls short by most,
// what is not clear though it is left out, or the tightest pair, is tightest. Nil leaves it at the start of the turn.
func (e *engine) chosen(r *report, res *solver.Result, asked string) (*solver.Position, error) {
	if asked != "" {
		turns, err := turnsAsked(e.Problem.Turn, asked)
		if err != nil {
			return nil, err
		}
		if len(turns) != 1 {
			return nil, fmt.Errorf("--at %s: one position is drawn thick", asked)
		}
		return &solver.Position{Turn: turns[0]}, nil
	}
	show := r.toShow()
	if worst := r.worstAside(res); worst != nil && (show == nil || show.OK) {
		return &worst.At, nil
	}
	for i := range r.Checks {
		if show == &r.Checks[i] {
			return &res.Findings[i].At, nil
		}
	}
	return nil, nil
}

// toShow is the check whose tightest place tells most: the first that falls short, else the tightest pair, else whatever
// has a place at all.
func (r *report) toShow() *checkAnswer {
	short, holds := r.rows()
	var first *checkAnswer
	for _, w := range append(short, holds...) {
		if len(w.At) == 0 || w.still() {
			continue
		}
		if !w.OK || w.Kind == "clear" {
			return w.checkAnswer
		}
		first = cmp.Or(first, w.checkAnswer)
	}
	return first
}

// sheetOptions is what the sketch says of its sheet.
func (e *engine) sheetOptions(at *solver.Position) sheet.Options {
	return sheet.Options{
		Title: cmp.Or(e.Title, strings.TrimSuffix(filepath.Base(e.Path), ".motion")), File: filepath.Base(e.Path), Values: valuesInWords(e.Sketch), Digest: e.digest(),
		Paper: e.Paper.Size, Portrait: e.Paper.Portrait, Oriented: e.Paper.Oriented,
		Scale:  drawing.Scale{Drawn: e.Scale.Drawing, Real: e.Scale.Real},
		Ghosts: e.Ghosts, At: at,
		Words: sheet.Words{Unit: e.Units.Name(), Length: e.figure, Size: e.size, Line: e.statementLine, Asks: e.asks, Number: e.number, Fill: e.filled},
	}
}

// size gives a length the way that the sketch would: in inches as a fraction where it is one.
func (e *engine) size(mm float64) string {
	if e.Units.Inches {
		if text, exact := sketch.Fraction(mm); exact {
			return text
		}
	}
	return e.Units.Figure(mm)
}

// statementLine is where a statement stands: its line, and its file where that is not the sketch itself.
func (e *engine) statementLine(stmt int) string {
	file, line, _ := e.Place(stmt)
	if file == e.Path {
		return strconv.Itoa(line)
	}
	return filepath.Base(file) + " " + strconv.Itoa(line)
}

// asks is what a check asks, as the sketch says it, without its note.
func (e *engine) asks(check int) string {
	c := &e.Problem.Checks[check]
	file, s := e.Statement(c.Stmt)
	if s == nil {
		return ""
	}
	words := oneLine(file.SpanText(s.Where()))
	return strings.TrimSpace(strings.TrimSuffix(words, `"`+oneLine(c.Note)+`"`))
}

// figure is a length as the tables have it.
func (e *engine) figure(mm float64) string {
	return out(e.Units, mm, sketch.Length).read(e.Units, sketch.Length)
}

// filled is what fills the gap of a finding, or "".
func (e *engine) filled(f *solver.Finding) string {
	if fill := (reporter{e, e.Units}).fill(f); fill != nil {
		return fill.String()
	}
	return ""
}

func (e *engine) number(v float64) string { return e.Units.Value(v, sketch.Plain) }

// charts is what the sketch's own charts show. Of a travel with many settings some are chosen, evenly, its ends among
// them.
func (e *engine) charts(ctx context.Context) (list []sheet.Charted) {
	if len(e.Problem.Charts) == 0 {
		return nil
	}
	all := e.machine.ListSettings()
	some := all
	if n := len(all); n > sheet.MostPlots {
		some = nil
		for i := range sheet.MostPlots {
			some = append(some, all[i*(n-1)/(sheet.MostPlots-1)])
		}
	}
	for i := range e.Problem.Charts {
		c := &e.Problem.Charts[i]
		list = append(list, sheet.Charted{Chart: c, Settings: len(some), Of: len(all), Plots: func() []machine.Plot {
			plots, err := e.machine.Plots(ctx, machine.Options{}, c, some)
			if err != nil {
				return nil // the work was broken off, and whoever asked for the sheet is told
			}
			return plots
		}})
	}
	return list
}
