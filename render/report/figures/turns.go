package figures

import (
	"barover/solver"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// TurnsAsked reads the positions that --at gives, degrees, and returns them in rad.
func TurnsAsked(t solver.Turn, list string) ([]float64, error) {
	if t.Stmt < 0 {
		return nil, errors.New("--at: the sketch has no turn line: it stands in one position")
	}
	var out []float64
	for _, word := range strings.Split(list, ",") {
		d, err := strconv.ParseFloat(strings.TrimSuffix(strings.TrimSpace(word), "°"), 64)
		if err != nil || math.IsNaN(d) || math.IsInf(d, 0) {
			return nil, fmt.Errorf("--at: %q is no position of the turn; write degrees, such as --at 62.5", strings.TrimSpace(word))
		}
		rad := d * (math.Pi / 180)
		const slack = 1e-9
		if rad < t.From-slack || rad > t.To+slack {
			return nil, fmt.Errorf("--at %s: %s goes from %s to %s", strings.TrimSpace(word), t.Name,
				Figure(Degrees(t.From)).Full(), Figure(Degrees(t.To)).Full())
		}
		out = append(out, math.Min(math.Max(rad, t.From), t.To))
	}
	return out, nil
}
