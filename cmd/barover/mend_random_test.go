package main

import (
	"barover/render/report/variants"
	"barover/solver/trial/draws"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"barover/sketch"
	"barover/sketch/assembled"
	"barover/sketch/source"
	"barover/sketch/syntax"
	"barover/solver"
	"barover/solver/machine"
	"barover/solver/mend"
)

var (
	mendings   = flag.Int("mendings", draws.Of(12), "how many random engines TestMendRandom mends; 300 is the long form")
	mendingOne = flag.Int("mending", -1, "mend this random engine alone")
)

// brokenEngine is an engine that held until some of its dimensions were shifted.
type brokenEngine struct {
	text    string
	shifted []string
	short   int
}

// randomEngine draws an engine whose checks hold with little to spare, and shifts one to three of its dimensions so that two to six
// of them do not. It reports false where no such shift was found.
func randomEngine(t *testing.T, k uint64) (*brokenEngine, bool) {
	t.Helper()
	rng := rand.New(rand.NewPCG(11, k))
	draw := horizontalEngine
	if k%2 == 1 {
		draw = rockingEngine
	}
	dims, body, asks := draw(rng)
	rooms := make([]float64, len(asks))
	write := func(dims []drawnDim) string {
		var b strings.Builder
		b.WriteString("units mm\n")
		for _, d := range dims {
			fmt.Fprintf(&b, "dim %s = %.4g\n", d.name, d.value)
		}
		b.WriteString(body)
		for i, a := range asks {
			b.WriteString(strings.ReplaceAll(a, "ROOM", fmt.Sprintf("%.2f", rooms[i])) + "\n")
		}
		return b.String()
	}
	res := solvedText(t, write(dims))
	if res == nil {
		return nil, false
	}
	for i := range rooms {
		f := &res.Findings[i]
		if v := f.Least; !math.IsNaN(v) && !f.Apart && v > 0.1 {
			rooms[i] = math.Floor(100*math.Min(v-0.05-0.45*rng.Float64(), 4)) / 100
			rooms[i] = math.Max(rooms[i], 0)
		}
	}
	if res = solvedText(t, write(dims)); res == nil || !res.OK() {
		return nil, false
	}
	for range 60 {
		n := 1 + rng.IntN(3)
		moved, names := slices.Clone(dims), []string{}
		for _, i := range rng.Perm(len(dims))[:n] {
			by := math.Round(10*(0.3+2.5*rng.Float64())) / 10
			if rng.IntN(2) == 0 {
				by = -by
			}
			if math.Abs(by) < moved[i].value/3 {
				moved[i].value += by
				names = append(names, moved[i].name)
			}
		}
		text := write(moved)
		res := solvedText(t, text)
		if res == nil || len(res.Broken) > 0 || len(names) == 0 {
			continue
		}
		short := 0
		for i := range res.Findings {
			if !res.Findings[i].OK {
				short++
			}
		}
		if short >= 2 && short <= 6 {
			return &brokenEngine{text, names, short}, true
		}
	}
	return nil, false
}

type drawnDim struct {
	name  string
	value float64
}

// tenth draws between two figures, in tenths of a millimetre.
func tenth(rng *rand.Rand, lo, hi float64) float64 {
	return math.Round(10*(lo+(hi-lo)*rng.Float64())) / 10
}

// horizontalEngine is a crank, a rod and a crosshead between bars, over a bed.
func horizontalEngine(rng *rand.Rand) (dims []drawnDim, body string, asks []string) {
	d := func(name string, lo, hi float64) float64 {
		v := tenth(rng, lo, hi)
		dims = append(dims, drawnDim{name, v})
		return v
	}
	throw := d("throw", 18, 30)
	rod := throw * (4 + 2*rng.Float64())
	rod = d("rod", rod, rod+1)
	deep := d("deep", 8, 12)
	shank := d("shank", 3, 5)
	big := d("big_dia", 18, 26)
	d("big_thick", 7, 12)
	out := d("out", 24, 40)
	d("bar_from", rod-throw-12, rod-throw-6)
	d("bar_long", 2*throw+14, 2*throw+24)
	d("bar_half", deep/2+4, deep/2+9)
	d("bar_deep", 4, 8)
	d("bar_wide", 6, 12)
	d("slipper", 10, 16)
	d("bed_top", throw+big/2+1, throw+big/2+4)
	d("bed_from", throw, throw+20)
	d("cover", rod+throw+22, rod+throw+26)
	d("stem", 14, 18)
	d("piston", 5, 8)
	d("plate", out-shank/2-12, out-shank/2-8)
	d("nut", 4, 7)
	body = `turn crank = 0 to 360 step 5
point shaft at 0, 0
point crankpin
point crosspin near 150, 0
line  bore through shaft heading 0
length shaft crankpin = throw
angle  shaft crankpin = crank
length crankpin crosspin = rod
slide  crosspin on bore
part crank     from shaft to crankpin
part conrod    from crankpin to crosspin
part crosshead at crosspin along bore
profile conrod.shank centred out thick shank
   strip crankpin to crosspin wide deep to 8
profile conrod.big_end centred out thick big_thick
   disc crankpin dia big_dia
profile crank.web from plate thick out - big_thick/2 - plate - 1.5
   strip shaft to crankpin wide 16 to 14 round
profile crank.nut from out + big_thick/2 + 0.5 thick nut
   disc crankpin dia 12
profile crosshead.slipper centred out thick bar_wide
   box -slipper/2, -bar_half to slipper/2, bar_half
profile crosshead.piston centred out thick 30
   box stem - piston/2, -15 to stem + piston/2, 15
profile frame.bars centred out thick bar_wide
   box bar_from, bar_half to bar_from + bar_long, bar_half + bar_deep
   box bar_from, -bar_half to bar_from + bar_long, -bar_half - bar_deep
profile frame.bed across 0 to out + 20
   box bed_from, -bed_top to 200, -bed_top - 10
profile frame.cover centred out thick 30
   box cover, -15 to cover + 4, 15
profile frame.plate across plate - 4 to plate - 0.6
   box -30, -40 to 60, 40
allow crosshead.slipper frame.bars
`
	asks = []string{
		"clear conrod.shank frame.bars by ROOM",
		"clear conrod.big_end frame.bed by ROOM",
		"clear conrod.big_end frame.bars by ROOM",
		"clear crosshead.piston frame.cover by ROOM",
		"gap conrod.big_end crank.web at least ROOM",
		"gap crank.web frame.plate at least ROOM",
		"gap conrod.big_end crank.nut at least ROOM",
		"keep least(x(crosspin)) + slipper/2 - bar_from above ROOM",
		"keep bar_from + bar_long - greatest(x(crosspin)) - slipper/2 above ROOM",
		"keep least(x(crosspin)) - throw - big_dia/2 above ROOM",
		"keep bar_half - deep/2 above ROOM",
		"clear crank.web frame.bed by ROOM",
		"clear crank.nut frame.bars by ROOM",
	}
	return dims, body, asks
}

// rockingEngine is a crank that rocks a lever by a rod, and a slide that the lever drives.
func rockingEngine(rng *rand.Rand) (dims []drawnDim, body string, asks []string) {
	d := func(name string, lo, hi float64) float64 {
		v := tenth(rng, lo, hi)
		dims = append(dims, drawnDim{name, v})
		return v
	}
	throw := d("throw", 10, 16)
	ground := d("ground", 90, 120)
	arm := d("arm", 34, 48)
	drop := d("drop", 28, 44)
	d("rod", math.Hypot(ground, arm-drop)-3, math.Hypot(ground, arm-drop)+3)
	upper := d("upper", 30, 44)
	line := d("spindle_line", drop+upper-6, drop+upper-2)
	d("link", 50, 70)
	d("rod_deep", 7, 11)
	d("rod_out", 20, 26)
	d("rod_thick", 4, 6)
	d("lever_out", 28, 32)
	d("lever_thick", 4, 6)
	d("lever_deep", 7, 12)
	d("post_x", ground/2-6, ground/2+6)
	d("post_top", drop-12, drop-4)
	d("boss", 14, 20)
	d("gland", 50, 60)
	_ = throw
	_ = line
	body = fmt.Sprintf(`turn crank = 0 to 360 step 5
point shaft at 0, 0
point crankpin
point pivot at ground, drop
point foot near %.1f, %.1f
point head
point tail near %.1f, %.1f
line spindle through 0, spindle_line heading 0
length shaft crankpin = throw
angle  shaft crankpin = crank
length crankpin foot = rod
length pivot foot = arm
slide tail on spindle
length head tail = link
part crank   from shaft to crankpin
part rocker  from pivot to foot
point head on rocker at -upper, 0
part conrod  from crankpin to foot
part tie     from head to tail
part valve   at tail along spindle
profile conrod.shank centred rod_out thick rod_thick
   strip crankpin to foot wide rod_deep round
profile rocker.lower centred lever_out thick lever_thick
   strip pivot to foot wide lever_deep to 8 round
profile rocker.boss centred lever_out thick 14
   disc pivot dia boss
profile rocker.upper centred lever_out thick lever_thick
   strip pivot to head wide lever_deep to 8 round
profile tie.bar centred rod_out thick 5
   strip head to tail wide 6 round
profile valve.spindle centred rod_out thick 8
   box 4, -4 to 40, 4
profile frame.post across rod_out - 8 to rod_out + 8
   box post_x, -40 to post_x + 8, post_top - 40
profile frame.gland across rod_out - 6 to rod_out + 6
   box ground + link + gland, spindle_line - 8 to ground + link + gland + 10, spindle_line + 8
profile frame.plate across rod_out - 14 to rod_out - 10
   box -60, -60 to 220, 120
`, ground, drop-arm, ground+60, line)
	body = strings.Replace(body, "point head\n", "", 1)
	asks = []string{
		"clear conrod.shank frame.post by ROOM",
		"clear valve.spindle frame.gland by ROOM",
		"gap conrod.shank rocker.lower at least ROOM",
		"gap conrod.shank rocker.boss at least ROOM",
		"gap conrod.shank frame.plate at least ROOM",
		"gap tie.bar frame.plate at least ROOM",
		"clear rocker.boss frame.post by ROOM",
		"clear rocker.lower frame.post by ROOM",
		"keep span(x(tail)) above ROOM",
		"keep span(y(foot)) above ROOM",
		"clear conrod.shank tie.bar by ROOM",
		"keep dist(pivot, shaft) - throw above ROOM",
		"clear tie.bar frame.post by ROOM",
		"keep lever_out - rod_out - rod_thick/2 - lever_thick/2 above ROOM",
	}
	return dims, body, asks
}

func readText(text string) (*sketch.Sketch, error) {
	sk, messages := sketch.Read(source.Memory(func(string) ([]byte, error) { return []byte(text), nil }), "main.motion", sketch.Options{})
	if len(messages) > 0 {
		return nil, syntax.Messages(messages)
	}
	return sk, nil
}

// solvedText answers the checks of a sketch; nil where it cannot be solved.
func solvedText(t *testing.T, text string) *solver.Result {
	t.Helper()
	sk, err := readText(text)
	if err != nil { // a shift may leave nothing of a part
		return nil
	}
	m, err := machine.New(sk.Problem, sk.Values)
	if err != nil {
		return nil
	}
	if b, err := m.FirstBreak(t.Context()); b != nil || err != nil {
		return nil
	}
	res, err := m.Study(t.Context(), machine.Options{Checks: true})
	if err != nil {
		t.Fatal(err)
	}
	return res
}

// mended looks for ways out of a text.
func mended(t *testing.T, text string, alter func(*assembled.Engine, *mend.Query)) (*assembled.Engine, *mend.Answer) {
	t.Helper()
	sk, err := readText(text)
	if err != nil {
		t.Fatalf("%v in\n%s", err, text)
	}
	e, err := assembled.AssembleRead(sk, nil)
	if err != nil {
		t.Fatal(err)
	}
	q := mend.Query{Problem: sk.Problem, Vary: assembled.Vary(sk), Dims: variants.MendDims(e)}
	if alter != nil {
		alter(e, &q)
	}
	a, err := mend.Mend(t.Context(), q, machine.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return e, a
}

// TestMendRandom breaks random engines and mends them. A way that changes no more dimensions than were shifted is there, since they
// may be shifted back; it must be found in 95 of 100, and every way must hold when the engine is solved again.
func TestMendRandom(t *testing.T) {
	drawn, found := 0, 0
	var by [2][4]int // how many were shifted, and how many had to be changed
	for k := 0; drawn < *mendings; k++ {
		if *mendingOne >= 0 {
			k = *mendingOne
			*mendings = 1
		}
		b, ok := randomEngine(t, uint64(k))
		if !ok {
			continue
		}
		drawn++
		e, a := mended(t, b.text, nil)
		best := 99
		for _, w := range a.Ways {
			best = min(best, len(w.Changes))
			holdsAnew(t, e, &w)
			leastAlone(t, e, &w)
		}
		by[0][min(len(b.shifted), 3)]++
		by[1][min(best, 3)]++
		if best <= len(b.shifted) {
			found++
			continue
		}
		t.Logf("engine %d: %d checks short after shifting %v; %d ways, the best of %d dimensions, %d engines solved", k, b.short, b.shifted, len(a.Ways), best, a.Looked)
		if *mendingOne >= 0 {
			t.Log(b.text)
		}
	}
	t.Logf("one, two, three dimensions shifted: %v; changed: %v", by[0][1:], by[1][1:])
	t.Logf("%d of %d mended with no more dimensions than were shifted", found, drawn)
	if float64(found) < 0.95*float64(drawn) {
		t.Errorf("%d of %d mended", found, drawn)
	}
}

// solvedWith reads the engine of a way from its text with the new values written in, and answers it in full; nil where it cannot
// be assembled.
func solvedWith(t *testing.T, e *assembled.Engine, w *mend.Way) *solver.Result {
	t.Helper()
	o := sketch.Options{}
	for _, c := range w.Changes {
		d := &e.Dims[c.Dim]
		o.Set = append(o.Set, fmt.Sprintf("%s = %.17g", d.Name, e.Units.In(c.To, d.Kind)))
	}
	sk, messages := e.Again(o)
	if len(messages) > 0 {
		t.Fatal(messages[0].Text)
	}
	m, err := machine.New(sk.Problem, sk.Values)
	if err != nil {
		return nil
	}
	res, err := m.Study(t.Context(), machine.Options{Checks: true})
	if err != nil {
		t.Fatal(err)
	}
	return res
}

// holdsAnew makes sure that the engine of a way holds.
func holdsAnew(t *testing.T, e *assembled.Engine, w *mend.Way) {
	t.Helper()
	res := solvedWith(t, e, w)
	if res == nil || len(res.Broken) > 0 {
		t.Fatalf("%+v cannot be assembled all the way round", w.Changes)
	}
	for i := range res.Findings {
		if f := &res.Findings[i]; !f.OK || w.Proved && !f.Apart && f.Sure != solver.Proved {
			t.Errorf("%+v: check %d is %v, %v", w.Changes, i, f.OK, f.Sure)
		}
	}
}
