package drawing

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestFitPair(t *testing.T) {
	text18 := &TextStyle{Name: "t18", Height: 1.8}
	const long = "crank_web_and_balance.plate_of_the_web – frame.stay_number_5_of_the_motion_plate by 1/64"
	for _, c := range []struct {
		text string
		most float64
		want string
	}{
		{"a – b", 100, "a – b"},
		{"one.two by 3", 4, "o…"},
		{long, 200, long},
		{"crank_web_and_balance.plate_of_the_web – frame.bed", 40, "crank_web…_the_web – frame.bed"},
		{"crank.web – frame.stay_number_5_of_the_motion_plate by 1/64", 40, "crank.web – frame.stay_number_…"},
	} {
		if got := text18.FitPair(c.text, c.most); got != c.want {
			t.Errorf("%q in %v: got %q, want %q", c.text, c.most, got, c.want)
		}
	}
	for most := 3.0; most < 120; most++ {
		got := text18.FitPair(long, most)
		if text18.Width(got) > most {
			t.Errorf("in %v: %q is %v", most, got, text18.Width(got))
		}
		if _, two, ok := strings.Cut(got, pairDash); most > 20 && (!ok || len(two) < 4) {
			t.Errorf("in %v: %q has lost one of the two", most, got)
		}
	}
}

// What is fitted is the longest that fits: of its beginnings, and of what is left when letters go out of the middle.
func TestFitsTheLongest(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s := &TextStyle{Height: 2.5, Bold: rapid.Bool().Draw(r, "bold")}
		text := rapid.StringOfN(rapid.SampledFrom([]rune("aWi.– …½Ω\t")), 0, 40, -1).Draw(r, "text")
		most := rapid.Float64Range(0, 60).Draw(r, "most")
		letters := []rune(text)
		longest := func(least int, cut func(keep int) string) (string, bool) {
			for keep := len(letters) - 1; keep >= least; keep-- {
				if c := cut(keep); s.Width(c) <= most {
					return c, true
				}
			}
			return "", false
		}
		want := text
		if s.Width(text) > most {
			want, _ = longest(1, func(keep int) string { return string(letters[:keep]) + "…" })
		}
		if got := s.Fit(text, most); got != want {
			r.Errorf("%q in %v: got %q, want %q", text, most, got, want)
		}
		if s.Width(text) > most {
			middle, ok := longest(2, func(keep int) string {
				return string(letters[:(keep+1)/2]) + "…" + string(letters[len(letters)-keep/2:])
			})
			if ok {
				want = middle
			}
		}
		if got := s.FitMiddle(text, most); got != want {
			r.Errorf("%q in %v, shortened in the middle: got %q, want %q", text, most, got, want)
		}
	})
}

// BenchmarkFit shortens a title that somebody pasted a book into, beside the floor: its width alone.
func BenchmarkFit(b *testing.B) {
	s := &TextStyle{Height: 3.5}
	for _, n := range []int{40_000, 4_000_000} {
		text := strings.Repeat("letters ", n/8)
		run := func(name string, do func()) {
			b.Run(fmt.Sprintf("letters=%d/%s", n, name), func(b *testing.B) {
				for b.Loop() {
					do()
				}
			})
		}
		run("floor", func() { s.Width(text) })
		run("fit", func() { s.Fit(text, 60) })
		run("middle", func() { s.FitMiddle(text, 60) })
		run("wrap", func() { s.Wrap(text, 60) })
	}
}

// TestFitting: a thing fits its room at the scale chosen, which is a recommended one unless that wastes more than a third of the
// room, and then wastes no more than that itself.
func TestFitting(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		size := rapid.Float64Range(1, 20000)
		wide, high := size.Draw(r, "wide"), size.Draw(r, "high")
		s, ok := Fitting(wide, high, 240, 160)
		room := min(240/wide, 160/high)
		if !ok || s.K() > room*1.00001 || s.K() < room/1.50001 {
			r.Fatalf("%v × %v in 240 × 160, room for %v: %v", wide, high, room, s)
		}
		if step, _ := Largest(wide, high, 240, 160); step.K() >= room*0.66667 && s != step {
			r.Fatalf("%v × %v: %v, where %v wastes no more than a third", wide, high, s, step)
		}
	})
}
