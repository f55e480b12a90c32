package main

import (
	"encoding/binary"
	"math"
	"math/rand/v2"
	"path/filepath"
	"testing"

	screen "barover/render/page"
	"barover/sketch/assembled"
	"barover/solver/linkage"
	"barover/solver/plane"
	"barover/solver/trial/draws"
)

// overTurn is what goes over to the page, read as the page reads it.
type overTurn struct {
	turns  []float64
	starts []int
	wide   int
	at     []float64
}

func readMotion(t *testing.T, b []byte) overTurn {
	t.Helper()
	count := func(i int) int { return int(binary.LittleEndian.Uint32(b[4*i:])) }
	turns, stretches, wide := count(0), count(1), 4*count(2)+2*count(3)
	m := overTurn{wide: wide}
	if want := 16 + 8*turns + 4*stretches + 4*turns*wide; len(b) != want {
		t.Fatalf("%d bytes, want %d", len(b), want)
	}
	b = b[16:]
	for i := range turns {
		m.turns = append(m.turns, math.Float64frombits(binary.LittleEndian.Uint64(b[8*i:])))
	}
	b = b[8*turns:]
	for i := range stretches {
		m.starts = append(m.starts, int(binary.LittleEndian.Uint32(b[4*i:])))
	}
	b = b[4*stretches:]
	for i := range turns * wide {
		m.at = append(m.at, float64(math.Float32frombits(binary.LittleEndian.Uint32(b[4*i:]))))
	}
	return m
}

// between is the figures at a turn, by the cubic through the four nearest positions of the stretch; nil outside of all.
func (m overTurn) between(turn float64) []float64 {
	for i, first := range m.starts {
		last := len(m.turns) - 1
		if i+1 < len(m.starts) {
			last = m.starts[i+1] - 1
		}
		if turn < m.turns[first] || turn > m.turns[last] {
			continue
		}
		low := first
		for low < last-1 && m.turns[low+1] <= turn {
			low++
		}
		from := max(first, min(low-1, last-3))
		out := make([]float64, m.wide)
		for j := from; j <= min(last, from+3); j++ {
			w := 1.0
			for k := from; k <= min(last, from+3); k++ {
				if k != j {
					w *= (turn - m.turns[k]) / (m.turns[j] - m.turns[k])
				}
			}
			for n := range out {
				out[n] += w * m.at[j*m.wide+n]
			}
		}
		return out
	}
	return nil
}

// TestMotionBetween: on every example and published sketch, what the page puts between two positions lies where the solver
// has it. A pose that loose lines hold has kinks, and is left to TestPagePoses at its positions.
func TestMotionBetween(t *testing.T) {
	list, err := filepath.Glob("../../testdata/reference/*.motion")
	if err != nil {
		t.Fatal(err)
	}
	examples, err := filepath.Glob(exampleFolder + "/*.motion")
	if err != nil {
		t.Fatal(err)
	}
	seed := uint64(7)
	r := rand.New(rand.NewPCG(seed, 2))
	for _, path := range append(list, examples...) {
		e, err := assembled.Assemble(path, optionsOf(t))
		if err != nil {
			t.Fatal(path, err)
		}
		settings := e.Machine.Settings()
		setting := settings[r.IntN(len(settings))]
		mo, err := screen.Follow(t.Context(), e.Machine, setting)
		if err != nil {
			t.Fatal(err)
		}
		m := readMotion(t, mo.Bytes())
		turns := e.Problem.Turn
		for range draws.Of(60) {
			turn := turns.From + r.Float64()*(turns.To-turns.From)
			pose, status, err := e.Machine.Pose(t.Context(), turn, setting)
			if err != nil {
				t.Fatal(err)
			}
			at := m.between(turn * 180 / math.Pi)
			if (at == nil) != (status > linkage.DeadCentre) {
				t.Errorf("%s at %v rad (seed %d): the page has %v, the solver says %v", path, turn, seed, at != nil, status)
				continue
			}
			if at == nil || status == linkage.DeadCentre || filepath.Base(path) == "quartering.motion" {
				continue
			}
			row := 0
			for i := range e.Problem.Linkage.Parts {
				if i == 0 {
					continue // the frame
				}
				p := pose.Part[i]
				is := plane.Placement{Origin: plane.Vec{X: at[4*row], Y: at[4*row+1]}, Dir: plane.Vec{X: at[4*row+2], Y: at[4*row+3]}}
				row++
				reach := 0.0
				for k, f := range e.Problem.Profiles {
					if f.Part == i {
						reach = max(reach, e.Machine.Regions[k].Centre.Len()+e.Machine.Regions[k].Radius)
					}
				}
				if off := is.Origin.Sub(p.Origin).Len() + is.Dir.Sub(p.Dir).Len()*reach; !(off < agree/2) {
					t.Errorf("%s at %.4f° (seed %d): part %s lies %.5f mm off", path, turn*180/math.Pi, seed, e.Problem.Linkage.Parts[i].Name, off)
				}
			}
		}
	}
}
