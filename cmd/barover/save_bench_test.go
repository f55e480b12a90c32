package main

import (
	"context"
	"os"
	"testing"

	"barover/sketch"
	"barover/solver"
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

// saveToPicture goes the whole way from the text of a sketch to its drawings, in memory.
func saveToPicture(tb testing.TB, read func(string) ([]byte, error), path string) (svgSize, pdfSize int) {
	e, messages, err := assembleRead(sketch.Read(read, path, sketch.Options{}))
	if err != nil || len(messages) > 0 {
		tb.Fatal(err, messages)
	}
	ctx := context.Background()
	res, err := e.machine.Study(ctx, solver.Options{})
	if err != nil {
		tb.Fatal(err)
	}
	sheets, err := drawPages(ctx, e, res, drawFlags{page: 1})
	if err != nil {
		tb.Fatal(err)
	}
	s, err := encode(sheets.pages, "svg", 1)
	if err != nil {
		tb.Fatal(err)
	}
	p, err := encode(sheets.pages, "pdf", 1)
	if err != nil {
		tb.Fatal(err)
	}
	return len(s), len(p)
}

// BenchmarkSaveToPicture is what a save costs while Tansy is watched: parse, solve, check, draw SVG and PDF. 50 ms are
// asked for, the time to gather file events not counted.
func BenchmarkSaveToPicture(b *testing.B) {
	for _, name := range []string{"tansy", "harrow-mere"} {
		b.Run(name, func(b *testing.B) {
			read := inMemory()
			var s, p int
			for b.Loop() {
				s, p = saveToPicture(b, read, "../../examples/"+name+".motion")
			}
			b.ReportMetric(float64(s), "svg-bytes")
			b.ReportMetric(float64(p), "pdf-bytes")
			b.ReportMetric(float64(b.Elapsed().Milliseconds())/float64(b.N), "ms/save")
		})
	}
}
