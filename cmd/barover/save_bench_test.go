//go:build unix

package main

import (
	"context"
	"os"
	"syscall"
	"testing"
	"time"

	"barover/render/report"
	"barover/sketch"
	"barover/sketch/assembled"
	"barover/sketch/source"
	"barover/solver/machine"
)

// inMemory reads the files of an example once, so that a benchmark after that does not wait for a disk.
func inMemory() func(string) ([]byte, error) {
	texts := map[string][]byte{}
	return func(path string) ([]byte, error) {
		if texts[path] == nil {
			b, err := os.ReadFile(path)
			if err != nil {
				return nil, err
			}
			texts[path] = b
		}
		return texts[path], nil
	}
}

// saved is what a save came to: how large the files are, and how long it took to the first.
type saved struct {
	svg, pdf int
	first    time.Duration
}

// saveToPicture goes the whole way from the text of a sketch to its drawings, in memory, as draw and watch do.
func saveToPicture(tb testing.TB, read func(string) ([]byte, error), path string) saved {
	start := time.Now()
	e, err := assembled.AssembleRead(sketch.Read(source.Memory(read), path, sketch.Options{}))
	if err != nil {
		tb.Fatal(err)
	}
	ctx := context.Background()
	var c console
	res, err := e.Study(ctx, machine.Options{Checks: true, Progress: c.newProgress(path).step})
	if err != nil {
		tb.Fatal(err)
	}
	book, err := report.Book(ctx, e, res, report.Look{})
	if err != nil {
		tb.Fatal(err)
	}
	s, err := encode(ctx, book, "svg", 0)
	if err != nil {
		tb.Fatal(err)
	}
	first := time.Since(start)
	p, err := encode(ctx, book, "pdf", 0)
	if err != nil {
		tb.Fatal(err)
	}
	return saved{len(s), len(p), first}
}

// BenchmarkSaveToPicture is what a save costs while an example is watched: parse, solve, prove, draw SVG and PDF with all
// pages. Of Tansy and Harrow Mere 50 ms are asked for, of the whole of Larkspur 250, and 100 to the SVG; the time to
// gather file events is not counted. On a machine that others load, cpu-ms/save tells more: what all cores spent.
func BenchmarkSaveToPicture(b *testing.B) {
	collectLess() // as the program does
	for _, name := range []string{"tansy", "harrow-mere", "larkspur"} {
		b.Run(name, func(b *testing.B) {
			read := inMemory()
			var last saved
			var first time.Duration
			spent := processTime(b)
			for b.Loop() {
				last = saveToPicture(b, read, "../../examples/"+name+".motion")
				first += last.first
			}
			each := func(d time.Duration) float64 { return d.Seconds() * 1000 / float64(b.N) }
			b.ReportMetric(float64(last.svg), "svg-bytes")
			b.ReportMetric(float64(last.pdf), "pdf-bytes")
			b.ReportMetric(each(b.Elapsed()), "ms/save")
			b.ReportMetric(each(first), "ms/first-svg")
			b.ReportMetric(each(processTime(b)-spent), "cpu-ms/save")
		})
	}
}

// processTime is what the process has spent on all cores.
func processTime(tb testing.TB) time.Duration {
	tb.Helper()
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		tb.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
