package main

import (
	"context"
	"path/filepath"
	"strconv"

	"barover/render/drawing"
	"barover/render/sheet"
	"barover/sketch"
	"barover/solver"
	"barover/solver/linkage"
)

// drawPages draws all the sheets of an engine, the overlay first.
func drawPages(ctx context.Context, e *engine, res *solver.Result, look drawFlags) ([]*drawing.Drawing, error) {
	at, err := e.chosen(res, look.at)
	if err != nil {
		return nil, err
	}
	overlay := sheet.NewOverlay(&sheet.Engine{
		Problem: e.Problem, Values: e.Values, Regions: e.machine.Regions, Poses: poses{ctx, e.machine}, Result: res,
	}, e.sheetOptions(at))
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return []*drawing.Drawing{overlay.Drawing}, nil
}

// poses lets a sheet ask a machine where everything stands.
type poses struct {
	ctx     context.Context
	machine *solver.Machine
}

// Pose is where everything stands; false where the engine cannot be assembled, or nobody waits for the sheet any more.
func (p poses) Pose(turn float64, travel []float64) (*linkage.Pose, bool) {
	pose, status, err := p.machine.Pose(p.ctx, turn, travel)
	return pose, err == nil && (status == linkage.Solved || status == linkage.DeadCentre)
}

// chosen is the position drawn thick: the one asked for, in degrees, or else the place where the tightest check is
// tightest. Nil leaves it at the start of the turn.
func (e *engine) chosen(res *solver.Result, asked string) (*solver.Position, error) {
	if asked != "" {
		turns, err := turnsAsked(e.Problem.Turn, asked)
		if err != nil {
			return nil, err
		}
		return &solver.Position{Turn: turns[0]}, nil
	}
	if i := res.Tightest(e.Problem); i >= 0 {
		return &res.Findings[i].At, nil
	}
	return nil, nil
}

// sheetOptions is what the sketch says of its sheet.
func (e *engine) sheetOptions(at *solver.Position) sheet.Options {
	return sheet.Options{
		Title: e.Title, File: filepath.Base(e.Path), Values: valuesInWords(e.Sketch),
		Paper: e.Paper.Size, Portrait: e.Paper.Portrait, Oriented: e.Paper.Oriented,
		Scale:  drawing.Scale{Drawn: e.Scale.Drawing, Real: e.Scale.Real},
		Ghosts: e.Ghosts, At: at,
		Words: sheet.Words{Unit: e.Units.Name(), Length: e.Units.Figure, Size: e.size, Line: e.statementLine, Asks: e.asks, Number: e.number},
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

// asks is the line of a check as the sketch has it.
func (e *engine) asks(check int) string {
	file, s := e.Statement(e.Problem.Checks[check].Stmt)
	if s == nil {
		return ""
	}
	return oneLine(file.SpanText(s.Where()))
}

func (e *engine) number(v float64) string { return e.Units.Value(v, sketch.Plain) }

func stamped(d *drawing.Drawing, text string) *drawing.Drawing { return d }
