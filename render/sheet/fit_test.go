package sheet

import (
	"strings"
	"testing"
)

// TestLongTitle: a title longer than its field stands in two lines, both within it.
func TestLongTitle(t *testing.T) {
	o := options()
	o.Title = "Four-coupled side tank of 1893 for the line from the quarry to the quay, near side, with both gears and all springs, sheets as sent to the pattern shop"
	l := texts(sweepSheet(mill(t), o).Drawing)["title"]
	if !has(l, "Four-coupled side tank") || !has(l, "springs") {
		t.Errorf("%q", l)
	}
	for _, s := range l {
		if strings.HasPrefix(s, "Four") && bold25.Width(s) > 117 {
			t.Errorf("%q is %v mm long", s, bold25.Width(s))
		}
	}
}

// TestLongLabelsAreBroken: a label that is too long for the room beside the picture stands in more lines, all of it.
func TestLongLabelsAreBroken(t *testing.T) {
	long := "crank_web.plate_of_the_web_with_its_key – frame.stay_number_5_of_the_motion_plate"
	lines := shortLines(label25, []string{"short", long})
	if len(lines) < 3 || lines[0] != "short" || strings.Join(lines[1:], " ") != long {
		t.Errorf("%q", lines)
	}
	for _, s := range lines {
		if label25.Width(s) > longLabel {
			t.Errorf("%q is %v mm long", s, label25.Width(s))
		}
	}
}

// TestMendsAreNotCut: where not all ways to mend an answer have room, whole ones are left out, and it is said that there are others.
func TestMendsAreNotCut(t *testing.T) {
	ways := []string{"would hold with bar_half at least 0.4556 (now 7/16), next 64th 15/32",
		"throw at most 0.9262 (now 1), which mends 2 of 7, but then slipper over-runs the front of the bars falls short", "bar_rear at least 7.7739 (now 7 5/8), next 64th 7 25/32"}
	all := strings.Join(ways, otherWay)
	for _, c := range []struct {
		wide float64
		want string
	}{{400, all}, {95, strings.Join(ways[:2], otherWay) + "; other ways: check"}, {20, ways[0] + "; other ways: check"}} {
		lines := mendsIn(all, c.wide)
		if got := strings.Join(lines, " "); got != c.want || len(lines) > mostMends && c.wide > 20 {
			t.Errorf("%v wide: %q", c.wide, lines)
		}
	}
}

// TestFigureOfAPanelIsNotCut: the words about the figure at the foot of a narrow panel stand in more lines, all of them.
func TestFigureOfAPanelIsNotCut(t *testing.T) {
	e, o := mill(t), options()
	b := NewBook(e, o)
	both := alone(b.s, o.Words)
	a := both.is.answers()[0]
	both.is.say(&a, o.Words)
	v := both.view(&o, b.l)
	whole, heads := v.placeWords(&ChangedCheck{After: a.Finding}, &a, 500)
	lines, n := v.placeWords(&ChangedCheck{After: a.Finding}, &a, 35)
	if heads != 1 || n < 2 || strings.Join(lines[:n], " ") != whole[0] {
		t.Errorf("%q, wide %q", lines[:n], whole[:heads])
	}
	for _, s := range lines[:n] {
		if bold25.Width(s) > 35 {
			t.Errorf("%q is %v mm long", s, bold25.Width(s))
		}
	}
}
