package main

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"barover/cmd/barover/serve"
	"barover/render/sheet"
	"barover/sketch/assembled"
	"barover/solver/machine"
	"barover/solver/trial/draws"
)

// The page in a real browser: what it shows, how it is turned, that it follows the sketch and keeps what was chosen.

// halfScreen is the size that the page is made for: half a laptop's screen.
const halfWide, halfHigh = 700, 900

// copied is a copy of all examples, to be edited, and the path of one of them.
func copied(t testing.TB, name string) string {
	t.Helper()
	folder := t.TempDir()
	if err := os.CopyFS(folder, os.DirFS(exampleFolder)); err != nil {
		t.Fatal(err)
	}
	return filepath.Join(folder, name)
}

// rewrite saves a file with one text in the place of another, the way that most editors do: a new file in the old one's place.
func rewrite(t testing.TB, path, from, to string) {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Replace(string(b), from, to, 1)
	if text == string(b) {
		t.Fatalf("%s has no %q", path, from)
	}
	if err := os.WriteFile(path+"~", []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	if err := os.Rename(path+"~", path); err != nil {
		t.Fatal(err)
	}
}

// openPage shows sketches on a page, and waits for the answers.
func openPage(t testing.TB, paths ...string) (*tab, *shownPage) {
	t.Helper()
	b := newTab(t, halfWide, halfHigh)
	p := serveShow(t, paths...)
	b.open(p.address)
	return b, p
}

func (b *tab) open(address string) {
	b.t.Helper()
	b.do(chromedp.Navigate(address))
	b.until(`window.barover?.state?.done && barover.choice.curves && document.querySelector("#rows tr")`)
}

// quiet says that the page complained of nothing and asked nothing of another place than its own.
func (b *tab) quiet(own string) {
	b.t.Helper()
	b.mu.Lock()
	defer b.mu.Unlock()
	if len(b.wrong) > 0 {
		b.t.Errorf("the page complained of %q", b.wrong)
	}
	for _, a := range b.asked {
		if !strings.HasPrefix(a, own) {
			b.t.Errorf("the page asked for %s", a)
		}
	}
	if len(b.asked) == 0 {
		b.t.Error("no request was seen")
	}
}

const turnNow = `barover.turn`

func (b *tab) turnIs(want float64, how string) {
	b.t.Helper()
	if got := value[float64](b, turnNow); math.Abs(got-want) > 1e-6 {
		b.t.Errorf("%s the crank is at %v°, want %v", how, got, want)
	}
	if got := value[float64](b, `+document.querySelector("#turn").getAttribute("aria-valuenow")`); math.Abs(got-want) > 1e-3 {
		b.t.Errorf("%s the slider says %v°, want %v", how, got, want)
	}
}

func TestPageTurns(t *testing.T) {
	b, p := openPage(t, filepath.Join(exampleFolder, "tansy.motion"))
	var want struct{ Checks []struct{ A, B string } }
	checked(t, &want, filepath.Join(exampleFolder, "tansy.motion"))
	if title := value[string](b, `document.querySelector("#title").textContent`); title != "Tansy, horizontal engine with trunk guide" {
		t.Errorf("the title is %q", title)
	}
	if said := value[string](b, `document.querySelector("#sentence").textContent`); !strings.HasPrefix(said, "All 44 checks hold") {
		t.Errorf("the page says %q", said)
	}
	if n := value[int](b, `document.querySelectorAll("#rows button").length`); n != 44 {
		t.Errorf("there are %d answers, want 44 of %d", n, len(want.Checks))
	}

	b.do(chromedp.KeyEvent("\u0303")) // the arrow to the right
	b.turnIs(1, "after an arrow")
	b.do(chromedp.KeyEvent("\u0303", chromedp.KeyModifiers(chromedp.ModifierShift)))
	b.turnIs(1.1, "after an arrow with shift")
	b.do(chromedp.Focus("#turn"), chromedp.KeyEvent("\u0302"), chromedp.KeyEvent("\u0302"))
	b.turnIs(359.1, "after two arrows back") // the turn is a whole one
	b.do(chromedp.KeyEvent("\u0305"))
	b.turnIs(360, "after End")
	b.do(chromedp.KeyEvent("\u0306"))
	b.turnIs(0, "after Home")

	before := value[string](b, `document.querySelector("#layer-chosen g").getAttribute("transform")`)
	box := value[[]float64](b, `(() => { const r = document.querySelector("#turn svg").getBoundingClientRect(); return [r.left, r.top, r.width, r.height] })()`)
	b.do(chromedp.DragAndDropXY(box[0]+60, box[1]+box[3]-15, box[0]+box[2]/2, box[1]+box[3]-15))
	if at := value[float64](b, turnNow); math.Abs(at-180) > 15 {
		t.Errorf("dragged to the middle of the scale the crank is at %v°", at)
	}
	if after := value[string](b, `document.querySelector("#layer-chosen g").getAttribute("transform")`); after == before {
		t.Error("the parts stand where they stood")
	}

	b.dragCrank(90)
	b.do(chromedp.KeyEvent(" "))
	b.until(`barover.runner.running && barover.runner.times.length > 20`)
	b.do(chromedp.KeyEvent(" "))
	b.until(`!barover.runner.running`)
	one := value[float64](b, turnNow)
	time.Sleep(60 * time.Millisecond)
	b.turnIs(one, "after stop")
	b.quiet(p.address)
}

// dragCrank turns the engine by dragging its flywheel by so many degrees about the shaft, which stands at 0, 0.
func (b *tab) dragCrank(by float64) {
	b.t.Helper()
	b.do(chromedp.KeyEvent("\u0306"))
	at := func(deg float64) (x, y float64) {
		v := value[[]float64](b, fmt.Sprintf(`(() => { const a = %v * Math.PI / 180, r = 3.2 * 25.4; const [x, y] = barover.picture.on(r * Math.cos(a), r * Math.sin(a));
			const f = document.querySelector("#picture").getBoundingClientRect(); return [f.left + x, f.top + y] })()`, deg))
		return v[0], v[1]
	}
	x0, y0 := at(120)
	x1, y1 := at(120 + by)
	// In steps, as a hand does: by less than half a turn at a time.
	b.do(chromedp.DragAndDropXY(x0, y0, x1, y1, 12))
	if got := value[float64](b, turnNow); math.Abs(got-by) > 2 {
		b.t.Errorf("dragged by %v° the crank is at %v°", by, got)
	}
}

func TestPageFollowsSaves(t *testing.T) {
	path := copied(t, "tansy.motion")
	b, p := openPage(t, path)
	value[any](b, `barover.goTurn(54.9)`)
	b.do(chromedp.Click(`#rows tbody tr:nth-child(7) button`))
	b.until(`barover.choice.picked && !barover.asking && !barover.choice.measuring`)                // the page has gone to the place
	value[any](b, `(barover.goTurn(54.9), barover.layer("ghosts", true), barover.picture.zoom(2))`) // zoom ends the view's glide
	picked := value[string](b, `barover.choice.picked`)
	view := value[[]float64](b, `Object.values(barover.picture.view)`)
	last := `dim trunk_bore    = 1 1/4`
	for i := 21 - draws.Of(20); i <= 20; i++ {
		next := fmt.Sprintf("dim trunk_bore    = %.4f", 1.25+float64(i)/1000)
		rewrite(t, path, last, next)
		last = next
		b.until(fmt.Sprintf(`barover.scene.dims.find((d) => d.name === "trunk_bore").value === "%v"`, math.Round((1.25+float64(i)/1000)*1000)/1000))
	}
	b.until(`barover.state.done && document.documentElement.dataset.changes == barover.shown`)
	b.turnIs(54.9, "after the saves")
	if now := value[string](b, `barover.choice.picked`); now != picked || picked == "" {
		t.Errorf("the choice was %q and is %q", picked, now)
	}
	for i, v := range value[[]float64](b, `Object.values(barover.picture.view)`) {
		if math.Abs(v-view[i]) > 1e-6*math.Max(1, math.Abs(v)) {
			t.Errorf("the view was %v and figure %d is %v", view, i, v)
		}
	}
	if !value[bool](b, `document.querySelector("#show-ghosts").checked && document.querySelectorAll("#layer-ghosts use").length > 20`) {
		t.Error("the other positions are put away")
	}
	// What the last save changed stands there, and the engine before as a thin line, until it is put away.
	changes := value[string](b, `document.querySelector("#changes").textContent`)
	for _, want := range []string{"trunk_bore", "1.269", "1.27", "rod in the lip of the trunk"} {
		if !strings.Contains(changes, want) {
			t.Errorf("the changes do not say %q: %s", want, changes)
		}
	}
	if !value[bool](b, `document.querySelectorAll("#layer-before path").length > 10`) {
		t.Error("there is no thin line of before")
	}
	b.do(chromedp.KeyEvent("b"))
	b.until(`document.querySelector("#changes").hidden && document.querySelectorAll("#layer-before path").length === 0`)
	b.quiet(p.address)
}

func TestPageShowsMistake(t *testing.T) {
	path := copied(t, "tansy.motion")
	b, p := openPage(t, path)
	value[any](b, `barover.goTurn(33)`)
	rewrite(t, path, "length shaft crankpin    = throw", "length shaft crankpn    = throw")
	b.until(`!document.querySelector("#mistake").hidden`)
	said := value[string](b, `document.querySelector("#mistake pre").textContent`)
	if !regexp.MustCompile(`tansy\.motion:\d+:14: there is no point crankpn\n.*length shaft crankpn.*\n\s+\^+`).MatchString(said) {
		t.Errorf("the mistake reads %q", said)
	}
	if n := value[int](b, `document.querySelectorAll("#layer-chosen path").length`); n < 10 {
		t.Errorf("of the last good picture %d outlines are left", n)
	}
	b.do(chromedp.KeyEvent("\u0303"))
	b.turnIs(34, "with a mistake in the sketch")
	rewrite(t, path, "length shaft crankpn    = throw", "length shaft crankpin    = throw")
	b.until(`document.querySelector("#mistake").hidden`)
	b.turnIs(34, "after the mistake")
	b.quiet(p.address)
}

func TestPageGoesToFoul(t *testing.T) {
	path := filepath.Join(exampleFolder, "larkspur-as-drawn.motion")
	b, p := openPage(t, path)
	var want struct {
		Checks []struct {
			Note  string
			Least float64
			At    map[string]float64
		}
	}
	checked(t, &want, path)
	const note = "leading eye past the rear ends of the slide bars"
	for _, c := range want.Checks {
		if c.Note != note || c.Least > -0.19 {
			continue
		}
		b.do(chromedp.Click(`#rows tbody tr:nth-child(1) button`))
		b.until(`!barover.asking && !barover.choice.measuring && barover.turn !== 0 && barover.turnScale.exact && document.querySelector("#layer-figures text")`)
		b.turnIs(math.Round(c.At["crank"]*1e6)/1e6, "at the foul")
		if axle := value[float64](b, `barover.travel[0] / 25.4`); math.Abs(axle-c.At["axle"]) > 1e-9 {
			t.Errorf("the axle stands at %v, want %v", axle, c.At["axle"])
		}
		if said := value[string](b, `document.querySelector("#layer-figures text").textContent`); said != fmt.Sprintf("overlap %.4f", -c.Least) {
			t.Errorf("the figure at the foul reads %q, want %.4f", said, -c.Least)
		}
		if !value[bool](b, `document.querySelectorAll(".meets").length === 1 && !!document.querySelector(".curve")`) {
			t.Error("there is no hatch where metal meets, or no curve")
		}
		if first := value[string](b, `document.querySelector("#rows button[aria-pressed=true]").textContent`); first != note {
			t.Errorf("%q is picked", first)
		}
		// The turn goes on under the pointer of the curve, and Esc lets go.
		b.do(chromedp.KeyEvent("\u0303"))
		b.until(`document.querySelector(".now").textContent.startsWith("here")`)
		b.do(chromedp.KeyEvent("\u001b"))
		b.until(`barover.choice.picked === undefined && !document.querySelector("#layer-figures text")`)
		b.quiet(p.address)
		return
	}
	t.Errorf("the foul %q is not among the answers", note)
}

// TestPageShowsBand: the clearance that was picked stands in a band from the worst engine that the drawing allows to the best. Its ends
// are held against the engines at all corners of the tolerances, each solved by itself: none is outside, and the worst is near the edge.
func TestPageShowsBand(t *testing.T) {
	text := strings.Replace(readmeSketch(t), "dim rod_centres = 5 1/4in", "dim rod_centres = 5 1/4in ± 0.05", 1)
	path := filepath.Join(t.TempDir(), "mill.motion")
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	b, p := openPage(t, path)
	b.do(chromedp.Click(`#rows button`))
	b.until(`document.querySelector(".within") && document.querySelectorAll(".within-edge").length === 2`)
	if said := value[string](b, `barover.choice.curveOf(barover.choice.answer, 0).words`); !strings.Contains(said, "grey: every engine, proved") {
		t.Errorf("the curve is headed %q", said)
	}
	if n := value[int](b, `barover.choice.worstCurve(0).filter((v, i, all) => { const k = (i / (all.length - 1)) * (barover.choice.band.low.length - 1); return v < barover.choice.band.low[Math.round(k)] - 1e-6; }).length`); n > 0 {
		t.Errorf("%d places of the curve are below its band", n)
	}
	low := value[float64](b, `Math.min(...barover.choice.band.low)`)
	worst := math.Inf(1)
	for corner := range 8 {
		var got struct{ Checks []struct{ Least float64 } }
		at := func(bit int, low, high string) string {
			return map[bool]string{true: high, false: low}[corner>>bit&1 > 0]
		}
		checked(t, &got, path, "--set", "bar_half="+at(0, "9.0", "9.2"), "--set", "rod_deep="+at(1, "9.95", "10.05"),
			"--set", "rod_centres=5 1/4in "+at(2, "-", "+")+" 0.05")
		for _, c := range got.Checks {
			if worst = min(worst, c.Least); c.Least < low-1e-6 {
				t.Errorf("corner %d comes to %v, below the band at %v", corner, c.Least, low)
			}
		}
	}
	if worst-low > 0.01 {
		t.Errorf("the band goes down to %v, the worst engine to %v", low, worst)
	}
	b.quiet(p.address)
}

func TestPagePointsAtParts(t *testing.T) {
	b, p := openPage(t, filepath.Join(exampleFolder, "tansy.motion"))
	index := func(name string) int {
		return value[int](b, fmt.Sprintf(`barover.scene.profiles.find((p) => p.name === %q).index`, name))
	}
	press := func(name string) {
		value[any](b, fmt.Sprintf(`document.querySelector('#list button[data-profile="%d"]').click()`, index(name)))
	}
	press("conrod.shank")
	told := value[string](b, `document.querySelector("#told").textContent`)
	for _, want := range []string{"conrod.shank", "0.1875 thick", "across -0.0938 to 0.0938", "strip crankpin to crosspin", "rod_thick", "3/16", "line "} {
		if !strings.Contains(told, want) {
			t.Errorf("of the shank it is told %q, without %q", told, want)
		}
	}
	press("frame.trunk")
	b.until(`barover.choice.pairOver && barover.choice.here !== undefined`)
	var check struct {
		Checks []struct {
			A, B  string
			Least float64
		}
	}
	checked(t, &check, filepath.Join(exampleFolder, "tansy.motion"))
	for _, c := range check.Checks {
		if c.A == "conrod.shank" && c.B == "frame.trunk" {
			if least := value[float64](b, `barover.choice.pairOver.least / 25.4`); math.Abs(least-c.Least) > 1e-4 {
				t.Errorf("the least over the turn is %v, and check says %v", least, c.Least)
			}
		}
	}
	value[any](b, `barover.goTurn(barover.choice.pairOver.at)`)
	b.until(`Math.abs(barover.choice.here - barover.choice.pairOver.least) < 1e-4`)
	b.quiet(p.address)
}

func TestPageTravels(t *testing.T) {
	b, p := openPage(t, filepath.Join(exampleFolder, "larkspur.motion"))
	slider := func(i int) string { return fmt.Sprintf(`#travels > div:nth-child(%d)`, i) }
	if roles := value[[]string](b, `[...document.querySelectorAll("[role=slider]")].map((s) => s.getAttribute("aria-label"))`); strings.Join(roles, " ") != "crank axle reverser" {
		t.Errorf("the sliders are %q", roles)
	}
	b.do(chromedp.Focus(slider(1)), chromedp.KeyEvent("\u0303")) // a range: every value counts
	b.until(`!barover.asking`)
	if v := value[float64](b, `barover.travel[0] / 25.4 * 320`); math.Abs(v-1) > 1e-6 { // 5/16 in hundredths
		t.Errorf("one step of the axle is %v of a hundredth of its range", v)
	}
	b.do(chromedp.Focus(slider(2)), chromedp.KeyEvent("\u0303")) // a list: from detent to detent
	b.until(`!barover.asking`)
	if said := value[string](b, `document.querySelector("`+slider(2)+`").getAttribute("aria-valuetext")`); said != "11°" {
		t.Errorf("the reverser says %q", said)
	}
	box := value[[]float64](b, `(() => { const r = document.querySelector("`+slider(1)+` svg").getBoundingClientRect(); return [r.left, r.top, r.width] })()`)
	b.do(chromedp.DragAndDropXY(box[0]+30, box[1]+8, box[0]+box[2]-14, box[1]+8, 10))
	b.until(`!barover.asking && Math.abs(barover.travel[0] - 25.4 / 8) < 0.2`)
	b.quiet(p.address)
}

func TestPageOfSeveral(t *testing.T) {
	one, two := filepath.Join(exampleFolder, "tansy.motion"), filepath.Join(exampleFolder, "harrow-mere.motion")
	b, p := openPage(t, one, two)
	b.until(`[...barover.states.values()].length === 2 && [...barover.states.values()].every((s) => s.done)`)
	if n := value[int](b, `document.querySelectorAll("#files button").length`); n != 2 {
		t.Fatalf("%d sketches are listed", n)
	}
	b.do(chromedp.Click("#files button:nth-child(2)"))
	b.until(`document.querySelector("#title").textContent.startsWith("Harrow Mere") && barover.choice.curves`)
	b.do(chromedp.Click("#files button:nth-child(1)"))
	b.until(`document.querySelector("#title").textContent.startsWith("Tansy") && document.querySelectorAll("#rows button").length === 44`)
	b.quiet(p.address)
}

func TestPageCompares(t *testing.T) {
	b, p := openPage(t, filepath.Join(exampleFolder, "tansy.motion"))
	value[any](b, `barover.chooseOther("case bore_1")`)
	b.until(`!document.querySelector("#changes").hidden && document.querySelectorAll("#layer-before path").length > 10`)
	said := value[string](b, `document.querySelector("#changes").textContent`)
	for _, want := range []string{"mended", "trunk_bore", "rod in the lip of the trunk", "1 1/4"} {
		if !strings.Contains(said, want) {
			t.Errorf("against the case it says %q, without %q", said, want)
		}
	}
	b.quiet(p.address)
}

// TestPageInOneFile: the page as one file opens from a disk, and asks nothing of anybody. Unless all draws are taken, the file has 9 of
// Larkspur's 35 settings, whose distances take most of the time.
func TestPageInOneFile(t *testing.T) {
	path, most := copied(t, "larkspur.motion"), int64(2e6)
	if draws.Of(2) == 1 {
		most = 0.8e6
		rewrite(t, filepath.Join(filepath.Dir(path), "larkspur", "gear.motion"), "travel reverser = -22°, -11°, 0°, 11°, 22°", "travel reverser = -22°, 0°, 22°")
		rewrite(t, filepath.Join(filepath.Dir(path), "larkspur", "frames.motion"), "bump step 1/16 rest", "bump step 1 rest")
	}
	out := filepath.Join(t.TempDir(), "larkspur.html")
	barover(t, "draw", path, "-o", out)
	info, err := os.Stat(out)
	if err != nil {
		t.Fatal(err)
	}
	if t.Logf("Larkspur as one file: %d kB", info.Size()/1000); info.Size() > most {
		t.Errorf("the file has %d bytes", info.Size())
	}
	b := newTab(t, halfWide, halfHigh)
	b.open("file://" + out)
	b.do(chromedp.KeyEvent("\u0303"), chromedp.KeyEvent("\u0303"))
	b.turnIs(2, "after two arrows")
	value[any](b, `(barover.goTravel(0, 25.4 / 8), barover.goTravel(1, barover.scene.travels[1].stops[0]), barover.goTurn(123.4))`)
	b.until(`!barover.asking`)
	e, err := assembled.Assemble(path, optionsOf(t))
	if err != nil {
		t.Fatal(err)
	}
	b.standsAs(e, 123.4, value[[]float64](b, `barover.travel`))
	value[any](b, `document.querySelectorAll("#rows button")[5].click()`)
	b.until(`barover.choice.picked && document.querySelector(".curve")`)
	if !value[bool](b, `document.querySelectorAll("#layer-swept path").length > 5`) {
		t.Error("nothing is swept")
	}
	b.quiet("file://" + out)
	if n := len(b.asked); n != 1 {
		t.Errorf("%d things were asked for: %q", n, b.asked)
	}
}

// TestPageInManyTabs: a browser allows a handful of connections to one place, and all tabs follow all the same.
func TestPageInManyTabs(t *testing.T) {
	path := filepath.Join(t.TempDir(), "mill.motion")
	if err := os.WriteFile(path, []byte(readmeSketch(t)), 0o666); err != nil {
		t.Fatal(err)
	}
	first, p := openPage(t, path)
	tabs := []*tab{first}
	for len(tabs) < 7 {
		b := newTab(t, halfWide, halfHigh)
		b.open(p.address)
		tabs = append(tabs, b)
	}
	rewrite(t, path, "dim throw       = 22", "dim throw       = 21")
	for _, b := range tabs {
		b.until(`barover.scene.dims.find((d) => d.name === "throw").value === "21" && barover.state.done`)
	}
	// The tab that listens for all is closed, and another takes over.
	if err := chromedp.Cancel(first.ctx); err != nil {
		t.Log(err)
	}
	rewrite(t, path, "dim throw       = 21", "dim throw       = 20")
	for _, b := range tabs[1:] {
		b.until(`barover.scene.dims.find((d) => d.name === "throw").value === "20" && barover.state.done`)
	}
}

// TestPagePrints: on paper there is the drawing, the answers and the title block, and nothing to be pressed.
func TestPagePrints(t *testing.T) {
	b, _ := openPage(t, filepath.Join(exampleFolder, "tansy.motion"))
	callTab(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
	shown := value[[]bool](b, `["#picture", "#rows", "#title", "#position", "#doing", "#travels", "#keys"].map((q) => document.querySelector(q).checkVisibility())`)
	for i, want := range []bool{true, true, true, true, false, false, false} {
		if shown[i] != want {
			t.Errorf("on paper %d is shown: %v", i, shown[i])
		}
	}
	if pdf := take(b, chromedp.PrintToPDF()); len(pdf) < 10_000 {
		t.Errorf("the print has %d bytes", len(pdf))
	}
}

// TestPageOfOddSketches: what has no turn, no outline, no travel at a stop, a turn of many rounds, or cannot be assembled
// everywhere, is shown as what it is.
func TestPageOfOddSketches(t *testing.T) {
	const rod = "point shaft at 0, 0\npoint pin\npoint cross near 60, 0\nline bore through shaft heading 0\nlength shaft pin = 20\nangle shaft pin = crank\nlength pin cross = %s\nslide cross on bore\npart rod from pin to cross\n"
	const shape = "profile rod.shank across 0 to 5\n   strip pin to cross wide 4 round\nprofile frame.post across 0 to 5\n   box 90, -5 to 95, 5\nclear rod frame by 1\n"
	for _, c := range []struct{ name, text, true string }{
		{"no turn", "units mm\npoint a at 0, 0\npoint b at 30, 0\npart rod from a to b\nprofile rod.shank across 0 to 5\n   strip a to b wide 4\nprofile frame.post across 4 to 9\n   box 40, -5 to 45, 5\nclear rod frame by 1\n",
			`document.querySelector("#turn").hidden && document.querySelectorAll("#layer-chosen path").length === 1 && barover.state.answers.length === 1`},
		{"no outline", "units mm\nturn crank = 0 to 360 step 5\n" + fmt.Sprintf(rod, "60") + "trace cross\n",
			`document.querySelectorAll(".stick").length >= 2 && document.querySelectorAll(".pin").length >= 3 && document.querySelector("#layer-traces path")`},
		{"broken", "units mm\nturn crank = 0 to 360 step 5\n" + fmt.Sprintf(strings.Replace(rod, "slide cross on bore", "line aside through 0, 5 heading 0\nslide cross on aside", 1), "18") + shape,
			`document.querySelectorAll("rect.parted").length >= 1 && (barover.goTurn(270), document.querySelector("#here").textContent.includes("cannot be assembled"))`},
		{"many rounds", "units mm\nturn crank = 0 to 7200 step 5\n" + fmt.Sprintf(rod, "60") + shape,
			`(barover.goTurn(5000.5), barover.turn === 5000.5) && barover.scene.turn.to === 7200`},
		{"part of a turn", "units mm\nturn crank = 10 to 90 step 5\ntravel lift = 0, 1, 2\n" + fmt.Sprintf(strings.Replace(rod, "point shaft at 0, 0", "point shaft at 0, lift", 1), "60") + shape,
			`(barover.goTurn(200), barover.turn === 90) && document.querySelectorAll("#travels [role=slider]").length === 1`},
		{"names that are markup", "units mm\ntitle \"<img src=x onerror=alert(1)>\"\nturn crank = 0 to 360 step 5\n" + fmt.Sprintf(rod, "60") + strings.Replace(shape, "by 1", "by 1 \"</script><b>bold</b>\"", 1),
			`document.querySelector("#title").textContent === "<img src=x onerror=alert(1)>" && !document.querySelector("main img, #rows b") && document.querySelector("#rows").textContent.includes("</script><b>bold</b>")`},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "odd.motion")
			if err := os.WriteFile(path, []byte(c.text), 0o666); err != nil {
				t.Fatal(err)
			}
			p := serveShow(t, path)
			b := newTab(t, halfWide, halfHigh)
			b.do(chromedp.Navigate(p.address))
			b.until(`window.barover?.state?.done || window.barover?.state?.mistake`)
			if said := value[string](b, `barover.state.mistake`); said != "" {
				t.Fatal(said)
			}
			b.until(c.true)
			b.quiet(p.address)
			// The one file shows the same.
			out := filepath.Join(t.TempDir(), "odd.html")
			if err := os.WriteFile(out, onePage(t, path), 0o666); err != nil {
				t.Fatal(err)
			}
			b.do(chromedp.Navigate("file://" + out))
			b.until(`window.barover?.state?.done && barover.scene`)
			b.until(c.true)
			if w := b.complaints(); len(w) > 0 {
				t.Errorf("the page complained of %q", w)
			}
		})
	}
}

// onePage is a sketch's page as one file; parts of the turn may be broken.
func onePage(t *testing.T, path string) []byte {
	t.Helper()
	e, err := assembled.Assemble(path, optionsOf(t))
	if err != nil {
		t.Fatal(err)
	}
	res, err := e.Study(t.Context(), machine.Options{Checks: true, Levers: machine.NoLevers})
	if err != nil {
		t.Fatal(err)
	}
	b, err := serve.Page(t.Context(), e, res, sheet.Pick{})
	if err != nil {
		t.Fatal(err)
	}
	return b
}
