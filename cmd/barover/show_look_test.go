package main

import (
	"bytes"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// readmeSketch is the sketch that the README tells to copy.
func readmeSketch(t *testing.T) string {
	t.Helper()
	b, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, text, ok := strings.Cut(string(b), "    # Does the thicker rod clear the lips of the slide bars?\n")
	if !ok {
		t.Fatal("the README has no sketch to copy")
	}
	var lines []string
	for _, l := range strings.Split(text, "\n") {
		if l != "" && !strings.HasPrefix(l, "    ") {
			break
		}
		lines = append(lines, strings.TrimPrefix(l, "    "))
	}
	return strings.Join(lines, "\n")
}

// TestReadmePage: the picture of the page in the README is of the sketch beside it, with its one short row gone to. Another
// Chromium paints other bytes, so that only -update makes it again; what the page shows there is tested.
func TestReadmePage(t *testing.T) {
	const picture = "../../testdata/pictures/page.png"
	path := filepath.Join(t.TempDir(), "mill.motion")
	if err := os.WriteFile(path, []byte(readmeSketch(t)), 0o666); err != nil {
		t.Fatal(err)
	}
	b, p := openPage(t, path)
	b.do(chromedp.Click(`#rows button`))
	b.until(`!barover.choice.measuring && document.querySelector("#layer-figures text")`)
	if said := value[string](b, `document.querySelector("#rows tr.picked").textContent`); !strings.Contains(said, "rod in the lips of the bars") || !strings.Contains(said, "0.402") {
		t.Errorf("the first row reads %q", said)
	}
	if said := value[string](b, `document.querySelector("#layer-figures text").textContent`); said != "0.402" {
		t.Errorf("the figure reads %q", said)
	}
	b.quiet(p.address)
	if *update {
		time.Sleep(2 * time.Second) // the view has come to rest, what is swept is there
		b.do(chromedp.MouseEvent("mouseMoved", 5, 5))
		if err := os.WriteFile(picture, take(b, chromedp.CaptureScreenshot()), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	text, err := os.ReadFile(picture)
	if err != nil {
		t.Fatal(err)
	}
	if c, err := png.DecodeConfig(bytes.NewReader(text)); err != nil || c.Width != halfWide || c.Height != halfHigh {
		t.Errorf("%s is %d by %d: %v", picture, c.Width, c.Height, err)
	}
}
