package machine

import (
	"os"
	"runtime/debug"
	"testing"
)

// TestMain lets memory grow to five times the memory in use before it is collected, which takes an eighth of the processors otherwise.
func TestMain(m *testing.M) {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(400)
	}
	m.Run()
}
