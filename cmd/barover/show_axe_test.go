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
	looked := 0
	look := func(when string) {
		t.Helper()
		if looked++; looked > draws.Of(5) {
			return
		}
		text := value[string](b, `axe.run(document, { resultTypes: ["violations"], preload: false }).then((r) => JSON.stringify(r.violations.map((v) => ({ id: v.id, impact: v.impact, help: v.help, nodes: v.nodes.slice(0, 3).map((n) => n.html.slice(0, 160)) }))))`)
		var found []struct {
			ID, Impact, Help string
			Nodes            []string
		}
		if err := json.Unmarshal([]byte(text), &found); err != nil {
			t.Fatal(err)
		}
		for _, v := range found {
			say := t.Logf
			if v.Impact == "serious" || v.Impact == "critical" {
				say = t.Errorf
			}
			say("%s: %s, %s: %s: %q", when, v.Impact, v.ID, v.Help, v.Nodes)
		}
	}
	// The page's policy lets nothing run that does not come from it: the library is put in past that, as a debugger may.
	value[any](b, script+"; true")
	look("as it opens")
	value[any](b, `(document.querySelectorAll("details").forEach((d) => d.open = true), document.querySelector("#rows button").click())`)
	b.until(`barover.choice.picked && !barover.asking && !barover.choice.measuring`)
	look("with a foul picked")
	value[any](b, `(barover.choice.letGo(), barover.choice.point(barover.scene.profiles[0].index), barover.choice.point(barover.scene.profiles[5].index))`)
	b.until(`barover.choice.pairOver`)
	look("with two pointed at")
	rewrite(t, path, "dim bar_rear   = 7 5/8", "dim bar_rear   = 7 7/8")
	b.until(`!document.querySelector("#changes").hidden`)
	look("after a change")
	rewrite(t, path, "dim bar_rear   = 7 7/8", "dmi bar_rear   = 7 7/8")
	b.until(`!document.querySelector("#mistake").hidden`)
	look("with a mistake")
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
