package pdf

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"barover/render/drawing"
)

// number is what follows a key of a dictionary: the number of another object.
func number(t *testing.T, dict, key string) int {
	t.Helper()
	m := regexp.MustCompile(regexp.QuoteMeta(key) + `\[?\s*(\d+) 0 R`).FindStringSubmatch(dict)
	if m == nil {
		t.Fatalf("no %s in %s", key, dict)
	}
	n, _ := strconv.Atoi(m[1])
	return n
}

// TestBookmarks: the outline of a file names every page that says what it is, in order, each entry leads to its page, and the chain
// of entries reads the same both ways.
func TestBookmarks(t *testing.T) {
	var pages []*drawing.Drawing
	for _, kind := range []string{"Motion, sweep of one turn", "", "Antworten für die Prüfung", "Across the engine"} {
		d := drawing.New("Mill", 297, 210)
		d.Kind, d.Subject = kind, "mill.motion; as it stands; 0123abcd"
		pages = append(pages, d)
	}
	file := Bytes(pages...)
	catalog, _ := object(t, file, 1)
	tree, _ := object(t, file, number(t, catalog, "/Pages"))
	kids := regexp.MustCompile(`(\d+) 0 R`).FindAllStringSubmatch(tree[strings.Index(tree, "/Kids"):], -1)
	outline, _ := object(t, file, number(t, catalog, "/Outlines"))
	if !strings.Contains(outline, "/Count 3") {
		t.Errorf("outline: %s", outline)
	}
	at, before := number(t, outline, "/First"), 0
	for i, page := range []int{0, 2, 3} {
		item, _ := object(t, file, at)
		if want := unicode(strconv.Itoa(page+1) + "  " + pages[page].Kind); !strings.Contains(item, "/Title"+want) {
			t.Errorf("entry %d: %s, want the title %s", i, item, want)
		}
		if to := number(t, item, "/Dest"); strconv.Itoa(to) != kids[page][1] {
			t.Errorf("entry %d leads to object %d, its page is %s", i, to, kids[page][1])
		}
		if number(t, item, "/Parent") != number(t, catalog, "/Outlines") || before != 0 && number(t, item, "/Prev") != before {
			t.Errorf("entry %d: %s", i, item)
		}
		if i == 2 {
			if at != number(t, outline, "/Last") || strings.Contains(item, "/Next") {
				t.Errorf("the last entry is %d: %s in %s", at, item, outline)
			}
			break
		}
		at, before = number(t, item, "/Next"), at
	}
	if strings.Contains(string(Bytes(pages[0])), "/Outlines") {
		t.Error("a single page has an outline")
	}
}

// TestMetadata: a reader that is not ours finds title and subject.
func TestMetadata(t *testing.T) {
	if _, err := exec.LookPath("pdfinfo"); err != nil {
		t.Skip("pdfinfo is not there")
	}
	d := drawing.New("Mill – crank side", 297, 210)
	d.Subject = "mill.motion; as it stands; 0123abcd"
	path := filepath.Join(t.TempDir(), "mill.pdf")
	if err := os.WriteFile(path, Bytes(d), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("pdfinfo", "-enc", "UTF-8", path).CombinedOutput()
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`Title:\s+Mill – crank side\n`, `Subject:\s+mill\.motion; as it stands; 0123abcd\n`, `Pages:\s+1\n`} {
		if !regexp.MustCompile(want).Match(out) {
			t.Errorf("no %s in\n%s", want, out)
		}
	}
}
