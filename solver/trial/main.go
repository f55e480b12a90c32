package trial

import (
	"flag"
	"os"
	"runtime/debug"
	"strconv"
	"testing"

	"barover/solver/trial/draws"
)

// Main runs the tests of a package that makes much and keeps little of it. The heap may grow to five times the live memory before it
// is collected; otherwise collection takes an eighth of the processor time.
func Main(m *testing.M) {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(400)
	}
	if f := flag.Lookup("rapid.checks"); f != nil {
		_ = f.Value.Set(strconv.Itoa(draws.Of(100)))
	}
	m.Run()
}
