package sketch

import (
	"fmt"
	"testing"
)

// TestOpenSlots: a slot in a bar with round ends breaks out where its round end, or its side, comes beyond that of the bar. The bar
// reaches 10 from its middle line, its ends lie at 0 and 100; the slot reaches 4.
func TestOpenSlots(t *testing.T) {
	const bar = `part bar from a to b
point a at 0, 0
point b at 100, 0
slot way on bar from %s wide 8%s
profile bar.flat across 0 to 5
   strip a to b wide 20 round
%s   hole way
`
	for _, c := range []struct {
		ends, bend, more string
		open             bool
	}{
		{"20, 0 to 80, 0", "", "", false},
		{"20, 0 to 105.99, 0", "", "", false},
		{"20, 0 to 106.01, 0", "", "", true}, // 100 + 10 less 4
		{"20, 5.99 to 80, 5.99", "", "", false},
		{"20, 6.01 to 80, 6.01", "", "", true},
		{"20, 6 to 80, 6", "", "", false},                                                  // it comes to the edge
		{"20, 0 to 80, 0", " radius 78 left", "", false},                                   // 78 - √(78² - 30²) = 6.0 is the rise of the bend
		{"20, 0 to 80, 0", " radius 70 left", "", true},                                    // 6.75
		{"20, 6.01 to 80, 6.01", "", "   box 10, 0 to 90, 11\n", false},                    // a second shape makes room
		{"20, 0 to 80, 0", "", "   hole disc 80, 0 dia 12\n", false},                       // it runs into a hole
		{"20, 0 to 106.01, 0", "", "   hole disc 80, 0 dia 12\n   disc b dia 30\n", false}, // and here into a boss
	} {
		s := good(t, fmt.Sprintf(bar, c.ends, c.bend, c.more), Options{})
		if open := s.OpenSlots(); len(open) > 0 != c.open {
			t.Errorf("%s%s\n%s: %v, want %v", c.ends, c.bend, c.more, open, c.open)
		}
	}
}
