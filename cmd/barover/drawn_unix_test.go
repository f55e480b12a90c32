//go:build unix

package main

import (
	"syscall"
	"testing"

	"barover/sketch/assembled"
	"barover/solver/machine"
	"barover/solver/spread"
)

// BenchmarkEngineDrawn is what each engine costs that spread draws of Larkspur, in processor time: b.N of them beyond the
// first hundred, which are answered in full. Wall time would report what else the machine does. Ask for some hundreds, by
// -benchtime 500x.
func BenchmarkEngineDrawn(b *testing.B) {
	e := openLarkspur(b)
	q := spread.Ask{Problem: e.Problem, Vary: assembled.Vary(e.Sketch), Seed: 1}
	for _, l := range loosened {
		d, n, _ := e.Dim(l.name)
		q.Tolerances = append(q.Tolerances, spread.Tolerance{Dim: n, Value: d.Value, Lower: -l.either, Upper: l.either})
	}
	took := func(samples int) float64 {
		q.Samples = samples
		from := cpu()
		if _, err := spread.Spread(b.Context(), q, machine.Options{}); err != nil {
			b.Fatal(err)
		}
		return cpu() - from
	}
	const first = 100
	begun := took(first)
	b.ReportMetric(1e3*(took(first+b.N)-begun)/float64(b.N), "cpu-ms/engine")
}

// cpu is the processor time that this process has had, s.
func cpu() float64 {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return float64(u.Utime.Nano()+u.Stime.Nano()) / 1e9
}
