package serve

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	screen "barover/render/page"
	"barover/render/report"
	"barover/render/report/variants"
	"barover/render/sheet"
	"barover/render/svg"
	"barover/sketch"
	"barover/sketch/assembled"
	"barover/sketch/syntax"
	"barover/solver"
	"barover/solver/machine"
	"barover/solver/spread"
)

// version is an engine as a page shows it, from one save to the next.
type version struct {
	number int
	e      *assembled.Engine
	pick   sheet.Pick
	scene  *screen.Scene
	done   atomic.Pointer[answered] // nil before it is answered

	mu     sync.Mutex
	made   map[string][]byte // what was computed for the page, by the question
	bands  *machine.Envelopes
	others map[string]*version
}

// answered is the answers of a version.
type answered struct {
	res     *solver.Result
	report  *report.Report
	answers []screen.Answer
	sure    string // what stands below the sentence
}

// mostMade bounds what is kept of what was computed. The rest is computed again when it is wanted.
const mostMade = 48

func newVersion(e *assembled.Engine, pick sheet.Pick) *version {
	v := &version{e: e, pick: pick, scene: screen.NewScene(e.Machine, report.PageWords(e, pick)), made: map[string][]byte{}}
	v.scene.Varies = len(e.Problem.Plays) > 0 || len(variants.Tolerances(e)) > 0
	return v
}

// answer takes in the answers.
func (v *version) answer(ctx context.Context, res *solver.Result) *answered {
	r := report.New(v.e, res)
	a := &answered{res, r, report.AnswersOf(r, v.e, res), report.BelowSentence(ctx, r, v.e)}
	v.done.Store(a)
	return a
}

// kept is the value computed under a key before; otherwise it is computed now.
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

// within is every engine that the tolerances and the play of a version allow; nil where those cannot be taken together.
func (v *version) within(ctx context.Context) (*machine.Envelopes, error) {
	v.mu.Lock()
	defer v.mu.Unlock()
	var err error
	if v.bands == nil {
		v.bands, err = spread.Envelopes(ctx, spread.Ask{Problem: v.e.Problem, Vary: assembled.Vary(v.e.Sketch), Tolerances: variants.Tolerances(v.e)})
	}
	return v.bands, err
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
	e, err := assembled.AssembleRead(v.e.Again(o))
	if err != nil {
		return nil, errors.New(syntax.MessagesIn(err)[0].Head())
	}
	if v.others == nil || len(v.others) >= mostOthers {
		v.others = map[string]*version{}
	}
	w := newVersion(e, v.pick)
	v.others[key] = w
	return w, nil
}

// mostOthers is the number of engines to compare with that are kept.
const mostOthers = 3

// answered is the answers of a version. They are computed if they are not there.
func (v *version) answered(ctx context.Context) (*answered, error) {
	if a := v.done.Load(); a != nil {
		return a, nil
	}
	res, err := v.e.Machine.Study(ctx, machine.Options{Checks: true})
	if err != nil {
		return nil, err
	}
	return v.answer(ctx, res), nil
}

// travel is a setting of another version's travels for this one: by name, kept within its own range, at rest where the
// other has none.
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
	e := v.e.Asking(a.res)
	look := report.Look{Pick: v.pick}
	book := sheet.NewBook(look.Drawn(ctx, e, a.res), report.SheetOptions(e, &at, look))
	b := svg.Bytes(book.Sheet(0))
	return b, ctx.Err()
}
