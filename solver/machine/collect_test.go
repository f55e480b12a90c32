package machine

import (
	"os"
	"runtime/debug"
	"testing"
)

// TestMain lets the heap grow to five times the live memory before it is collected. Otherwise collection takes an eighth of the
// processor time.
func TestMain(m *testing.M) {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(400)
	}
	m.Run()
}
