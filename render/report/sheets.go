package report

import (
	"cmp"
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"barover/render/drawing"
	"barover/render/office"
	"barover/render/report/figures"
	"barover/render/sheet"
	"barover/sketch"
	"barover/sketch/assembled"
	"barover/sketch/picture"
	"barover/solver"
	"barover/solver/machine"
)

// Look is how an engine is drawn: what the command line says of it.
type Look struct {
	At       string       // the position drawn thick, degrees; "" for the tightest place
	Paper    sketch.Paper // of no size for the sketch's own
	Pick     sheet.Pick
	LabelAll bool
}

// Drawn is an engine as a sheet needs it. Its answers include the pairs tried beside the checks that are not clear.
func (k *Look) Drawn(ctx context.Context, e *assembled.Engine, res *solver.Result) *sheet.Engine {
	drawn := sheet.Of(ctx, e.Machine, WithAsides(res))
	drawn.Problem, drawn.Pick = e.Problem, k.Pick
	drawn.Scans = oldDrawings(e)
	return drawn
}

// oldDrawings are the pictures of the old drawing, as sheets and the page take them.
func oldDrawings(e *assembled.Engine) []sheet.Scan {
	return figures.Each(e.Scans, func(s *picture.Scan) sheet.Scan {
		return sheet.Scan{Data: s.Data, Origin: s.Origin, Right: s.Right, Down: s.Down}
	})
}

// Book lays out all the sheets of an engine, the overlay first.
func Book(ctx context.Context, e *assembled.Engine, res *solver.Result, look Look) (*sheet.Book, error) {
	rep := New(e, res)
	e = e.Asking(res)
	at, err := chosenPlace(e, rep, res, look)
	if err != nil {
		return nil, err
	}
	drawn := look.Drawn(ctx, e, res)
	drawn.Charts = chartsOf(ctx, e)
	o := SheetOptions(e, at, look)
	o.Words.Mends = rep.mends()
	return sheet.NewBook(drawn, o), ctx.Err()
}

// WithAsides returns the answers and, among them, the pairs tried beside the checks that are not clear.
func WithAsides(res *solver.Result) *solver.Result {
	all := *res
	all.Findings = slices.Clip(res.Findings)
	for i := range res.Aside {
		if f := &res.Aside[i].Finding; !f.OK {
			all.Findings = append(all.Findings, *f)
		}
	}
	return &all
}

// chosenPlace is the position drawn thick: the one asked for, in degrees, or else where the check that falls short by most,
// what is not clear though it is left out, or the tightest pair, is tightest. Nil leaves it at the start of the turn.
func chosenPlace(e *assembled.Engine, r *Report, res *solver.Result, look Look) (*solver.Position, error) {
	if asked := look.At; asked != "" {
		turns, err := figures.TurnsAsked(e.Problem.Turn, asked)
		if err != nil {
			return nil, err
		}
		if len(turns) != 1 {
			return nil, fmt.Errorf("--at %s: one position is drawn thick", asked)
		}
		return &solver.Position{Turn: turns[0]}, nil
	}
	show := r.toShow(look.Pick)
	if worst := r.worstAside(res, look.Pick); worst != nil && (show == nil || show.OK) {
		return &worst.At, nil
	}
	for i := range r.Checks {
		if show == &r.Checks[i] {
			return &res.Findings[i].At, nil
		}
	}
	return nil, nil
}

// SheetOptions is what the sketch says of its sheet, except for the paper that is asked for.
func SheetOptions(e *assembled.Engine, at *solver.Position, look Look) sheet.Options {
	paper := e.Paper
	if look.Paper.Size != "" {
		paper = look.Paper
	}
	w := NewReporter(e)
	return sheet.Options{
		Block: office.Block{Title: cmp.Or(e.Title, strings.TrimSuffix(filepath.Base(e.Path), ".motion")), File: filepath.Base(e.Path),
			Values: figures.InWords(e.Sketch), Digest: e.Digest(), Unit: e.Units.Name()},
		Paper: paper.Size, Portrait: paper.Portrait, Oriented: paper.Oriented, LabelAll: look.LabelAll,
		Scale:  drawing.Scale{Drawn: e.Scale.Drawing, Real: e.Scale.Real},
		Ghosts: e.Ghosts, At: at,
		Words: sheet.Words{Unit: e.Units.Name(), Length: w.length, Size: e.Units.Size, Line: e.StatementLine, Under: e.Under, Asks: e.Asks, Angle: e.Units.Angle, Number: numberIn(e.Units), Fill: w.filled,
			Mends: func(*solver.Finding) string { return "" }},
	}
}

// chartsOf is what the sketch's own charts show. Of a travel with many settings some are chosen, evenly, its ends among
// them.
func chartsOf(ctx context.Context, e *assembled.Engine) (list []sheet.Charted) {
	if len(e.Problem.Charts) == 0 {
		return nil
	}
	all := e.Machine.ListSettings()
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
			plots, err := e.Machine.Plots(ctx, machine.Options{}, c, some)
			if err != nil {
				return nil // the work was broken off, and the caller reports that
			}
			return plots
		}})
	}
	return list
}
