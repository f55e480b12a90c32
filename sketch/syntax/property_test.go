package syntax

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// figured is a sum as written and what it comes to, made side by side: numbers of every way of writing, signs, brackets.
type figured struct {
	text  string
	value float64
	binds int // 1 sum, 2 product, 3 signed, 4 power, 5 primary
}

// bracketed is the sum with brackets around it where it binds less than is needed.
func (f figured) bracketed(needed int) string {
	if f.binds < needed {
		return "(" + f.text + ")"
	}
	return f.text
}

// drawNumber makes a number. Its value is rounded once, as that of a number in a sketch is, so that sums must come to the
// same to the last bit.
func drawNumber(t *rapid.T) figured {
	whole, over := rapid.IntRange(0, 60).Draw(t, "whole"), rapid.IntRange(1, 63).Draw(t, "over")
	under := rapid.SampledFrom([]int{2, 4, 8, 16, 32, 64, 3, 10}).Draw(t, "under")
	switch rapid.IntRange(0, 5).Draw(t, "way") {
	case 0:
		return figured{fmt.Sprint(whole), float64(whole), 5}
	case 1:
		return figured{fmt.Sprintf("%d.%02d", whole, over), float64(whole*100+over) / 100, 5}
	case 2:
		return figured{fmt.Sprintf("%d/%d", over, under), float64(over) / float64(under), 5}
	case 3:
		return figured{fmt.Sprintf("%d %d/%d", whole, over, under), float64(whole*under+over) / float64(under), 5}
	case 4:
		return figured{fmt.Sprintf("%d⅝", whole), float64(whole) + 0.625, 5}
	}
	return figured{fmt.Sprintf("%de-%d", whole, over%5), float64(whole) / math.Pow10(over%5), 5}
}

func drawSum(t *rapid.T, depth int) figured {
	if depth == 0 {
		return drawNumber(t)
	}
	a := drawSum(t, depth-1)
	switch sign := rapid.SampledFrom([]string{"", "+", "-", "*", "/", "^", "u-", "()", "max"}).Draw(t, "sign"); sign {
	case "+":
		b := drawSum(t, depth-1)
		return figured{a.bracketed(1) + " + " + b.bracketed(2), a.value + b.value, 1}
	case "-":
		b := drawSum(t, depth-1)
		return figured{a.bracketed(1) + " - " + b.bracketed(2), a.value - b.value, 1}
	case "*":
		b := drawSum(t, depth-1)
		return figured{a.bracketed(2) + " * " + b.bracketed(3), a.value * b.value, 2}
	case "/":
		b := drawSum(t, depth-1)
		return figured{a.bracketed(2) + " / " + b.bracketed(3), a.value / b.value, 2}
	case "^":
		b := drawSum(t, depth-1)
		power := b.bracketed(3)
		if strings.ContainsAny(power, "/⅝") { // behind ^ a fraction is no number
			power = "(" + power + ")"
		}
		return figured{a.bracketed(5) + "^" + power, math.Pow(a.value, b.value), 4}
	case "u-":
		return figured{"-" + a.bracketed(3), -a.value, 3}
	case "()":
		return figured{"(" + a.text + ")", a.value, 5}
	case "max":
		b := drawSum(t, depth-1)
		return figured{"max(" + a.text + ", " + b.text + ")", math.Max(a.value, b.value), 5}
	}
	return a
}

// figure is what a sum of bare numbers comes to.
func figure(e Expr) float64 {
	switch x := e.(type) {
	case *Number:
		return x.Value
	case *Unary:
		return -figure(x.X)
	case *Call:
		return math.Max(figure(x.Args[0]), figure(x.Args[1]))
	case *Binary:
		a, b := figure(x.X), figure(x.Y)
		return map[byte]float64{'+': a + b, '-': a - b, '*': a * b, '/': a / b, '^': math.Pow(a, b)}[x.Op]
	}
	return math.NaN()
}

func TestSumsComeToTheirValue(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := drawSum(t, rapid.IntRange(0, 5).Draw(t, "depth"))
		f, messages := Parse("x", "dim a = "+want.text+"\n")
		if len(messages) > 0 {
			t.Fatal(messages[0])
		}
		got := figure(f.Statements[0].(*Dim).Value)
		if got != want.value && !(math.IsNaN(got) && math.IsNaN(want.value)) {
			t.Errorf("%s comes to %v, want %v", want.text, got, want.value)
		}
	})
}

// TestLayoutMeansNothing: blanks, line ends and comments between the words of a sketch change nothing, and neither
// does Tidy.
func TestLayoutMeansNothing(t *testing.T) {
	files, err := filepath.Glob(filepath.Join("testdata", "good", "*.txt"))
	if err != nil || len(files) == 0 {
		t.Fatal("no sketches", err)
	}
	sketches := make([]string, len(files))
	for i, file := range files {
		all, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		sketches[i], _, _ = strings.Cut(string(all), divider)
	}
	rapid.Check(t, func(rt *rapid.T) {
		text := rapid.SampledFrom(sketches).Draw(rt, "sketch")
		loose := scattered(rt, text)
		before, _ := Parse("", text)
		after, messages := Parse("", loose)
		if len(messages) > 0 {
			rt.Fatalf("%s\nin\n%s", messages[0], loose)
		}
		if b, a := dumped(before), dumped(after); a != b {
			rt.Fatalf("%s\nreads\n%s\nwant\n%s", loose, a, b)
		}
		tidied, _ := Tidy("", loose)
		checkTidied(t, loose, tidied)
	})
}

// scattered is a sketch with other blanks, line ends and comments between its tokens.
func scattered(t *rapid.T, text string) string {
	gaps := rapid.SampledFrom([]string{" ", "  ", "\t", " \n ", "\n\t", " # \"why\n   ", "\n\n# (\n ", "\u00a0", "\r\n "})
	var b strings.Builder
	for start := 0; start < len(text); {
		end, next := lineEnd(text, start)
		tokens, _ := scanLine(text, start, end, nil, len(text))
		margin := blankAt(text, start, end) == 0
		for i, tok := range tokens {
			switch {
			case i == 0 && margin:
				b.WriteString("\n")
			case i == 0 || !tokens[i-1].touches(tok) || rapid.IntRange(0, 9).Draw(t, "apart") == 0:
				b.WriteString(gaps.Draw(t, "gap"))
			}
			b.WriteString(text[tok.span.Start:tok.span.End])
		}
		start = next
	}
	return b.String() + "\n"
}

// TestNearest: every word of the language is found again after a slip of the pen, unless the slip makes another word.
func TestNearest(t *testing.T) {
	tests := []struct {
		word       string
		candidates []string
		want       string
	}{
		{"crankpn", []string{"crosspin", "crankpin"}, "crankpin"},
		{"crnakpin", []string{"crosspin", "crankpin"}, "crankpin"},
		{"Crankpin", []string{"crankpin2", "crankpin"}, "crankpin"},
		{"throw", []string{"stroke", "bore"}, ""},
		{"a", []string{"b", "c"}, ""},
		{"a", []string{"b", "A"}, "A"},
		{"ab", []string{"ba", "cd"}, "ba"},
		{"clare", []string{"case", "clear"}, "clear"},
		{"", []string{"a"}, ""},
		{"größe", []string{"grosse", "grüße"}, "grüße"},
		{"conrod", []string{"condor", "front.conrod", "rear.conrod"}, "front.conrod"},
		{"rod", []string{"front.conrod"}, ""},
		{"x1", nil, ""},
		{strings.Repeat("x", 1000), []string{strings.Repeat("x", 999)}, ""},
	}
	for _, test := range tests {
		if got := Nearest(test.word, test.candidates); got != test.want {
			t.Errorf("Nearest(%q, %q) = %q, want %q", test.word, test.candidates, got, test.want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		words := Reserved()
		word := rapid.SampledFrom(words).Filter(func(w string) bool { return len(w) > 2 }).Draw(t, "word")
		slip := slipped(t, word)
		got := Nearest(slip, words)
		if slip != word && (got == "" || slips([]rune(slip), []rune(got), 9) > slips([]rune(slip), []rune(word), 9)) && !isReserved[slip] {
			t.Errorf("%s for %s gives %q", slip, word, got)
		}
	})
}

// slipped is a word with one letter left out, put in, changed or swapped.
func slipped(t *rapid.T, word string) string {
	i := rapid.IntRange(0, len(word)-2).Draw(t, "at")
	letter := string(rune(rapid.ByteRange('a', 'z').Draw(t, "letter")))
	switch rapid.IntRange(0, 3).Draw(t, "slip") {
	case 0:
		return word[:i] + word[i+1:]
	case 1:
		return word[:i] + letter + word[i:]
	case 2:
		return word[:i] + letter + word[i+1:]
	}
	return word[:i] + string(word[i+1]) + string(word[i]) + word[i+2:]
}

// TestReserved: the words of the statements are no names, and what trades use as names are.
func TestReserved(t *testing.T) {
	for _, word := range strings.Fields("dim at near on to from by all step rest tol fit is past showing wide round left right long play mm in pi frame hole disc landscape least most centre heading along") {
		if !isReserved[word] {
			t.Errorf("%s should be reserved", word)
		}
	}
	for _, word := range strings.Fields("A0 B0 A4 H7 m cm deg rad thou text note class name u v w p q crank conrod sin x y low inner") {
		if isReserved[word] {
			t.Errorf("%s should be free as a name", word)
		}
	}
}

// TestWords: each statement is in the list once, with forms that begin with its word, and its parser takes it.
func TestWords(t *testing.T) {
	seen := map[string]bool{}
	for _, w := range append(Words(), Shapes()...) {
		if seen[w.Word] || len(w.Forms) == 0 {
			t.Errorf("%s is there twice, or has no form", w.Word)
		}
		seen[w.Word] = true
		for _, f := range w.Forms {
			if !strings.HasPrefix(f.Form, w.Word+" ") || f.Meaning == "" {
				t.Errorf("the form %q of %s", f.Form, w.Word)
			}
		}
	}
	if len(Words()) != 36 {
		t.Errorf("%d statements, want 36", len(Words()))
	}
	for _, f := range Functions() {
		if !strings.HasPrefix(f.Form, f.Name+"(") || f.Meaning == "" || len(f.Names) > f.Least {
			t.Errorf("the form %q of %s", f.Form, f.Name)
		}
	}
}
