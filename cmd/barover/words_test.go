package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"barover/render/terminal"
	"barover/sketch"
	"barover/sketch/syntax"
)

// TestWordsAreAllListed: every form of the table that the parser works from is printed, with its meaning, and every word of
// it is known by name.
func TestWordsAreAllListed(t *testing.T) {
	all := strings.Join(strings.Fields(allWords()), " ")
	forms := append(functionForms(), syntax.UnitForms()...)
	for _, w := range append(syntax.Words(), syntax.Shapes()...) {
		forms = append(forms, w.Forms...)
	}
	for _, f := range forms {
		if !strings.Contains(all, f.Form+" "+f.Meaning) || f.Meaning == "" {
			t.Errorf("%q is not listed with its meaning", f.Form)
		}
	}
	for _, word := range syntax.Reserved() {
		if !strings.Contains(oneWord(word), word) {
			t.Errorf("barover words %s tells %q", word, oneWord(word))
		}
	}
	for _, l := range strings.Split(allWords(), "\n") {
		if len([]rune(l)) > terminal.Width {
			t.Errorf("a line of %d characters: %s", len([]rune(l)), l)
		}
	}
}

const grammarPath = "../../examples/editor/barover.tmLanguage.json"

// TestGrammarIsInStep: the grammar of the examples is the one that follows from the parser's table; -update writes it.
func TestGrammarIsInStep(t *testing.T) {
	now, err := grammar()
	if err != nil {
		t.Fatal(err)
	}
	if *update {
		if err := os.MkdirAll(filepath.Dir(grammarPath), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	sameAsFile(t, grammarPath, string(now))
}

// highlighter colours a line by the rules of TextMate: of all patterns the one that matches earliest counts, of several
// there the first of the list.
type highlighter struct {
	rules    []grammarRule
	patterns []*regexp.Regexp
}

func newHighlighter(t *testing.T) *highlighter {
	b, err := os.ReadFile(grammarPath)
	if err != nil {
		t.Fatal(err)
	}
	var g grammarFile
	if err := json.Unmarshal(b, &g); err != nil {
		t.Fatal(err)
	}
	h := &highlighter{rules: g.Patterns}
	for _, r := range g.Patterns {
		p, err := regexp.Compile(r.Match)
		if err != nil {
			t.Fatalf("%s: %v", r.Match, err)
		}
		if n := len(r.Captures); n > 0 && n != p.NumSubexp() {
			t.Errorf("%s has %d groups, and names for %d", r.Match, p.NumSubexp(), n)
		}
		h.patterns = append(h.patterns, p)
	}
	return h
}

// token is a stretch of a line with the first two words of its scope.
type token struct{ text, scope string }

// line cuts a line into tokens; what no pattern matches is left out. ^ matches at the line's beginning alone.
func (h *highlighter) line(line string) (out []token) {
	for at := 0; at < len(line); {
		rule, best := -1, []int(nil)
		for i, p := range h.patterns {
			if at > 0 && strings.HasPrefix(h.rules[i].Match, "^") {
				continue
			}
			if m := p.FindStringSubmatchIndex(line[at:]); m != nil && m[1] > m[0] && (best == nil || m[0] < best[0]) {
				rule, best = i, m
			}
		}
		if best == nil {
			break
		}
		r := h.rules[rule]
		if r.Name != "" {
			out = append(out, token{line[at+best[0] : at+best[1]], short(r.Name)})
		}
		for g := 1; 2*g+1 < len(best); g++ {
			if best[2*g] >= 0 && best[2*g+1] > best[2*g] {
				out = append(out, token{line[at+best[2*g] : at+best[2*g+1]], short(r.Captures[strconv.Itoa(g)].Name)})
			}
		}
		at += best[1]
	}
	return out
}

func short(scope string) string {
	parts := strings.Split(scope, ".")
	return strings.Join(parts[:min(2, len(parts))], ".")
}

// TestGrammarColours: what the words of sample lines are coloured as.
func TestGrammarColours(t *testing.T) {
	h := newHighlighter(t)
	for line, want := range map[string][]token{
		`dim rod_centres = 5 1/4in ± 0.1 "sheet 2"  # stock`: {{"dim", "keyword.control"}, {"rod_centres", "entity.name"}, {"=", "keyword.operator"},
			{"5 1/4", "constant.numeric"}, {"in", "keyword.other"}, {"±", "keyword.operator"}, {"0.1", "constant.numeric"},
			{`"sheet 2"`, "string.quoted"}, {"# stock", "comment.line"}},
		`dim gap = 3/16" "the inch mark touches"`: {{"dim", "keyword.control"}, {"gap", "entity.name"}, {"=", "keyword.operator"}, {"3/16", "constant.numeric"},
			{`"`, "keyword.other"}, {`"the inch mark touches"`, "string.quoted"}},
		`profile conrod.big_end centred bore_out thick 1.5e1thou`: {{"profile", "keyword.control"}, {"conrod", "entity.name"}, {"big_end", "entity.name"},
			{"centred", "keyword.other"}, {"bore_out", "variable.other"}, {"thick", "keyword.other"}, {"1.5e1", "constant.numeric"}, {"thou", "keyword.other"}},
		`   hole disc shaft dia 5¼`: {{"hole", "support.type"}, {"disc", "support.type"}, {"shaft", "variable.other"}, {"dia", "keyword.other"}, {"5¼", "constant.numeric"}},
		`keep angle(A0,B2,C) + 2*pi below 30° "note`: {{"keep", "keyword.control"}, {"angle", "support.function"}, {"(", "punctuation.section"}, {"A0", "variable.other"},
			{"B2", "variable.other"}, {"C", "variable.other"}, {"+", "keyword.operator"}, {"2", "constant.numeric"}, {"*", "keyword.operator"},
			{"pi", "constant.language"}, {"below", "keyword.other"}, {"30", "constant.numeric"}, {"°", "keyword.other"}, {`"note`, "string.quoted"}},
		`angle  P Q R = round(crank, 5)`: {{"angle", "keyword.control"}, {"P", "variable.other"}, {"Q", "variable.other"}, {"R", "variable.other"}, {"=", "keyword.operator"},
			{"round", "support.function"}, {"(", "punctuation.section"}, {"crank", "variable.other"}, {"5", "constant.numeric"}},
		`paper A2 landscape`:           {{"paper", "keyword.control"}, {"A2", "constant.language"}, {"landscape", "keyword.other"}},
		`clear frame.bars dim_x by -2`: {{"clear", "keyword.control"}, {"frame", "constant.language"}, {"bars", "variable.other"}, {"dim_x", "variable.other"}, {"by", "keyword.other"}, {"-", "keyword.operator"}, {"2", "constant.numeric"}},
		`made Schäkel_2 = .5`:          {{"made", "keyword.control"}, {"Schäkel_2", "entity.name"}, {"=", "keyword.operator"}, {".5", "constant.numeric"}},
	} {
		if d := cmp.Diff(want, h.line(line), cmp.AllowUnexported(token{})); d != "" {
			t.Errorf("%s: %s", line, d)
		}
	}
}

// TestGrammarKnowsTheExamples: in every example, each line that begins a statement begins with a word coloured as such, and
// each comment is one to its end. So a statement that the table gets and the grammar lacks is found.
func TestGrammarKnowsTheExamples(t *testing.T) {
	h := newHighlighter(t)
	files, err := filepath.Glob("../../examples/*.motion")
	if err != nil || len(files) < 3 {
		t.Fatalf("%d examples, %v", len(files), err)
	}
	used := map[string]bool{}
	for _, path := range files {
		sk, messages := sketch.Load(path, sketch.Options{})
		if len(messages) > 0 {
			t.Fatal(messages)
		}
		for _, f := range sk.Files {
			for _, s := range f.Statements {
				first, _, _ := strings.Cut(f.SpanText(s.Where()), "\n")
				tokens := h.line(first)
				if len(tokens) == 0 || tokens[0].scope != "keyword.control" || !strings.HasPrefix(first, tokens[0].text) {
					t.Errorf("%s: %q begins with %v", f.Path, first, tokens)
					continue
				}
				used[tokens[0].text] = true
			}
			for _, line := range strings.Split(f.Text, "\n") {
				if tokens := h.line(strings.TrimSpace(line)); strings.HasPrefix(strings.TrimSpace(line), "#") && (len(tokens) != 1 || tokens[0].scope != "comment.line") {
					t.Errorf("%s: the comment %q is %v", f.Path, line, tokens)
				}
			}
		}
	}
	if len(used) < 20 {
		t.Errorf("only %d of the statements were seen", len(used))
	}
}

// TestProblemPattern: every message and note that is printed for a sketch with mistakes is found, with its place, and no
// line of the sketch or of help is.
func TestProblemPattern(t *testing.T) {
	t.Chdir(t.TempDir())
	text := strings.Join([]string{
		"dim throw = 22", "dim throw = 23  \"given twice, with a note at the first\"", "dimm a = 1", "turn crank = 0 to 360 step 5",
		"point a at 0, 0", "length a b = nothing", "clear x:1:2: y by 3", "dim long = " + strings.Repeat("1 + ", 60) + "(", "\tdim a:3:4: = 2",
	}, "\n")
	for _, name := range []string{"mill.motion", "with blank.motion"} {
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		_, messages := sketch.Load(name, sketch.Options{})
		type found struct{ place, text string }
		var want []found
		add := func(f *syntax.File, s syntax.Span, text string) {
			line, column := f.Place(s.Start)
			want = append(want, found{f.Path + " " + strconv.Itoa(line) + " " + strconv.Itoa(column), text})
		}
		notes := 0
		for _, m := range messages {
			add(m.File, m.Span, m.Text)
			for _, n := range m.Also {
				add(n.File, n.Span, n.Text)
				notes++
			}
		}
		if len(messages) < 5 || notes == 0 {
			t.Fatalf("%d messages and %d notes try too little", len(messages), notes)
		}
		var errs bytes.Buffer
		if status := run(context.Background(), []string{"check", name}, &console{out: &bytes.Buffer{}, err: &errs}); status != unusable {
			t.Fatalf("status %d", status)
		}
		pattern := regexp.MustCompile(problemPattern)
		var got []found
		for _, line := range strings.Split(errs.String(), "\n") {
			if m := pattern.FindStringSubmatch(line); m != nil {
				got = append(got, found{m[1] + " " + m[2] + " " + m[3], m[4]})
			}
		}
		if d := cmp.Diff(want, got, cmp.AllowUnexported(found{})); d != "" {
			t.Errorf("%s (-printed +found): %s\n%s", name, d, errs.String())
		}
	}
	if m := regexp.MustCompile(problemPattern).FindStringSubmatch(`C:\engines\mill.motion:12:7: there is no point a`); m == nil || m[1] != `C:\engines\mill.motion` || m[2] != "12" {
		t.Errorf("a path with a drive: %q", m)
	}
}
