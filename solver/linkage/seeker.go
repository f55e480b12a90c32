package linkage

import (
	"math"
	"slices"

	"barover/solver/position"
	"barover/solver/schedule"
)

// seeker looks for the saddle of one block by Newton's method on its scalars, the miss of the row left out, and the place
// on the road together (W. Govaerts, Numerical Methods for Bifurcations of Dynamical Equilibria, 2000, chapter 3: bordered
// systems).
type seeker struct {
	saddle
	w    *walker
	step *schedule.Step
	n    int
	size float64          // of the block, mm
	unit []float64        // of each scalar: its change when something moves by one mm
	wide *position.Matrix // the bordered system
	rows []float64        // residuals at the present iterate
	jac  []float64
	room [4][]float64

	null, drift, fix, lean []float64 // answers of the bordered system: v, q, to the rows; and the rows' own direction, w
}

const (
	// saddleSteps is the greatest number of steps of such a search.
	saddleSteps = 14
	// saddleNear is the step that ends it: of the place on the road, rad, and of the scalars, as a share of the size.
	saddleNear = 1e-10
	// roadStep and bendStep are the steps along the road for first and second derivatives, rad. They are less than the
	// distance of change points of two blocks that are crossed one by one.
	roadStep = 1e-4
	bendStep = 2e-4
	// astray is the share of the size by which the scalars of a change point may be away from the start of the search.
	astray = 0.5
)

// saddle looks for the saddle of block k near the walker, no farther than reach along the road. It returns nil if it
// finds none. It leaves the engine anywhere.
func (w *walker) saddle(k int, reach float64) *saddle {
	step := w.e.Program.Blocks[k].Step
	if sq := w.e.Program.Square[k]; sq != nil {
		step = sq
	}
	n := len(step.Scalars)
	if len(step.Loose) > 0 || n != len(step.Rows) {
		return nil
	}
	z := &seeker{w: w, step: step, n: n, size: w.e.Program.Blocks[k].Size, unit: make([]float64, n), wide: position.NewMatrix(n + 1),
		rows: make([]float64, n), jac: make([]float64, n*n), saddle: saddle{k: k, at: w.here.at, row: -1}}
	for i := range z.room {
		z.room[i] = make([]float64, n)
	}
	for j, s := range step.Scalars {
		z.unit[j] = 1
		if w.e.Schedule.Scalars[s].Direction {
			z.unit[j] = 1 / z.size
		}
		z.x = append(z.x, w.here.x[s])
	}
	if !z.seek(reach) {
		return nil
	}
	z.v, z.q = make([]float64, n), make([]float64, n)
	for j, u := range z.unit {
		z.v[j], z.q[j] = z.null[j]*u, z.drift[j]*u
	}
	return &z.saddle
}

// seek takes Newton's steps, and reports whether they converge to a place where two branches cross.
func (z *seeker) seek(reach float64) bool {
	from, x := z.at, slices.Clone(z.x)
	for range saddleSteps {
		if !z.look() || !z.bend() {
			return false
		}
		far, on := z.move(reach)
		if !(math.Abs(z.at-from) <= reach) {
			return false
		}
		for j, u := range z.unit {
			if !(math.Abs(z.x[j]-x[j])/u <= astray*z.size) {
				return false
			}
		}
		if near := saddleNear + z.w.e.Scale.Rounding()/(roadStep*z.size); far < near*z.size && on < near {
			return z.cross()
		}
	}
	return false
}

// residuals puts the residuals of the block with scalars x at a place on the road into r.
func (z *seeker) residuals(at float64, x, r []float64) bool {
	e := z.w.e
	if !z.w.upTo(at, z.k) {
		return false
	}
	e.Put(z.step, x)
	e.Residuals(z.step, r)
	return position.AllNumbers(r)
}

// look solves the bordered system at the present iterate.
func (z *seeker) look() bool {
	if !z.residuals(z.at, z.x, z.rows) {
		return false
	}
	z.w.e.Jacobian(z.step, z.jac)
	for i := range z.n {
		for j, u := range z.unit {
			z.jac[i*z.n+j] *= u
		}
	}
	if z.row < 0 {
		z.row, z.col = lastPivots(z.jac, z.n)
		if !z.ways() {
			return false
		}
		z.choose()
	}
	return z.ways()
}

// ways finds the direction that the rows do not hold, the combination of the rows that vanishes, how the scalars move
// with the road, and the step that brings all rows but one to zero.
func (z *seeker) ways() bool {
	up, down := z.room[0], z.room[1]
	if !z.residuals(z.at+roadStep, z.x, up) || !z.residuals(z.at-roadStep, z.x, down) {
		return false
	}
	rate, miss := z.room[2], z.room[3]
	for i := range rate {
		rate[i] = -(up[i] - down[i]) / (2 * roadStep)
		miss[i] = -z.rows[i]
	}
	miss[z.row] -= z.off
	z.null = z.bordered(nil, z.size, false)
	z.lean = z.bordered(nil, 1, true)
	z.drift = z.bordered(rate, 0, false)
	z.fix = z.bordered(miss, 0, false)
	return position.AllNumbers(z.null) && position.AllNumbers(z.lean) && position.AllNumbers(z.drift) && position.AllNumbers(z.fix)
}

// bordered solves the block's slopes, bordered by the row left out and by the scalar that measures u, or the transpose.
func (z *seeker) bordered(r []float64, last float64, turned bool) []float64 {
	n, m := z.n, z.wide
	clear(m.A)
	clear(m.R)
	for i := range n {
		for j := range n {
			if turned {
				m.A[j*(n+1)+i] = z.jac[i*n+j]
			} else {
				m.A[i*(n+1)+j] = z.jac[i*n+j]
			}
		}
	}
	below, beside := z.col, z.row
	if turned {
		below, beside = z.row, z.col
	}
	m.A[n*(n+1)+below] = 1
	m.A[beside*(n+1)+n] = 1
	copy(m.R, r)
	m.R[n] = last
	if m.Solve() == 0 {
		m.R[0] = math.NaN()
	}
	return slices.Clone(m.R)
}

// choose takes the row and the scalar with the greatest weights in the two null vectors. Of rows with nearly equal
// weights it takes the longest length: a rod is more likely to be off than the part that it turns.
func (z *seeker) choose() {
	most := 0.0
	for i := range z.n {
		most = max(most, math.Abs(z.lean[i]))
		if math.Abs(z.null[i]) > math.Abs(z.null[z.col]) {
			z.col = i
		}
	}
	longest := math.Inf(-1)
	for i := range z.n {
		r := &z.step.Rows[i]
		long := 0.0
		if r.Kind == schedule.RowLength {
			long = z.w.e.C.At(r.V)
		}
		if math.Abs(z.lean[i]) > rowShare*most && long > longest {
			z.row, longest = i, long
		}
	}
}

// rowShare is the share of the greatest weight that a row needs to be taken for the one that misses.
const rowShare = 0.5

// bend finds the second derivatives of the miss.
func (z *seeker) bend() bool {
	both := make([]float64, z.n)
	for j := range both {
		both[j] = z.null[j] + z.drift[j]
	}
	a, okA := z.second(z.null[:z.n], 0)
	c, okC := z.second(z.drift[:z.n], 1)
	s, okS := z.second(both, 1)
	z.a, z.b, z.c = -a, (a+c-s)/2, -c
	return okA && okC && okS
}

// second is the second derivative of the weighted rows, along a direction of the scalars in mm and of the road.
func (z *seeker) second(way []float64, road float64) (sum float64, ok bool) {
	x, up, down := z.room[0], z.room[1], z.room[2]
	for _, side := range [2]float64{bendStep, -bendStep} {
		for j := range x {
			x[j] = z.x[j] + side*way[j]*z.unit[j]
		}
		if !z.residuals(z.at+side*road, x, down) {
			return 0, false
		}
		up, down = down, up
	}
	for i, l := range z.lean[:z.n] {
		sum += l * (up[i] + down[i] - 2*z.rows[i]) / (bendStep * bendStep)
	}
	return sum, true
}

// move goes to the saddle as the second derivatives predict it, but at most as far as reach at once, and returns how far:
// in the scalars, mm, and on the road.
func (z *seeker) move(reach float64) (far, on float64) {
	gu, gt := z.null[z.n], z.drift[z.n]
	det := z.a*z.c - z.b*z.b
	du, dt := -(gu*z.c-gt*z.b)/det, -(z.a*gt-z.b*gu)/det
	part := 1.0
	if m := max(math.Abs(du)/0.3, 2*math.Abs(dt)/reach); m > 1 {
		part = 1 / m
	}
	for j, u := range z.unit {
		d := z.fix[j] + part*(z.null[j]*du+z.drift[j]*dt)
		z.x[j] += d * u
		far = max(far, math.Abs(d))
	}
	z.off += z.fix[z.n] + part*(gu*du+gt*dt)
	z.at += part * dt
	return far, math.Abs(part * dt)
}

// lastPivots returns the row and column that complete pivoting takes last.
func lastPivots(m []float64, n int) (row, col int) {
	a := slices.Clone(m)
	rows, cols := make([]bool, n), make([]bool, n)
	for range n - 1 {
		p, q, most := -1, -1, -1.0
		for i := range n {
			for j := range n {
				if v := math.Abs(a[i*n+j]); !rows[i] && !cols[j] && v > most {
					p, q, most = i, j, v
				}
			}
		}
		if p < 0 {
			break // not numbers
		}
		rows[p], cols[q] = true, true
		if most == 0 {
			continue
		}
		for i := range n {
			if f := a[i*n+q] / a[p*n+q]; !rows[i] {
				for j := range n {
					a[i*n+j] -= f * a[p*n+j]
				}
			}
		}
	}
	return slices.Index(rows, false), slices.Index(cols, false)
}
