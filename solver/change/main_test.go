package change_test

import (
	"testing"

	"barover/solver/trial"
)

func TestMain(m *testing.M) { trial.Main(m) }
