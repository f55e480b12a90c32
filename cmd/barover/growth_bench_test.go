package main

import (
	"barover/render/report"
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
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
	check(b, "axles=3/loose", sixCoupled)
	check(b, "axles=3/floor", strings.NewReplacer("loose ", "", " play 0.15", "", "travel rear_up = -2, 2 rest 2", "dim rear_up = 0").
		Replace(sixCoupled[:strings.Index(sixCoupled, "point right")]))
}

// sixCoupled is three coupled axles with a knuckle joint, first one side and then the other, whose rods have play.
const sixCoupled = `units mm
turn crank = 10 to 370 step 5
travel rear_up = -2, 2 rest 2
point mid_axle at 0, 0
point rear_axle at -150, rear_up
point front_axle at 150, 0
point left_mid
length mid_axle left_mid = 20
angle mid_axle left_mid = crank
point left_rear near -130, 0
length rear_axle left_rear = 20
point left_front near 170, 0
length front_axle left_front = 20
part left_hind from left_mid to left_rear heading 180
loose length left_mid left_rear = 150 play 0.15
point left_knuckle on left_hind at 22, 0
loose length left_knuckle left_front = 128 play 0.15
profile left_hind.rod from 60 thick 6
  strip left_mid to left_knuckle wide 12 round
profile frame.tread from 60 thick 12
  box -90, -60 to -60, -30
clear left_hind frame by 2
point right_mid
length mid_axle right_mid = 20
angle mid_axle right_mid = crank + 90
point right_rear near -150, 20
length rear_axle right_rear = 20
angle left_rear rear_axle right_rear = 90
point right_front near 150, 20
length front_axle right_front = 20
angle left_front front_axle right_front = 90
part right_hind from right_mid to right_rear heading 180
loose length right_mid right_rear = 150 play 0.15
point right_knuckle on right_hind at 22, 0
loose length right_knuckle right_front = 128 play 0.15
profile right_hind.rod from 60 thick 6
  strip right_mid to right_knuckle wide 12 round
clear right_hind frame by 2
`

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
