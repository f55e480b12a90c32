package main

import (
	"encoding/json"
	"math"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"
)

// soughtOf is a question of two dimensions of Larkspur's gear: a bench sheet that asks for two figures, and the same two
// figures of the gear that is solved apart.
type soughtOf struct {
	sheet, check string
	dims         [2]string
	now          [2]string  // the wrong start, as written
	wrong        [2]float64 // the same as numbers
	from, to     [2]float64
	write        string                                          // how a pair of values is written behind --from
	misses       func(t *testing.T, x, y float64) (m [2]float64) // of what is asked, each as a share of its limit
	precision    [2]float64                                      // that settles the question
}

// span is greatest less least over the turn: looked for every 2°, then by the parabola through three values.
func spanOf(f func(crank float64) float64) float64 {
	const step = 2
	v := make([]float64, 360/step)
	for i := range v {
		v[i] = f(float64(i * step))
	}
	least, greatest := math.Inf(1), math.Inf(-1)
	for i, b := range v {
		a, c := v[(i+len(v)-1)%len(v)], v[(i+1)%len(v)]
		top := b - (c-a)*(c-a)/8/(a-2*b+c)
		if b >= a && b >= c {
			greatest = math.Max(greatest, top)
		}
		if b <= a && b <= c {
			least = math.Min(least, top)
		}
	}
	return greatest - least
}

var returnCrank = soughtOf{
	sheet: "return-crank", check: "return crank",
	dims: [2]string{"gear.return_throw", "gear.return_angle"},
	now:  [2]string{"0.45", "92°"}, wrong: [2]float64{0.45, 92},
	from: [2]float64{0.43, 90}, to: [2]float64{0.445, 92.4}, write: "0.43,90° 0.445,92.4°",
	misses: func(_ *testing.T, throw, angle float64) [2]float64 {
		g := gearOf(6.01725, 0)
		g.returnThrow, g.returnAngle = throw, angle
		return [2]float64{(spanOf(g.swing) - 40.91) / 0.2, (g.swing(0) - g.swing(180)) / 0.2}
	},
	precision: [2]float64{0.002, 0.25},
}

var weighshaft = soughtOf{
	sheet: "weighshaft", check: "weighshaft",
	dims: [2]string{"gear.weighshaft_x", "gear.weighshaft_y"},
	now:  [2]string{"8.3", "1.9"}, wrong: [2]float64{8.3, 1.9},
	from: [2]float64{8.22, 1.86}, to: [2]float64{8.28, 1.89}, write: "8.22,1.86 8.28,1.89",
	misses: func(t *testing.T, x, y float64) [2]float64 {
		g := gearOf(6.01725, -22)
		g.weighshaft = complex(x, y)
		block := func(crank float64) float64 { return g.block(t, crank) }
		return [2]float64{(spanOf(block) - 0.054) / 0.01, (block(0) + 0.5045) / 0.01}
	},
	precision: [2]float64{1. / 32, 1. / 32},
}

// newton finds where both figures are as asked, from the wrong start.
func (q soughtOf) newton(t *testing.T) (u [2]float64) {
	u = q.wrong
	for range 30 {
		f := q.misses(t, u[0], u[1])
		if math.Hypot(f[0], f[1]) < 1e-9 {
			return u
		}
		const h = 1e-5
		x, y := q.misses(t, u[0]+h, u[1]), q.misses(t, u[0], u[1]+h)
		a, b, c, d := (x[0]-f[0])/h, (y[0]-f[0])/h, (x[1]-f[1])/h, (y[1]-f[1])/h
		u[0] -= (f[0]*d - f[1]*b) / (a*d - b*c)
		u[1] -= (f[1]*a - f[0]*c) / (a*d - b*c)
	}
	t.Fatalf("%s: Newton's method does not come to an end", q.sheet)
	return u
}

// worst is the greater miss, as a share of its limit: above 1 the values fall short.
func (q soughtOf) worst(t *testing.T, u [2]float64) float64 {
	m := q.misses(t, u[0], u[1])
	return math.Max(math.Abs(m[0]), math.Abs(m[1]))
}

func (q soughtOf) path() string { return filepath.Join(exampleFolder, "bench", q.sheet+".motion") }

// one seeks one of the two from its wrong start, the other as Newton's method has it, and compares the ends of the range.
func (q soughtOf) one(t *testing.T, k int, at [2]float64) {
	out, _ := barover(t, "seek", q.path(), q.dims[k], "--for", q.check, "--set", q.dims[k]+"="+q.now[k], "--json",
		"--from", strings.Split(strings.Fields(q.write)[0], ",")[k], "--to", strings.Split(strings.Fields(q.write)[1], ",")[k])
	var sought struct{ Ranges []struct{ From, To float64 } }
	if err := json.Unmarshal([]byte(out), &sought); err != nil || len(sought.Ranges) != 1 {
		t.Fatalf("%v: %s", err, out)
	}
	edge := func(outside float64) float64 {
		in, off := at, at
		off[k] = outside
		for range 40 {
			m := in
			m[k] = (in[k] + off[k]) / 2
			if q.worst(t, m) <= 1 {
				in = m
			} else {
				off = m
			}
		}
		return in[k]
	}
	if from, to := edge(q.from[k]), edge(q.to[k]); math.Abs(sought.Ranges[0].From-from) > 2e-5 || math.Abs(sought.Ranges[0].To-to) > 2e-5 {
		t.Errorf("%s holds from %.6f to %.6f; apart, from %.6f to %.6f", q.dims[k], sought.Ranges[0].From, sought.Ranges[0].To, from, to)
	}
}

var mostRoom = regexp.MustCompile(`most room, .* at ([0-9./ ]*[0-9])°? and ([0-9./ ]*[0-9])`)

// size reads a figure as it stands on a drawing: 1.875 or 1 7/8.
func size(text string) (v float64, err error) {
	for _, word := range strings.Fields(text) {
		over, under, _ := strings.Cut(word, "/")
		n, err := strconv.ParseFloat(over, 64)
		if err != nil {
			return 0, err
		}
		if under != "" {
			d, err := strconv.ParseFloat(under, 64)
			if err != nil {
				return 0, err
			}
			n /= d
		}
		v += n
	}
	return v, nil
}

var cellRow = regexp.MustCompile(`(?m)((?:[#hs.][ <*]){16})$`)

// two seeks both at once from their wrong starts. In each cell of the map the gear apart says the same, and the middle of the
// cells that hold is where Newton's method ends.
func (q soughtOf) two(t *testing.T, at [2]float64) {
	bounds := strings.Fields(q.write)
	defer func(most time.Duration) { mostLooked = most }(mostLooked)
	mostLooked = time.Hour // a machine that is busy decides as much
	out, _ := barover(t, "seek", q.path(), q.dims[0], q.dims[1], "--for", q.check, "--from", bounds[0], "--to", bounds[1],
		"--set", q.dims[0]+"="+q.now[0], "--set", q.dims[1]+"="+q.now[1])
	rows := cellRow.FindAllStringSubmatch(out, -1)
	if len(rows) != 16 {
		t.Fatalf("the map has %d rows:\n%s", len(rows), out)
	}
	if !strings.Contains(out, " # ") || !strings.Contains(out, " . ") {
		t.Errorf("nothing is proved to hold, or to fall short:\n%s", out)
	}
	var sum [2]float64
	holds := 0.0
	for j, row := range rows {
		for i := range 16 {
			share := [2]float64{(float64(i) + 0.5) / 16, (15.5 - float64(j)) / 16}
			u := [2]float64{q.from[0] + share[0]*(q.to[0]-q.from[0]), q.from[1] + share[1]*(q.to[1]-q.from[1])}
			cell := row[1][2*i]
			met := cell == 'h' || cell == '#'
			if worst := q.worst(t, u); met != (worst <= 1) && math.Abs(worst-1) > 1e-3 {
				t.Errorf("%s at %.5f: the map says %c; apart, the worst miss is %.4f of its limit", q.sheet, u, cell, worst)
			}
			if met {
				holds, sum[0], sum[1] = holds+1, sum[0]+u[0], sum[1]+u[1]
			}
		}
	}
	said := mostRoom.FindStringSubmatch(strings.Join(strings.Fields(out), " "))
	if len(said) != 3 {
		t.Fatalf("it does not say where it holds:\n%s", out)
	}
	for k, text := range said[1:] {
		if v, err := size(text); err != nil || !(math.Abs(v-at[k]) < q.precision[k]) {
			t.Errorf("%s is said to be %s, Newton's method apart has %.5f", q.dims[k], text, at[k])
		}
	}
	for k := range sum {
		if middle := sum[k] / holds; !(math.Abs(middle-at[k]) < q.precision[k]/2) {
			t.Errorf("%s is %.5f in the middle of what holds; Newton's method apart has %.5f", q.dims[k], middle, at[k])
		}
	}
}

// TestLarkspurSought: seek finds the return crank and the weighshaft from a wrong start, of one dimension and of two, as a gear
// that is solved apart has them. With the pin square to the line to the tail pin the return crank is √(rod² - line²).
func TestLarkspurSought(t *testing.T) {
	for _, q := range []soughtOf{returnCrank, weighshaft} {
		at := q.newton(t)
		t.Logf("%s: %.6f", q.sheet, at)
		for k := range at {
			q.one(t, k, [2]float64{q.drawn(k, 0, at), q.drawn(k, 1, at)})
		}
		q.two(t, at)
	}
	at := returnCrank.newton(t)
	line := complex(6, -0.125)
	if want := math.Sqrt(6.01725*6.01725 - real(line)*real(line) - imag(line)*imag(line)); math.Abs(at[0]-want) > 0.002 {
		t.Errorf("the return crank is %.5f, by Pythagoras %.5f", at[0], want)
	}
	if want := 90 + math.Atan2(0.125, 6)*180/math.Pi; math.Abs(at[1]-want) > 0.25 {
		t.Errorf("the return crank stands at %.3f°, square to the line at %.3f°", at[1], want)
	}
}

// drawn is dimension i where dimension k is sought: the other stays as the sheet has it.
func (q soughtOf) drawn(k, i int, at [2]float64) float64 {
	if i == k {
		return at[i]
	}
	return map[string]float64{"gear.return_throw": 7. / 16, "gear.return_angle": 91.2, "gear.weighshaft_x": 8.25, "gear.weighshaft_y": 1.875}[q.dims[i]]
}
