package drawing

import (
	"math"
	"strconv"
)

// AppendNumber appends v with at most so many decimals, without trailing zeros and without "-0": the shortest form,
// and the same on every machine. A number that is none is written as 0, so that a file is never made unreadable by it.
func AppendNumber(b []byte, v float64, decimals int) []byte {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return append(b, '0')
	}
	from := len(b)
	b = strconv.AppendFloat(b, v, 'f', decimals, 64)
	if decimals > 0 {
		for b[len(b)-1] == '0' {
			b = b[:len(b)-1]
		}
		if b[len(b)-1] == '.' {
			b = b[:len(b)-1]
		}
	}
	if string(b[from:]) == "-0" {
		b = append(b[:from], '0')
	}
	return b
}
