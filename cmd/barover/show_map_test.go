package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

const mapSketch = `units mm
dim bar_half = 5.2
dim rod_deep = 10
stock bar_half = 5, 6, 7
stock rod_deep = 8, 12
keep bar_half - rod_deep/2 above 0.5 below 3 "rod between the bars"
point p at 0, 0
`

// TestPageMap: on the page two dimensions are chosen, and the map of them shows where everything holds: the cells' corners agree
// with the sum that is asked. A save puts it away.
func TestPageMap(t *testing.T) {
	path := filepath.Join(t.TempDir(), "mill.motion")
	if err := os.WriteFile(path, []byte(mapSketch), 0o666); err != nil {
		t.Fatal(err)
	}
	b, p := openPage(t, path)
	b.do(chromedp.Click("#map summary"), chromedp.Click("#map button"))
	b.until(`document.querySelector("#map .cell.holds")`)
	wrong := value[[]string](b, `(() => {
		const ends = [...document.querySelectorAll("#map svg > text:not(.halo):not(.name)")].map((t) => parseFloat(t.textContent));
		const [x0, x1, y0, y1] = ends, frame = document.querySelector("#map rect.thin"), of = (e, n) => parseFloat(e.getAttribute(n));
		return [...document.querySelectorAll("#map .cell:not(.open)")].flatMap((c) => [0, 1].flatMap((i) => [0, 1].map((j) => {
			const x = x0 + (x1 - x0) * (of(c, "x") + i * of(c, "width") - of(frame, "x")) / of(frame, "width");
			const y = y1 - (y1 - y0) * (of(c, "y") + j * of(c, "height") - of(frame, "y")) / of(frame, "height");
			const room = Math.min(x - y / 2 - 0.5, 3 - x + y / 2);
			return (c.classList.contains("holds") ? room < -0.01 : room > 0.01) ? c.textContent : "";
		}))).filter(Boolean);
	})()`)
	if len(wrong) > 0 {
		t.Errorf("of these cells a corner says otherwise: %q", wrong)
	}
	for what, want := range map[string]string{`#map .cell.holds title`: "proved to hold", `#map .cell.short title`: "proved to fall short: rod between the bars", `#map`: "Holds with bar_half from"} {
		if said := value[string](b, `document.querySelector("`+what+`").textContent`); !strings.Contains(said, want) {
			t.Errorf("%s says %q, want %q", what, said, want)
		}
	}
	if n := value[int](b, `document.querySelectorAll("#map .had").length`); n == 0 {
		t.Error("no size in stock is shown")
	}
	b.quiet(p.address)
	if to := os.Getenv("MAP_PICTURE"); to != "" {
		b.do(chromedp.ScrollIntoView("#keys"))
		if err := os.WriteFile(to, take(b, chromedp.CaptureScreenshot()), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	rewrite(t, path, "dim bar_half = 5.2", "dim bar_half = 5.3")
	b.until(`barover.scene.dims.find((d) => d.name === "bar_half").value === "5.3" && !document.querySelector("#map .cell")`)
}
