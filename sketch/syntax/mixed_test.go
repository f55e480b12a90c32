package syntax

import (
	"slices"
	"testing"
)

// TestSpacedSigns: a difference whose blanks look like those of a mixed number is told once; any other is not.
func TestSpacedSigns(t *testing.T) {
	for text, want := range map[string][]string{
		"1 -1/4": {"1 -1/4"}, "2*(4  -½in) + 1": {"4 -½in"}, "min(4 -1/2, 7 -1/4)": {"4 -1/2", "7 -1/4"}, "-4 -1/2": {"4 -1/2"}, "a + 4 -1/2": {"4 -1/2"},
		"1 - 1/4": nil, "1 1/4": nil, "a -1/4": nil, "4in -1/2": nil, "2^3 -1/4": nil, "1 1/2 -1/4": nil, "4 -3/2": nil, "2.4 -1/2": nil, "4 -0.5": nil,
		"4 +1/2": nil, "a1 -1/4": nil, "4 -a/2": nil, "(4) -1/2": nil,
	} {
		f, wrong := Parse("a.motion", "units in\ndim a = 1\ndim a1 = 1\ndim b = "+text+"\n")
		if len(wrong) > 0 {
			t.Fatal(text, wrong)
		}
		var got []string
		for _, m := range SpacedSigns(f) {
			got = append(got, SpanText(f, m.Span))
		}
		if !slices.Equal(got, want) {
			t.Errorf("%s: %q, want %q", text, got, want)
		}
	}
}
