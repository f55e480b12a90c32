package sketch

import (
	"fmt"
	"hash/fnv"
	"math/rand"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"barover/sketch/syntax"
	"barover/solver"
	"barover/solver/expr"
	"barover/solver/outline"
	"barover/solver/trial/draws"
)

// fingerprint says in sorted lines what a sketch comes to, by names alone: numbers of points, nodes and statements, which
// the order of the statements changes, have no part in it. Sums that move are valued at a position that is drawn from the
// names of the points.
func fingerprint(s *Sketch) []string {
	f := &teller{Sketch: s, c: &expr.Context{Turn: 0.7}, e: expr.NewEval(s.Values)}
	f.stand()
	p := s.Problem
	f.add("sheet %q %v %v %v %.9g %s turn %s %.9g %.9g %.9g", s.Title, s.Units, s.Paper, s.Scale, s.Ghosts, s.Shown, p.Turn.Name, p.Turn.From, p.Turn.To, p.Turn.Step)
	for _, d := range s.Dims {
		f.add("dim %s %v %.9g %.9g %.9g %v %v %s", d.Name, d.Kind, d.Value, d.Drawn, d.Asked, d.Tol, d.MadeTol, d.Note)
	}
	for i, t := range p.Travels {
		f.add("travel %s %v %v %.9g %.9g", t.Name, t.Angle, s.Travels[i].Kind, t.Settings, t.Rest)
	}
	f.motion()
	f.checks()
	f.told()
	slices.Sort(f.out)
	return f.out
}

// teller gathers the lines of a fingerprint.
type teller struct {
	*Sketch
	c     *expr.Context
	e     *expr.Eval
	point []string // names of the points, or where they stand
	out   []string
}

// stand draws where everything stands.
func (f *teller) stand() {
	p := f.Problem
	draw := func(name string, salt byte) float64 {
		h := fnv.New32a()
		h.Write(append([]byte(strings.ReplaceAll(name, ".", "_")), salt)) // rear_pin and rear.pin stand alike
		return float64(h.Sum32()%10_000)/37 + 1
	}
	for _, t := range p.Travels {
		f.c.Travel = append(f.c.Travel, draw(t.Name, 't'))
	}
	for _, q := range p.Linkage.Points {
		name := q.Name
		if name == "" {
			name = fmt.Sprintf("(%s %s)", f.at(q.U), f.at(q.V))
		}
		f.point = append(f.point, name)
		for _, list := range []struct {
			to   *[]float64
			salt byte
		}{{&f.c.X, 'x'}, {&f.c.Y, 'y'}, {&f.c.DX, 'u'}, {&f.c.DY, 'v'}, {&f.c.DDX, 'a'}, {&f.c.DDY, 'b'}} {
			*list.to = append(*list.to, draw(name, list.salt))
		}
	}
	for _, id := range p.Graph.Wholes { // inner ones come first
		f.c.Whole = append(f.c.Whole, f.e.At(p.Graph.Nodes[id].A, f.c))
	}
}

func (f *teller) add(form string, args ...any) { f.out = append(f.out, fmt.Sprintf(form, args...)) }

func (f *teller) at(id expr.ID) string {
	if id == expr.None {
		return "-"
	}
	return fmt.Sprintf("%.9g", f.e.At(id, f.c))
}

func (f *teller) name(point int) string {
	if point < 0 {
		return "-"
	}
	return f.point[point]
}

// motion writes points and what holds them.
func (f *teller) motion() {
	m := f.Problem.Linkage
	for i, q := range m.Points {
		f.add("point %s %d %s %s %s", f.point[i], q.Kind, f.at(q.U), f.at(q.V), m.Parts[q.Part].Name)
	}
	for _, l := range m.Lines {
		f.add("line %s %s %s %s", l.Name, f.name(l.P), f.name(l.Q), f.at(l.Heading))
	}
	for i, q := range m.Parts {
		f.add("part %s %d %s %s %s %s", q.Name, q.Kind, f.name(q.P), f.name(q.Q), f.at(q.Heading), f.at(f.Problem.Sideplay[i]))
	}
	for _, q := range m.Equations {
		f.add("equation %d %s %s %s %s %v %s", q.Kind, f.name(q.P), f.name(q.Q), f.name(q.R), f.at(q.V), q.Loose, f.at(q.Play))
	}
}

// checks writes profiles and what is asked about them.
func (f *teller) checks() {
	p := f.Problem
	for _, q := range p.Profiles {
		f.add("profile %s %s %s %s", q.Name, f.at(q.From), f.at(q.To), shapesOf(q.Shapes, f.at))
	}
	for _, k := range p.Checks {
		pair := ""
		if k.Kind == solver.Clear || k.Kind == solver.Gap {
			pair = p.Profiles[k.A].Name + " " + p.Profiles[k.B].Name
		}
		f.add("check %s %s %s %s %s %q %v %v", k.Kind, pair, f.at(k.Sum), f.at(k.AtLeast), f.at(k.AtMost), k.Note, k.Angle, k.Number)
	}
	for _, l := range p.LeftOut {
		f.add("left out %s %s", l.A, l.B)
	}
}

// told writes measures, marks and charts.
func (f *teller) told() {
	p := f.Problem
	for _, q := range p.Measures {
		f.add("measure %s %s %v %v", q.Name, f.at(q.Sum), q.Angle, q.Number)
	}
	for _, q := range p.Marks {
		f.add("mark %s %s %d %s %d", q.Name, f.at(q.Sum), q.When, f.at(q.Past), len(q.Shows))
	}
	measure := func(i int) string {
		if i < 0 {
			return p.Turn.Name
		}
		return p.Measures[i].Name
	}
	for _, q := range p.Charts {
		line := "chart " + q.Name + " of"
		for _, k := range q.Of {
			line += " " + measure(k)
		}
		line += " against " + measure(q.Against)
		for _, k := range q.Marks {
			line += " " + p.Marks[k].Name
		}
		f.add("%s %q", line, q.Note)
	}
}

func shapesOf(shapes []outline.Shape, at func(expr.ID) string) string {
	var b strings.Builder
	for _, q := range shapes {
		fmt.Fprintf(&b, "[%d %v %v %s %s %s %s %s %s", q.Kind, q.Hole, q.Round, at(q.P[0].X), at(q.P[0].Y), at(q.P[1].X), at(q.P[1].Y), at(q.W[0]), at(q.W[1]))
		for _, st := range q.Steps {
			fmt.Fprintf(&b, " %s %s %s %v %v", at(st.To.X), at(st.To.Y), at(st.Radius), st.Left, st.Long)
		}
		b.WriteString("]")
	}
	return b.String()
}

// sketches lists sketches to try things on, as lists of statements: the whole sketch, and testdata/good.
func sketches(t testing.TB) map[string][]string {
	t.Helper()
	out := map[string][]string{}
	texts := map[string]string{"sill": sill}
	paths, err := filepath.Glob("testdata/good/*.motion")
	if err != nil || len(paths) < 2 {
		t.Fatalf("%d good sketches: %v", len(paths), err)
	}
	for _, path := range paths {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		texts[filepath.Base(path)] = string(text)
	}
	for name, text := range texts {
		f, messages := syntax.Parse(name, text)
		if len(messages) > 0 {
			t.Fatal(printed(messages))
		}
		for _, s := range f.Statements {
			out[name] = append(out[name], f.SpanText(s.Where()))
		}
	}
	return out
}

// TestOrderIsFree shuffles the statements of sketches.
func TestOrderIsFree(t *testing.T) {
	for name, list := range sketches(t) {
		want := fingerprint(good(t, strings.Join(list, "\n"), Options{}))
		rapid.Check(t, func(t *rapid.T) {
			text := strings.Join(rapid.Permutation(list).Draw(t, "order"), "\n")
			s, messages := read(text, Options{})
			if len(messages) > 0 {
				t.Fatalf("%s: %s", name, printed(messages))
			}
			if d := cmp.Diff(want, fingerprint(s)); d != "" {
				t.Fatalf("%s: %s", name, d)
			}
		})
	}
}

// TestUseIsPaste puts stretches of sketches into files of their own, one used in another.
func TestUseIsPaste(t *testing.T) {
	for name, list := range sketches(t) {
		want := fingerprint(good(t, strings.Join(list, "\n"), Options{}))
		rapid.Check(t, func(t *rapid.T) {
			files := map[string]string{}
			split(t, files, "main.motion", list, 0)
			s, messages := Read(readerOf(files), "main.motion", Options{})
			if len(messages) > 0 {
				t.Fatalf("%s: %s", name, printed(messages))
			}
			if len(s.Files) != len(files) {
				t.Fatalf("%d files, want %d", len(s.Files), len(files))
			}
			if d := cmp.Diff(want, fingerprint(s)); d != "" {
				t.Fatalf("%s: %s", name, d)
			}
		})
	}
}

// split writes the statements to a file, stretches of them to files that it uses.
func split(t *rapid.T, files map[string]string, name string, list []string, depth int) {
	var lines []string
	for i := 0; i < len(list); {
		n := rapid.IntRange(1, len(list)-i).Draw(t, "stretch")
		if depth < 3 && len(files) < 12 && rapid.Bool().Draw(t, "apart") {
			other := fmt.Sprintf("dir%d/f%d.motion", depth, len(files))
			files[other] = ""
			use := fmt.Sprintf("use %q", relative(name, other))
			lines = append(lines, use)
			split(t, files, other, list[i:i+n], depth+1)
		} else {
			lines = append(lines, list[i:i+n]...)
		}
		i += n
	}
	files[name] = strings.Join(lines, "\n") + "\n"
}

func relative(from, to string) string {
	rel, err := filepath.Rel(filepath.Dir(from), to)
	if err != nil {
		return to
	}
	return filepath.ToSlash(rel)
}

// TestAnyStatements reads sketches of statements whose words are drawn at random, most of them nonsense. Whatever is
// read, there are messages with places in their files, or a problem in which every number points at something.
func TestAnyStatements(t *testing.T) {
	seed := rand.Int63()
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewSource(seed))
	var lists [][]string
	for _, list := range sketches(t) {
		lists = append(lists, list)
	}
	slices.SortFunc(lists, slices.Compare) // so that a seed gives the same sketches again
	words := strings.Fields(strings.Join(slices.Concat(lists...), " "))
	usable := 0
	for range draws.Of(3000) {
		lines := slices.Clone(lists[r.Intn(len(lists))])
		for range r.Intn(4) {
			i := r.Intn(len(lines))
			fields := strings.Fields(lines[i])
			fields[r.Intn(len(fields))] = words[r.Intn(len(words))]
			lines[i] = strings.Join(fields, " ")
		}
		for range r.Intn(2) * r.Intn(20) {
			lines = slices.Delete(lines, 0, 1)
			r.Shuffle(len(lines), func(i, j int) { lines[i], lines[j] = lines[j], lines[i] })
		}
		text := strings.Join(lines, "\n")
		o := Options{AsDrawn: r.Intn(4) == 0}
		if r.Intn(4) == 0 {
			o.Set = append(o.Set, words[r.Intn(len(words))]+"="+words[r.Intn(len(words))])
		}
		s, messages := read(text, o)
		if (s.Problem == nil) != (len(messages) > 0) {
			t.Fatalf("problem %v with %d messages:\n%s", s.Problem, len(messages), text)
		}
		for _, m := range messages {
			if m.File == nil || m.Span.Start < 0 || int(m.Span.End) > len(m.File.Text) || m.Text == "" {
				t.Fatalf("message %+v of:\n%s", m, text)
			}
		}
		if len(messages) == 0 {
			usable++
			fingerprint(s) // indexes out of range would end the test
		}
	}
	if usable < draws.Of(100) {
		t.Errorf("%d of %d sketches were usable", usable, draws.Of(3000))
	}
}
