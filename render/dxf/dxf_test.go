package dxf

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"barover/solver/plane"
)

// TestLetters: what release 12 cannot hold is put the way that the format writes it, and nothing breaks a line.
func TestLetters(t *testing.T) {
	for s, want := range map[string]string{
		"plain": "plain", "Ø 5 ± 0.1 at 30°": "%%c 5 %%p 0.1 at 30%%d", "20 × 30": "20 x 30", "a–b": "a-b", "Schäkel": `Sch\U+00E4kel`, "𝄞": "?",
		"5 % of": "5 % of", "%%c": "%%%%%%c", "%±5": "%%%%%p5", "100%%": "100%%%%%%", `\U+0041`: `\U+005CU+0041`, `\M+1`: `\U+005CM+1`, `a\U`: `a\U`,
	} {
		if got := lettered(s); got != want {
			t.Errorf("%q is written %q, want %q", s, got, want)
		}
	}
	f := &File{Comments: []string{"two\nlines"}}
	f.Layer("NOTES", 3).Add(Text{S: "one\r\n0\nEOF"})
	lines := strings.Split(strings.TrimSuffix(string(Bytes(f)), "\n"), "\n")
	if len(lines)%2 != 0 || lines[1] != "two lines" || strings.Count(string(Bytes(f)), "EOF") != 2 || lines[len(lines)-3] != "ENDSEC" {
		t.Errorf("a line feed in a text breaks the file: %q", lines)
	}
}

func TestNames(t *testing.T) {
	for s, want := range map[string]string{
		"big_end": "BIG_END", "a.b c": "A_B_C", "": "_", "x-1": "X-1", strings.Repeat("a", 40): strings.Repeat("A", 31),
	} {
		if got := Name(s); got != want {
			t.Errorf("%q: %q, want %q", s, got, want)
		}
	}
}

// TestNumbers: headings lie in 0 to 360°, places are in the unit, and what is no number does not make the file unreadable.
func TestNumbers(t *testing.T) {
	f := &File{Inches: true}
	f.Layer("A", 7).Add(Arc{C: plane.Vec{X: 25.4, Y: -50.8}, R: 12.7, From: -math.Pi / 2, To: 3 * math.Pi}, Circle{C: plane.Vec{X: math.NaN()}, R: math.Inf(1)})
	got := string(Bytes(f))
	for _, want := range []string{"ARC\n8\nA\n10\n1\n20\n-2\n40\n0.5\n50\n270\n51\n180\n", "CIRCLE\n8\nA\n10\n0\n20\n0\n40\n0\n"} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in %s", want, got)
		}
	}
	if !bytes.Equal([]byte(got), Bytes(f)) {
		t.Error("the same file is not the same from one time to the next")
	}
}
