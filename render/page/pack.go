package page

import (
	"encoding/binary"
	"math"
	"slices"
)

// Figures in a file that is mailed are rounded to a unit, and only how they bend is written: smooth motion leaves next to
// nothing. What is the same at another setting is written once.

// Units of packed figures.
const (
	lengthUnit   = 1.0 / 2048 // mm: of positions
	headingUnit  = 1.0 / (1 << 21)
	turnUnit     = 1e-6      // degrees
	distanceUnit = 1.0 / 512 // mm: of distances over the turn
	mostPacked   = 1 << 52   // units; a figure beyond is none
)

// packer writes series of figures.
type packer struct {
	b     []byte
	first map[int][]int64 // by key, the first series that was written under it
}

// none represents a missing figure.
const none = math.MinInt64

func (p *packer) number(n int) { p.b = binary.AppendUvarint(p.b, uint64(n)) }

// series writes figures, rounded to a unit: 1 where they are those first written under the key, else 0, then the lengths of
// the stretches that have a figure and of those that have none in turn, then of the figures how each bends off the line
// through the two before it.
func (p *packer) series(key int, v []float64, unit float64) {
	q := make([]int64, len(v))
	for i, x := range v {
		if q[i] = none; math.Abs(x/unit) < mostPacked {
			q[i] = int64(math.Round(x / unit))
		}
	}
	if was, ok := p.first[key]; ok && slices.Equal(was, q) {
		p.number(1)
		return
	}
	if _, ok := p.first[key]; !ok {
		p.first[key] = q
	}
	p.number(0)
	known := true
	for i := 0; i < len(q); known = !known {
		n := i
		for n < len(q) && (q[n] != none) == known {
			n++
		}
		p.number(n - i)
		i = n
	}
	var last, step int64
	for _, x := range q {
		if x == none {
			continue
		}
		p.b = binary.AppendVarint(p.b, x-last-step)
		step = x - last
		last = x
	}
}

// motion writes positions: counts of turns, stretches, parts and points, the first turns of the stretches, the turns, and
// then each figure over the turns.
func (p *packer) motion(mo *Motion) {
	for _, n := range []int{len(mo.turns), len(mo.starts), mo.parts, mo.points} {
		p.number(n)
	}
	for _, s := range mo.starts {
		p.number(s)
	}
	v := make([]float64, len(mo.turns))
	for i, t := range mo.turns {
		v[i] = degrees(t)
	}
	p.series(-1, v, turnUnit)
	for c := range mo.wide {
		unit := lengthUnit
		if c < 4*mo.parts && c%4 > 1 {
			unit = headingUnit
		}
		for i := range v {
			v[i] = float64(mo.at[i*mo.wide+c])
		}
		p.series(c, v, unit)
	}
}
