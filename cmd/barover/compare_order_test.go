package main

import (
	"barover/render/report"
	"slices"
	"strings"
	"testing"
)

// A throw that moves nearly everything: what falls short comes first, then what loses most of its room, and the rest is
// counted. With --long and with --json all of it is there.
func TestCompareListsWhatMatters(t *testing.T) {
	args := []string{"compare", larkspur, "--set", "throw=1 1/64"}
	short, _ := barover(t, args...)
	long, _ := barover(t, append(args, "--long")...)
	object, _ := barover(t, append(args, "--json")...)
	rows := func(text string) (words []string) {
		for _, line := range strings.Split(text, "\n") {
			if word := strings.TrimSpace(line[:min(len(line), 10)]); slices.Contains([]string{"now short", "mended", "worse", "better"}, word) {
				words = append(words, word)
			}
		}
		return words
	}
	few, all := rows(short), rows(long)
	if len(few) != report.MostMoved || few[0] != "now short" {
		t.Errorf("listed: %v; want %d, what falls short first", few, report.MostMoved)
	}
	if len(all) < 90 || strings.Contains(long, "--long") {
		t.Errorf("--long lists %d", len(all))
	}
	if want := report.CountOf(len(all)-report.MostMoved, "more that holds", "more that hold"); !strings.Contains(short, "and "+want+" with room") {
		t.Errorf("%s are not counted in\n%s", want, short)
	}
	if n := strings.Count(object, `"ok_after"`); n < len(all) {
		t.Errorf("--json has %d, --long %d", n, len(all))
	}
	// The room to the cover in front goes from 1/64 to zero: no other check that holds loses as much of what it has.
	if i := strings.Index(short, "piston, front cover"); i < 0 || i > strings.Index(short, "\nworse")+20 {
		t.Errorf("the cover in front is not the first of what holds\n%s", short)
	}
	if !strings.Contains(short, "more at other places of the ranges; --long lists them") || strings.Contains(short, "axle 1/16, ") {
		t.Error("marks are not told with the axles at rest alone")
	}
	if !strings.Contains(long, "axle 1/16, reverser 22°") {
		t.Error("--long does not tell of marks with the axles elsewhere")
	}
}
