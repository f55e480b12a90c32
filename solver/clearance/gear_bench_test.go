//go:build unix

package clearance

import (
	"syscall"
	"testing"
)

func BenchmarkGear(b *testing.B) {
	l, bodies, pairs := gear(b)
	run := func(name string, f func()) {
		b.Run(name, func(b *testing.B) {
			start := processor()
			for b.Loop() {
				f()
			}
			b.ReportMetric(float64(processor()-start)/float64(b.N), "cpu-ns/op")
		})
	}
	run("sampled", func() { sampleGear(b, l, bodies, pairs, []float64{-3, 0, 3}) })
	run("proved", func() { proveGear(b, l, bodies, pairs, heights) })
	run("range", func() { proveGear(b, l, bodies, pairs, heights2) })
}

// processor is the processor time spent by this process, ns: what others do on the machine counts for less in it than in
// the time on the clock.
func processor() int64 {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return u.Utime.Nano() + u.Stime.Nano()
}
