// Package draws says how many draws a random test takes. It knows nothing of what is drawn.
package draws

import "os"

// Of is how many of n draws a test takes, and how many of n findings it asks for: all of them with BAROVER_TESTS=all, as .ci/run has
// it, otherwise an eighth, rounded up.
func Of(n int) int {
	if os.Getenv("BAROVER_TESTS") == "all" {
		return n
	}
	return (n + 7) / 8
}
