package main

import (
	"math"
	"math/cmplx"
	"testing"
)

// radialGear is Larkspur's valve gear at running height, made apart from barover: places as complex numbers, inches, and what is
// left to solve, the block in its slot, the valve and the lever, by Newton's method with differences.
type radialGear struct {
	eccRod, reverser         float64
	returnThrow, returnAngle float64
	weighshaft               complex128
}

// gearOf is the gear as drawn except for its eccentric rod, at a setting of the reverser, degrees.
func gearOf(eccRod, reverser float64) radialGear {
	return radialGear{eccRod, reverser, 7. / 16, 91.2, complex(8.25, 1.875)}
}

func polar(r, degrees float64) complex128 { return cmplx.Rect(r, degrees*math.Pi/180) }

// meet is where two circles meet, to the left of the way from the first centre to the second.
func meet(a complex128, ra float64, b complex128, rb float64) complex128 {
	d := cmplx.Abs(b - a)
	u := (b - a) / complex(d, 0)
	x := (ra*ra - rb*rb + d*d) / (2 * d)
	return a + u*complex(x, math.Sqrt(ra*ra-x*x))
}

const trunnion = complex(6.25, 1.125)

// turned is how the link stands at a crank angle, degrees, from where it is drawn upright: a number of length 1.
func (g radialGear) turned(crank float64) complex128 {
	returnPin := polar(g.returnThrow, crank-g.returnAngle)
	tail := meet(returnPin, g.eccRod, trunnion, math.Hypot(0.25, 1.25)) // above or below the rod: taken below
	if other := trunnion + cmplx.Conj((tail-trunnion)/(returnPin-trunnion))*(returnPin-trunnion); imag(other) < imag(tail) {
		tail = other
	}
	turned := (tail - trunnion) / complex(-0.25, -1.25)
	return turned / complex(cmplx.Abs(turned), 0)
}

// swing is the same in degrees.
func (g radialGear) swing(crank float64) float64 { return cmplx.Phase(g.turned(crank)) * 180 / math.Pi }

// solve gives the block's place in the slot, above the trunnion and round the curve, and x of the valve pin.
func (g radialGear) solve(t *testing.T, crank float64) (block, valve float64) {
	turned := g.turned(crank)
	centre := trunnion + 3.875*turned
	arm := g.weighshaft + polar(1, 180-g.reverser)
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
			return -3.875 * u[0] * math.Pi / 180, u[1]
		}
	}
	t.Fatalf("the gear apart does not assemble at %v", crank)
	return 0, 0
}

// valve is x of the valve pin at a crank angle, degrees.
func (g radialGear) valve(t *testing.T, crank float64) float64 {
	_, x := g.solve(t, crank)
	return x
}

// block is the block's place in the slot at a crank angle, degrees.
func (g radialGear) block(t *testing.T, crank float64) float64 {
	place, _ := g.solve(t, crank)
	return place
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
