package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// thirtyParts is a row of ten engines on one crankshaft: thirty parts, each beside the next, and all pairs asked about.
func thirtyParts() string {
	var b strings.Builder
	b.WriteString("title \"Ten in a row\"\nunits mm\ndim throw = 20\ndim deep = 8\nturn crank = 0 to 360 step 5\n")
	for i := range 10 {
		fmt.Fprintf(&b, "point shaft%[1]d at 0, %[2]d\npoint pin%[1]d\npoint cross%[1]d near 120, %[2]d\nline bore%[1]d through shaft%[1]d heading 0\n"+
			"length shaft%[1]d pin%[1]d = throw\nangle shaft%[1]d pin%[1]d = crank + %[3]d\nlength pin%[1]d cross%[1]d = 100\nslide cross%[1]d on bore%[1]d\n"+
			"part crank%[1]d from shaft%[1]d to pin%[1]d\npart rod%[1]d from pin%[1]d to cross%[1]d\npart head%[1]d at cross%[1]d along bore%[1]d\n"+
			"profile crank%[1]d.web from 0 thick 6\n   strip shaft%[1]d to pin%[1]d wide 16 round\nprofile rod%[1]d.shank from 6 thick 5\n   strip pin%[1]d to cross%[1]d wide deep round\n"+
			"profile head%[1]d.slipper from 0 thick 20\n   box -12, -9 to 12, 9\n", i, 55*i, 36*i)
	}
	b.WriteString("clear all by 0.5\n")
	return b.String()
}

// BenchmarkPage measures what the page marks itself: how evenly it turns, and how long a save takes to the motion and to the
// answers. One round is one save. frame-ms at its best is what the browser alone needs, 1000/60: the floor.
func BenchmarkPage(b *testing.B) {
	row := filepath.Join(b.TempDir(), "row.motion")
	if err := os.WriteFile(row, []byte(thirtyParts()), 0o666); err != nil {
		b.Fatal(err)
	}
	for _, c := range []struct{ name, path, from, to string }{
		{"Tansy", copied(b, "tansy.motion"), "dim trunk_bore    = 1 1/4", "dim trunk_bore    = 1.3"},
		{"Larkspur", copied(b, "larkspur.motion"), "dim bar_rear   = 7 7/8", "dim bar_rear   = 7.9"},
		{"thirty parts", row, "dim deep = 8", "dim deep = 9"},
	} {
		b.Run(c.name, func(b *testing.B) { marks(b, c.path, c.from, c.to) })
	}
}

func marks(b *testing.B, path, from, to string) {
	page, _ := openPage(b, path)
	page.do(chromedp.KeyEvent(" "))
	page.until(`barover.runner.times?.length > 150`)
	page.do(chromedp.KeyEvent(" "))
	frames := value[[]float64](page, `(() => { const d = performance.getEntriesByName("frames").at(-1).detail; return [d.count, d.median, d.most, d.script] })()`)
	var motion, answers []float64
	for i := 0; b.Loop(); i++ {
		rewrite(b, path, from, to)
		from, to = to, from
		page.until(fmt.Sprintf(`document.documentElement.dataset.answers === "%d" && document.documentElement.dataset.motion === "%[1]d"`, i+2))
		last := value[[]float64](page, `["motion", "answers"].map((n) => performance.getEntriesByName(n).at(-1).detail.after)`)
		motion, answers = append(motion, last[0]), append(answers, last[1])
	}
	if frames[1] > 100 || frames[3] > 8 || middle(motion) > 5000 || middle(answers) > 20000 { // wide: others use the machine too
		b.Errorf("frame %.1f ms, script %.2f ms, motion %.0f ms, answers %.0f ms", frames[1], frames[3], middle(motion), middle(answers))
	}
	b.ReportMetric(frames[1], "frame-ms")
	b.ReportMetric(frames[2], "frame-95%-ms")
	b.ReportMetric(frames[3], "script-ms")
	b.ReportMetric(middle(motion), "motion-ms")
	b.ReportMetric(middle(answers), "answers-ms")
}

func middle(v []float64) float64 {
	s := slices.Sorted(slices.Values(v))
	return s[len(s)/2]
}
