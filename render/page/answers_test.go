package page

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"barover/solver/plane"
)

func TestChanges(t *testing.T) {
	row := func(key, worst string, ok bool) Answer {
		return Answer{Key: key, Subject: key, Worst: worst, OK: ok, State: map[bool]string{true: "holds", false: "short"}[ok]}
	}
	before := []Answer{row("as it was", "1", true), row("less", "2", true), row("worse", "-1", false), row("mended", "-2", false), row("gone", "3", true), row("fails", "1", true)}
	after := []Answer{row("as it was", "1", true), row("less", "1.5", true), row("worse", "-3", false), row("mended", "1", true), row("new", "4", true), row("fails", "-1", false)}
	got := Changes(before, after, []Dim{{Name: "rod", Value: "5"}, {Name: "bar", Value: "3"}}, []Dim{{Name: "rod", Value: "5 1/4"}, {Name: "bar", Value: "3"}})
	var words [][4]string
	for _, c := range got {
		words = append(words, [4]string{c.Word, c.Subject, c.Was, c.Is})
	}
	want := [][4]string{{"dimension", "rod", "5", "5 1/4"}, {"falls short", "fails", "1", "-1"}, {"still short", "worse", "-1", "-3"}, {"mended", "mended", "-2", "1"},
		{"holds", "less", "2", "1.5"}, {"newly asked", "new", "", "4"}, {"no longer asked", "gone", "3", ""}}
	if diff := cmp.Diff(want, words); diff != "" {
		t.Error(diff)
	}
	if same := Changes(before, before, nil, nil); len(same) != 0 {
		t.Errorf("nothing was changed, and it tells of %v", same)
	}
}

func TestHull(t *testing.T) {
	got := hull([]plane.Vec{{X: 0, Y: 0}, {X: 2, Y: 0}, {X: 1, Y: 0}, {X: 2, Y: 2}, {X: 1, Y: 1}, {X: 0, Y: 2}, {X: 0, Y: 0}})
	want := []plane.Vec{{X: 0, Y: 0}, {X: 2, Y: 0}, {X: 2, Y: 2}, {X: 0, Y: 2}}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}
