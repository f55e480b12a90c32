package main

import (
	"encoding/json"
	"math"
	"math/cmplx"
	"testing"
)

// radialGear is Larkspur's valve gear at running height, made apart from barover: places as complex numbers, inches, and what is
// left to solve, the block in its slot, the valve and the lever, by Newton's method with differences.
type radialGear struct{ eccRod, reverser float64 }

func polar(r, degrees float64) complex128 { return cmplx.Rect(r, degrees*math.Pi/180) }

// meet is where two circles meet, to the left of the way from the first centre to the second.
func meet(a complex128, ra float64, b complex128, rb float64) complex128 {
	d := cmplx.Abs(b - a)
	u := (b - a) / complex(d, 0)
	x := (ra*ra - rb*rb + d*d) / (2 * d)
	return a + u*complex(x, math.Sqrt(ra*ra-x*x))
}

// valve is x of the valve pin at a crank angle, degrees.
func (g radialGear) valve(t *testing.T, crank float64) float64 {
	returnPin := polar(7./16, crank-91.2)
	trunnion := complex(6.25, 1.125)
	tail := meet(returnPin, g.eccRod, trunnion, math.Hypot(0.25, 1.25)) // above or below the rod: taken below
	if other := trunnion + cmplx.Conj((tail-trunnion)/(returnPin-trunnion))*(returnPin-trunnion); imag(other) < imag(tail) {
		tail = other
	}
	turned := (tail - trunnion) / complex(-0.25, -1.25)
	turned /= complex(cmplx.Abs(turned), 0)
	centre := trunnion + 3.875*turned
	arm := complex(8.25, 1.875) + polar(1, 180-g.reverser)
	pin := polar(1, crank)
	cross := real(pin) + math.Sqrt(9.25*9.25-imag(pin)*imag(pin))
	drop := complex(cross, -1.03125)
	miss := func(u [3]float64) (f [3]float64) { // the block's swing in the slot, the valve pin's x, the lever's lean
		block := centre - 3.875*turned*polar(1, u[0])
		valve := complex(u[1], 1.40625)
		down := polar(1, -90+u[2])
		rod := valve + 0.3125*down
		foot := valve + 2.5625*down
		along := (rod - block) / complex(cmplx.Abs(rod-block), 0)
		return [3]float64{cmplx.Abs(rod-block) - 3.875, cmplx.Abs(block+along-arm) - 0.75, cmplx.Abs(foot-drop) - 0.875}
	}
	u := [3]float64{-0.35 * g.reverser, 10.1, 22 * math.Cos(crank*math.Pi/180)}
	for range 60 {
		f := miss(u)
		var j [3][3]float64
		for k := range u {
			v := u
			v[k] += 1e-6
			h := miss(v)
			for i := range f {
				j[i][k] = (h[i] - f[i]) / 1e-6
			}
		}
		d := cramer(j, f)
		for k := range u {
			u[k] -= d[k]
		}
		if math.Abs(f[0])+math.Abs(f[1])+math.Abs(f[2]) < 1e-13 {
			return u[1]
		}
	}
	t.Fatalf("the gear apart does not assemble at %v", crank)
	return 0
}

// cramer solves three linear equations.
func cramer(a [3][3]float64, b [3]float64) (x [3]float64) {
	det := func(m [3][3]float64) float64 {
		return m[0][0]*(m[1][1]*m[2][2]-m[1][2]*m[2][1]) - m[0][1]*(m[1][0]*m[2][2]-m[1][2]*m[2][0]) + m[0][2]*(m[1][0]*m[2][1]-m[1][1]*m[2][0])
	}
	for k := range x {
		m := a
		for i := range m {
			m[i][k] = b[i]
		}
		x[k] = det(m) / det(a)
	}
	return x
}

const valveMid, steamLap = 10.12663, 0.125

// leads are how far the ports are open at the dead centres.
func (g radialGear) leads(t *testing.T) (front, back float64) {
	return valveMid - g.valve(t, 0) - steamLap, g.valve(t, 180) - valveMid - steamLap
}

// apart is the greatest difference of the leads in any notch.
func apart(t *testing.T, eccRod float64) (most float64) {
	for _, reverser := range []float64{-22, -11, 0, 11, 22} {
		front, back := radialGear{eccRod, reverser}.leads(t)
		most = math.Max(most, math.Abs(front-back))
	}
	return most
}

// TestLarkspurEqualLeads: seek finds from a wrong start the lengths of the eccentric rod with which the leads are equal to half a
// thou in every notch, and the table of settings has the leads; both agree with a gear that is solved apart.
func TestLarkspurEqualLeads(t *testing.T) {
	out, _ := barover(t, "seek", larkspur, "ecc_rod", "--for", "equal leads", "--case", "running", "--set", "ecc_rod=6.04", "--json")
	var sought struct{ Ranges []struct{ From, To float64 } }
	if err := json.Unmarshal([]byte(out), &sought); err != nil || len(sought.Ranges) != 1 {
		t.Fatalf("%v: %s", err, out)
	}
	edge := func(inside, outside float64) float64 {
		for range 40 {
			if m := (inside + outside) / 2; apart(t, m) <= 0.0005 {
				inside = m
			} else {
				outside = m
			}
		}
		return inside
	}
	middle := 6.0177
	if from, to := edge(middle, 6.0), edge(middle, 6.04); math.Abs(sought.Ranges[0].From-from) > 1e-5 || math.Abs(sought.Ranges[0].To-to) > 1e-5 {
		t.Errorf("the leads are equal with an eccentric rod from %.6f to %.6f; apart, from %.6f to %.6f", sought.Ranges[0].From, sought.Ranges[0].To, from, to)
	}
	out, _ = barover(t, "table", larkspur, "--settings", "--json")
	var table struct {
		Rows []struct {
			At    struct{ Reverser float64 }
			Shows struct {
				Lead struct{ Front, Back float64 }
			}
		}
	}
	if err := json.Unmarshal([]byte(out), &table); err != nil || len(table.Rows) != 5 {
		t.Fatalf("%v: %s", err, out)
	}
	for _, row := range table.Rows {
		front, back := radialGear{6.01725, row.At.Reverser}.leads(t)
		if math.Abs(row.Shows.Lead.Front-front) > 1e-9 || math.Abs(row.Shows.Lead.Back-back) > 1e-9 {
			t.Errorf("at %v the leads are %.9f and %.9f; apart, %.9f and %.9f", row.At.Reverser, row.Shows.Lead.Front, row.Shows.Lead.Back, front, back)
		}
	}
}
