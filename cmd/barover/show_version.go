package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	screen "barover/render/page"
	"barover/render/sheet"
	"barover/render/svg"
	"barover/sketch"
	"barover/sketch/syntax"
	"barover/solver"
	"barover/solver/machine"
)

// version is an engine as a page shows it, from one save to the next.
type version struct {
	number int
	e      *engine
	scene  *screen.Scene
	done   atomic.Pointer[answered] // nil before it is answered

	mu     sync.Mutex
	made   map[string][]byte // what was worked out for the page, by what was asked
	others map[string]*version
}

// answered is what was answered of a version.
type answered struct {
	res     *solver.Result
	report  *report
	answers []screen.Answer
}

// mostMade bounds what is kept of what was worked out. It is worked out anew when it is wanted again.
const mostMade = 48

func newVersion(e *engine) *version {
	return &version{e: e, scene: screen.NewScene(e.machine, e.pageWords()), made: map[string][]byte{}}
}

// answer takes in the answers.
func (v *version) answer(res *solver.Result) *answered {
	r := newReport(v.e, res)
	a := &answered{res, r, answersOf(r, v.e, res)}
	v.done.Store(a)
	return a
}

// kept is what was worked out under a key before, or is worked out now.
func (v *version) kept(key string, work func() ([]byte, error)) ([]byte, error) {
	v.mu.Lock()
	b, ok := v.made[key]
	v.mu.Unlock()
	if ok {
		return b, nil
	}
	b, err := work()
	if err != nil {
		return nil, err
	}
	v.mu.Lock()
	defer v.mu.Unlock()
	if len(v.made) >= mostMade {
		clear(v.made)
	}
	v.made[key] = b
	return b, nil
}

// other is the same sketch as drawn, or with a case.
func (v *version) other(key string) (*version, error) {
	o := sketch.Options{AsDrawn: key == "drawn"}
	if name, ok := strings.CutPrefix(key, "case "); ok {
		o.Case = name
	}
	if !slices.ContainsFunc(v.scene.Others, func(x screen.Other) bool { return x.Key == key }) {
		return nil, fmt.Errorf("there is nothing called %s to compare with", key)
	}
	v.mu.Lock()
	defer v.mu.Unlock()
	if w := v.others[key]; w != nil {
		return w, nil
	}
	e, messages, err := assembleRead(v.e.Again(o))
	if err != nil {
		return nil, err
	}
	if len(messages) > 0 {
		return nil, errors.New(messages[0].Head())
	}
	if v.others == nil || len(v.others) >= mostOthers {
		v.others = map[string]*version{}
	}
	w := newVersion(e)
	v.others[key] = w
	return w, nil
}

// mostOthers is how many engines to compare with are kept.
const mostOthers = 3

// answered is the answers of a version, which are worked out if they are not there.
func (v *version) answered(ctx context.Context) (*answered, error) {
	if a := v.done.Load(); a != nil {
		return a, nil
	}
	res, err := v.e.machine.Study(ctx, machine.Options{Checks: true})
	if err != nil {
		return nil, err
	}
	return v.answer(res), nil
}

// travel is a setting of another version's travels as this one has it: by name, kept within its own range, at rest what the
// other has not.
func (v *version) travel(of *version, setting []float64) []float64 {
	out := make([]float64, len(v.e.Problem.Travels))
	for i, t := range v.e.Problem.Travels {
		out[i] = t.Rest
		for k, o := range of.e.Problem.Travels {
			if o.Name == t.Name && k < len(setting) {
				out[i] = min(max(setting[k], v.scene.Travels[i].From), v.scene.Travels[i].To)
			}
		}
	}
	return out
}

// sheetAt is the first sheet with the engine drawn thick at one position, as SVG.
func (v *version) sheetAt(ctx context.Context, a *answered, at solver.Position) ([]byte, error) {
	e := v.e.asking(a.res)
	drawn := sheet.Of(ctx, e.machine, withAsides(a.res))
	drawn.Problem = e.Problem
	book := sheet.NewBook(drawn, e.sheetOptions(&at))
	b := svg.Bytes(book.Sheet(0))
	return b, ctx.Err()
}

// sweptAt is what the parts pass over.
func (v *version) sweptAt(ctx context.Context, travel []float64) []screen.SweptPath {
	return screen.SweptPaths(sheet.Of(ctx, v.e.machine, nil).Swept(travel))
}

// pageWords are what a page says in the sketch's own words.
func (e *engine) pageWords() screen.Words {
	w := screen.Words{
		Title: cmp.Or(e.Title, strings.TrimSuffix(filepath.Base(e.Path), ".motion")), File: filepath.Base(e.Path),
		Values: valuesInWords(e.Sketch), Unit: e.Units.Name(), PerUnit: e.Units.MM(1), Decimals: e.Units.Decimals(), Ghosts: e.Ghosts,
		Size: e.size, Angle: e.Units.Angle, Plain: e.number, Line: reporter{e, e.Units}.place,
		Text: func(stmt int) string {
			file, s := e.Statement(stmt)
			if s == nil {
				return ""
			}
			return strings.TrimSpace(file.SpanText(s.Where()))
		},
	}
	for i := range e.Dims {
		w.Dims = append(w.Dims, e.pageDim(&e.Dims[i]))
	}
	for i := range e.Dims {
		if byItself(&e.Dims[i]) {
			w.Others = append(w.Others, screen.Other{Key: "drawn", Name: "as drawn"})
			break
		}
	}
	for _, f := range e.Files {
		for _, s := range f.Statements {
			if k, ok := s.(*syntax.Case); ok && len(w.Others) < mostCases {
				w.Others = append(w.Others, screen.Other{Key: "case " + k.Name.Text, Name: "case " + k.Name.Text})
			}
		}
	}
	return w
}

// mostCases is how many engines to compare with are offered.
const mostCases = 60

// pageDim is a dimension with what counts and what else is known of it.
func (e *engine) pageDim(d *sketch.Dim) screen.Dim {
	say := func(v float64) string { return out(e.Units, v, d.Kind).size(e.Units, d.Kind) }
	var says []string
	if d.Source != sketch.FromDim {
		says = append(says, d.Source.String())
	}
	if byItself(d) {
		says = append(says, "drawn "+say(d.Drawn))
	}
	if d.Note != "" {
		says = append(says, d.Note)
	}
	return screen.Dim{Name: d.Name, Value: say(d.Value), Says: strings.Join(says, ", "), Line: reporter{e, e.Units}.place(d.Stmt)}
}
