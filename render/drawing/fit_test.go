package drawing

import (
	"strings"
	"testing"
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
