package report

import (
	"slices"
	"testing"
)

// TestCounted compares the words for one with those for several.
func TestCounted(t *testing.T) {
	for _, c := range []struct {
		form string
		n    int
		want string
	}{
		{"%d more {reason; --json has it|reasons; --json has them all}.", 1, "1 more reason; --json has it."},
		{"%d more {reason; --json has it|reasons; --json has them all}.", 2, "2 more reasons; --json has them all."},
		{"and in %d more {place|places}", 1, "and in 1 more place"},
		{"%d {pair never meets|pairs never meet} across", 1, "1 pair never meets across"},
		{"%d {pair never meets|pairs never meet} across", 1316, "1316 pairs never meet across"},
		{"and %d more", 1, "and 1 more"},
		{"The proof tells of {the engine|all %[1]d engines} drawn.", 1, "The proof tells of the engine drawn."},
		{"The proof tells of {the engine|all %[1]d engines} drawn.", 100, "The proof tells of all 100 engines drawn."},
	} {
		if got := Counted(c.form, c.n); got != c.want {
			t.Errorf("%q of %d: got %q, want %q", c.form, c.n, got, c.want)
		}
	}
	few := FewOf([]string{"a", "b", "c"}, 2, "and %d more {setting|settings}")
	if want := []string{"a", "b", "and 1 more setting"}; !slices.Equal(few, want) {
		t.Errorf("got %q, want %q", few, want)
	}
}
