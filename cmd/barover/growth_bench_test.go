package main

import (
	"barover/render/report"
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"
)

// BenchmarkGrowth is what a whole check costs as sketches grow, each beside a floor: the same sketch without what nothing
// asks about, or for parts the least distances alone, of closed forms looked at every 5°. Run it by
//
//	go test -run '^$' -bench Growth -benchtime 3x ./cmd/barover
func BenchmarkGrowth(b *testing.B) {
	for _, n := range []int{100, 300} {
		name := fmt.Sprintf("parts=%d/", n)
		check(b, name+"turning", cranks(n)+"clear all by 1\n")
		check(b, name+"sliding", sliderCranks(n/2)+"clear all by 1\n")
		b.Run(name+"floor", func(b *testing.B) {
			for b.Loop() {
				leastOfCranks(n, 5, func(i, k int, least float64) {})
			}
		})
	}
	small := sliderCranks(2) + "clear all by 1\n"
	check(b, "travels=3/unused", small+unusedTravels)
	for _, n := range []int{2000, 20000} {
		name := fmt.Sprintf("points=%d/", n)
		check(b, name+"still", small+points(n, "%[1]d, 0"))
		check(b, name+"driven", small+points(n, "10*cos(crank + %[1]d), 10*sin(crank + %[1]d)"))
		check(b, name+"fast", small+points(n, "10*cos(crank*%[1]d), 10*sin(crank*%[1]d)"))
	}
	check(b, "points=0/floor", small)
}

// check runs the verb check on a sketch.
func check(b *testing.B, name, text string) {
	b.Run(name, func(b *testing.B) {
		path := filepath.Join(b.TempDir(), "sketch.motion")
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			b.Fatal(err)
		}
		for b.Loop() {
			verb(b, "check", "--json", path)
		}
	})
}

// verb runs a verb that ends well.
func verb(b *testing.B, args ...string) {
	var out, errs bytes.Buffer
	if status := run(context.Background(), args, &console{out: &out, err: &errs}); status != report.AllHolds || errs.Len() > 0 {
		b.Fatalf("status %d\n%.1000s", status, errs.String())
	}
}

// BenchmarkLarkspur is what verbs cost that answer Larkspur once or many times: of the dimensions sought, one moves every part and
// one moves none. The floor is the engine read and assembled, and its motion followed at each setting of its lists.
func BenchmarkLarkspur(b *testing.B) {
	whole := func(name string, args ...string) {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				verb(b, args...)
			}
		})
	}
	whole("check", "check", "--json", larkspur)
	whole("seek=weighshaft_y", "seek", "--json", larkspur, "weighshaft_y")
	whole("seek=bar_rear", "seek", "--json", larkspur, "bar_rear")
	b.Run("floor", func(b *testing.B) {
		for b.Loop() {
			e := openLarkspur(b)
			for _, travel := range e.Machine.ListSettings() {
				if _, err := e.Machine.Motion(b.Context(), travel); err != nil {
					b.Fatal(err)
				}
			}
		}
	})
}
