package sketch

import (
	"maps"
	"math"

	"barover/sketch/source"
	"barover/sketch/syntax"
	"barover/solver"
	"barover/solver/expr"
)

// With replaces values of dimensions, by their numbers; what follows from them follows. The problem is that of the
// sketch, except for a turn and travels whose ranges follow from dimensions. Messages say why the sketch cannot be used
// with these values. The sketch must have a Problem.
func (s *Sketch) With(change map[int]float64) (*solver.Problem, *expr.Values, []syntax.Message) {
	fixed := maps.Clone(s.Values.Fixed)
	if fixed == nil {
		fixed = map[int]float64{}
	}
	maps.Copy(fixed, change)
	l, w, copied, problem := *s.loaded, *s.loaded.sum, *s, *s.Problem
	w.v = expr.Resolve(s.Problem.Graph, fixed)
	problem.Travels, copied.Travels = nil, nil
	copied.Problem, copied.Values = &problem, w.v
	l.messages, l.sum, l.sketch = nil, &w, &copied
	for i, v := range change {
		if i < 0 || i >= len(l.dims) {
			continue
		}
		if d := &l.dims[i]; math.IsNaN(v) || math.IsInf(v, 0) {
			l.tell(l.at(d.stmt, d.dim.Name.Span), d.name+" would be no number", "give it a number")
		}
	}
	l.moves()
	l.bounds()
	_, messages := l.finish()
	return &problem, w.v, messages
}

// Again reads the same texts with other options: the files on disk may have changed since.
func (s *Sketch) Again(o Options) (*Sketch, []syntax.Message) {
	texts := map[string]string{}
	for _, f := range s.Files {
		texts[f.Path] = f.Text
	}
	return Read(source.Memory(func(path string) ([]byte, error) { return []byte(texts[path]), nil }), s.Path, o)
}
