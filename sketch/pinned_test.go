package sketch

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// pinnedSketch is the whole sketch with a web on the crank and more lines.
func pinnedSketch(lines string) string {
	return sill + "profile crank.web centred 0 thick 5\n   strip shaft to crankpin wide 10\nprofile frame.bed centred 0 thick 50\n   box -50, -40 to 50, -30\n" + lines
}

// TestPinned holds which profiles of parts that share a point are to be looked at beside the checks, and what is left out.
func TestPinned(t *testing.T) {
	crankFrame := []string{"crank.web frame.bars", "crank.web frame.bed"}
	conrodCrank := []string{"conrod.big_end crank.web", "conrod.shank crank.web"}
	tests := []struct {
		name, lines string
		want        []string
		pairs       int // of parts, left out
	}{
		{"no clear all", "", nil, 0},
		{"clear all", "clear all by 1\n", slices.Concat(conrodCrank, crankFrame), 2},
		{"twice", "clear all by 1\nclear all by 2\n", slices.Concat(conrodCrank, crankFrame, conrodCrank, crankFrame), 2},
		{"one allowed", "allow crank.web frame.bed\nclear all by 1\n", slices.Concat(conrodCrank, crankFrame[:1]), 2},
		{"parts allowed", "clear all by 1\nallow frame crank\n", conrodCrank, 2},
		{"asked for", "clear frame.bed crank by 0.5\nclear all by 1\nclear crank conrod by 0\n", crankFrame[:1], 2},
		{"gap is another question", "clear all by 1\ngap crank conrod\n", slices.Concat(conrodCrank, crankFrame), 2},
	}
	for _, c := range tests {
		p := good(t, pinnedSketch(c.lines), Options{}).Problem
		var got []string
		for _, x := range p.Pinned {
			got = append(got, p.Profiles[x.Check.A].Name+" "+p.Profiles[x.Check.B].Name)
			for _, pin := range x.Pins {
				if name := p.Linkage.Points[pin].Name; "left out: pinned at "+name != x.Check.Note {
					t.Errorf("%s: pinned at %s, but the note is %q", c.name, name, x.Check.Note)
				}
			}
		}
		if diff := cmp.Diff(c.want, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.name, diff)
		}
		pinned := 0
		for _, x := range p.LeftOut {
			if x.Why == "pinned at crankpin" || x.Why == "pinned at shaft" {
				pinned++
			}
		}
		if pinned != c.pairs {
			t.Errorf("%s: got %d pairs of parts left out as pinned, want %d: %v", c.name, pinned, c.pairs, p.LeftOut)
		}
	}
}
