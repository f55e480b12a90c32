package sketch

import (
	"fmt"
	"runtime/debug"
	"strings"
	"testing"
	"time"
)

// mostTime is how long any file may take. On an idle processor each takes less than half a second; the rest allows for a busy
// one. A file whose time grows with the square of its size takes longer than mostTime.
const mostTime = 5 * time.Second

// mostStack is how far a stack may grow, bytes: what calls itself once a line, for 10,000 lines, does not fit.
const mostStack = 1 << 20

// manyFiles joins n lines to files of a size that the parser takes, each used by the one before, and gives their reader.
func manyFiles(n int, line func(i int) string) map[string]string {
	const each = 8_000
	files := map[string]string{}
	for k := 0; k*each < n || k == 0; k++ {
		var b strings.Builder
		if (k+1)*each < n {
			fmt.Fprintf(&b, "use \"f%d.motion\"\n", k+1)
		}
		for i := k * each; i < min(n, (k+1)*each); i++ {
			b.WriteString(line(i))
			b.WriteByte('\n')
		}
		files[fmt.Sprintf("f%d.motion", k)] = b.String()
	}
	return files
}

// TestAttacks reads sketches that are made to take long or to run deep. What is said of them is in each case either
// nothing or the given text.
func TestAttacks(t *testing.T) {
	const some = 10_000
	defer debug.SetMaxStack(debug.SetMaxStack(mostStack))
	tests := []struct {
		name  string
		files map[string]string
		want  string // part of the first message; "" for none
	}{
		{"chain", manyFiles(some, func(i int) string {
			if i == 0 {
				return "dim d0 = 1\npoint p at d9999, 0"
			}
			return fmt.Sprintf("dim d%d = d%d + 1", i, i-1)
		}), ""},
		{"chain backward", manyFiles(some, func(i int) string {
			if i == some-1 {
				return "dim d9999 = 1\npoint p at d0, 0"
			}
			return fmt.Sprintf("dim d%d = d%d*1.0000001", i, i+1)
		}), ""},
		{"chain of products", manyFiles(some, func(i int) string {
			if i == some-1 {
				return "dim d9999 = 1mm\npoint p at d0, 0"
			}
			if i%2 == 1 {
				return fmt.Sprintf("dim d%d = 1", i)
			}
			return fmt.Sprintf("dim d%d = d%d*d%d", i, min(some-1, i+2), i+1)
		}), ""},
		{"squares", manyFiles(some, func(i int) string {
			if i == some-1 {
				return "dim d9999 = 1"
			}
			return fmt.Sprintf("dim d%d = d%d*d%d", i, i+1, i+1)
		}), ""},
		{"circle", manyFiles(some, func(i int) string { return fmt.Sprintf("dim d%d = d%d", i, (i+1)%some) }), "9993 more"},
		{"measures", manyFiles(some, func(i int) string {
			if i == some-1 {
				return "measure m9999 = 1"
			}
			return fmt.Sprintf("measure m%d = m%d + 1", i, i+1)
		}), ""},
		{"circle of measures", manyFiles(some, func(i int) string { return fmt.Sprintf("measure m%d = m%d", i, (i+1)%some) }), "9993 more"},
		{"wrong names", manyFiles(some, func(i int) string { return fmt.Sprintf("dim d%d = e%d", i, i) }), "there is no dimension e0"},
		{"one wrong name", manyFiles(some, func(i int) string { return fmt.Sprintf("dim d%d = e", i) }), "there is no dimension e"},
		{"one used as two", manyFiles(some, func(i int) string {
			if i == 0 {
				return "dim a = 1"
			}
			return fmt.Sprintf("point p%d at a, cos(a)*1mm", i)
		}), "a is a length"},
		{"made of others", manyFiles(some, func(i int) string {
			if i%2 == 0 {
				return fmt.Sprintf("dim d%d = 1mm", i)
			}
			return fmt.Sprintf("made d%d = d%d + 1", i-1, max(0, i-3))
		}), "d0 → d0"},
		{"positions", map[string]string{"f0.motion": "turn a = 0 to 360 step 0.00036\n"}, "more than 100000 positions"},
		{"travels", manyFiles(some, func(i int) string { return fmt.Sprintf("travel t%d = 0 to 1 step 0.1", i) }), "is the most"},
		{"settings", map[string]string{"f0.motion": "travel t = " + strings.Repeat("1, ", 9_000) + "1\n"}, ""},
		{"profiles", manyFiles(2*some, func(i int) string {
			switch {
			case i < 2_000:
				return fmt.Sprintf("point p%d at %d, 0\npart a%d at p%d heading 0", i, i, i, i)
			case i < 4_000:
				return fmt.Sprintf("profile a%d.x_1 across 0 to 1\n  disc 0, 0 dia 1", i-2_000)
			}
			return "clear all by 1"
		}), "more than 100000 pairs"},
		{"allowed", manyFiles(some, func(i int) string {
			if i == 0 {
				return "point p at 0, 0\npoint q at 1, 0\npart a at p heading 0\npart b at q heading 0\nclear all by 1"
			}
			return fmt.Sprintf("profile %s.x_%d across 0 to 1\n  disc 0, 0 dia 1\nallow a.x_1 b", string("ab"[i%2]), i)
		}), "more than 100000 pairs"},
		{"parts on one point", manyFiles(some/2, func(i int) string {
			if i == 0 {
				return "point p at 0, 0\nclear all by 1"
			}
			return fmt.Sprintf("part a%d at p heading 0\nprofile a%d.x_1 across 0 to 1\n  disc 0, 0 dia 1", i, i)
		}), "more than 100000 pairs"},
		{"circle of parts", manyFiles(some, func(i int) string {
			return fmt.Sprintf("point p%d on a%d at 0, 0\npart a%d at p%d heading 0", i, (i+1)%some, i, i)
		}), "in a circle"},
		{"files", uses(1000, func(i int) string { return fmt.Sprintf("use \"f%d.motion\"", i+1) }), "files use one another in a row"},
		{"files in a circle", uses(15, func(i int) string {
			return fmt.Sprintf("use \"f%d.motion\"\nuse \"f0.motion\"", (i+1)%15)
		}), "f0.motion"},
		{"files twice each", uses(15, func(i int) string {
			if i == 14 {
				return "dim a = 1"
			}
			return strings.Repeat(fmt.Sprintf("use \"f%d.motion\"\nuse \"./f%d.motion\"\nuse \"x/../f%d.motion\"\n", i+1, i+1, i+1), 100)
		}), "this file is taken in already"},
		{"files that double", uses(25, func(i int) string {
			if i == 24 {
				return "dim a = 1"
			}
			return fmt.Sprintf("use \"f%d.motion\" as one\nuse \"f%d.motion\" as two : a = 2\n", i+1, i+1)
		}), "more than 200 files"},
		{"many files", uses(1001, func(i int) string {
			if i > 0 {
				return fmt.Sprintf("dim a%d = 1", i)
			}
			var b strings.Builder
			for k := range 1000 {
				fmt.Fprintf(&b, "use \"f%d.motion\"\n", k+1)
			}
			return b.String()
		}), "more than 200 files"},
		{"a long sum", manyFiles(500, func(i int) string {
			return fmt.Sprintf("dim d%d = %s1", i, strings.Repeat("e*d*", 450))
		}), "there is no dimension e"},
		{"a sum of many figures", manyFiles(1_000, func(i int) string {
			if i < 500 {
				return fmt.Sprintf("dim d%d = 1", i)
			}
			var b strings.Builder
			fmt.Fprintf(&b, "dim d%d = 1", i)
			for k := range 400 {
				fmt.Fprintf(&b, "%cd%d", "+*"[k%2], (i*7+k)%500)
			}
			return b.String()
		}), ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			start := time.Now()
			_, messages := Read(readerOf(tt.files), "f0.motion", Options{})
			took := time.Since(start)
			t.Logf("%v", took)
			if took > mostTime {
				t.Errorf("took %v", took)
			}
			text := ""
			for _, m := range messages[:min(len(messages), 3)] {
				text += m.String()
			}
			if tt.want == "" && text != "" || !strings.Contains(text, tt.want) {
				t.Errorf("want %q, got %s", tt.want, text)
			}
			if len(messages) > mostMessages+1 {
				t.Errorf("%d messages", len(messages))
			}
		})
	}
}

func uses(n int, text func(i int) string) map[string]string {
	files := map[string]string{}
	for i := range n {
		files[fmt.Sprintf("f%d.motion", i)] = text(i) + "\n"
	}
	return files
}

// FuzzRead reads any text: there are messages, or a problem.
func FuzzRead(f *testing.F) {
	f.Add(sill)
	f.Add("dim a = b\ndim b = a\n")
	f.Add("units in\ndim a = sqrt(1 - 2)\nplan a = 3 1/4\nmade a = 4 ± 1\n")
	f.Fuzz(func(t *testing.T, text string) {
		s, messages := read(text, Options{})
		if (s.Problem == nil) != (len(messages) > 0) {
			t.Errorf("problem %v, messages %v", s.Problem, messages)
		}
		for _, m := range messages {
			_ = m.String()
		}
	})
}
