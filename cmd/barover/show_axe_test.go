package main

import (
	"context"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"barover/solver/trial/draws"
)

// axeVersion is the release of axe-core that looks the page over: a library that finds what keeps people from a page.
const axeVersion = "axe-core@4.14.1"

// axe is the text of axe-core, fetched from npm. Where npm does not serve it, the test says aloud what it did without.
func axe(t *testing.T) string {
	t.Helper()
	folder := t.TempDir()
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	cmd := exec.CommandContext(ctx, "npm", "install", "--no-save", "--no-audit", "--no-fund", "--ignore-scripts", "--prefix", folder, axeVersion)
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Skipf("npm does not bring %s: the page was not looked over for what keeps people from it (%v: %.200s)", axeVersion, err, out)
	}
	b, err := os.ReadFile(filepath.Join(folder, "node_modules", "axe-core", "axe.min.js"))
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// TestPageForEverybody: axe-core finds nothing serious, whatever the page shows.
func TestPageForEverybody(t *testing.T) {
	script := axe(t)
	path := copied(t, "larkspur-as-drawn.motion")
	b, _ := openPage(t, path)
	// The page's policy lets nothing run that does not come from it: the library is put in past that, as a debugger may.
	value[any](b, script+"; true")
	steps := []struct {
		when  string
		do    func()
		shown string // when the page shows what was done
	}{
		{"as it opens", func() {}, `true`},
		{"with a foul picked", func() {
			value[any](b, `(document.querySelectorAll("details").forEach((d) => d.open = true), document.querySelector("#rows button").click())`)
		}, `barover.choice.picked && !barover.asking && !barover.choice.measuring`},
		{"with two pointed at", func() {
			value[any](b, `(barover.choice.letGo(), barover.choice.point(barover.scene.profiles[0].index), barover.choice.point(barover.scene.profiles[5].index))`)
		}, `barover.choice.pairOver`},
		{"after a change", func() { rewrite(t, path, "dim bar_rear   = 7 5/8", "dim bar_rear   = 7 7/8") }, `!document.querySelector("#changes").hidden`},
		{"with a mistake", func() { rewrite(t, path, "dim bar_rear   = 7 7/8", "dmi bar_rear   = 7 7/8") }, `!document.querySelector("#mistake").hidden`},
	}
	for _, s := range steps[:draws.Of(len(steps))] {
		s.do()
		b.until(s.shown)
		b.lookedOver(s.when)
	}
}

// lookedOver has axe-core look the page over.
func (b *tab) lookedOver(when string) {
	b.t.Helper()
	text := value[string](b, `axe.run(document, { resultTypes: ["violations"], preload: false }).then((r) => JSON.stringify(r.violations.map((v) => ({ id: v.id, impact: v.impact, help: v.help, nodes: v.nodes.slice(0, 3).map((n) => n.html.slice(0, 160)) }))))`)
	var found []struct {
		ID, Impact, Help string
		Nodes            []string
	}
	if err := json.Unmarshal([]byte(text), &found); err != nil {
		b.t.Fatal(err)
	}
	for _, v := range found {
		say := b.t.Logf
		if v.Impact == "serious" || v.Impact == "critical" {
			say = b.t.Errorf
		}
		say("%s: %s, %s: %s: %q", when, v.Impact, v.ID, v.Help, v.Nodes)
	}
}

// TestPageIsCalm: whoever has asked for little motion gets a position now and then, and no gliding.
func TestPageIsCalm(t *testing.T) {
	b, _ := openPage(t, filepath.Join(exampleFolder, "tansy.motion"))
	callTab(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Features: []*emulation.MediaFeature{{Name: "prefers-reduced-motion", Value: "reduce"}}})
	value[any](b, `(barover.picture.zoom(3), barover.picture.fit())`)
	if !value[bool](b, `(() => { const k = barover.picture.view.k; return new Promise((r) => requestAnimationFrame(() => r(k === barover.picture.view.k))) })()`) {
		t.Error("the view glides")
	}
	b.do(chromedp.KeyEvent(" "))
	b.until(`barover.turn > 0`)
	at := value[float64](b, turnNow)
	b.do(chromedp.KeyEvent(" "))
	if at != 15*float64(int(at/15)) {
		t.Errorf("the crank is at %v°: it runs smoothly", at)
	}
}
