package page

import (
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"html"
	"io/fs"
	"regexp"
	"slices"
	"strings"

	"barover/render/sheet"
	"barover/solver/engine"
	"barover/solver/machine"
)

// modules are the page's own, each after those that it imports.
var modules = []string{"text.js", "motion.js", "live.js", "filed.js", "views.js", "hand.js", "picture.js", "slide.js",
	"turnscale.js", "travelscale.js", "runner.js", "answers.js", "choice.js", "controls.js", "fieldmap.js", "page.js", "main.js"}

// File is the page as one file.
type File struct {
	Machine *machine.Machine
	Scene   *Scene
	State   any // as the page is told it while it is served, with every answer
	Answers []Answer
	Pick    sheet.Pick
}

// mostSettings bounds the travel settings whose positions are put into one file.
const mostSettings = 150

// inside is what a file has in it beside its pieces, which lie behind it.
type inside struct {
	Scene    *Scene      `json:"scene"`
	State    any         `json:"state"`
	Settings [][]float64 `json:"settings"`
	Curves   int         `json:"curves"` // the piece that they are
	Pairs    [][2]int    `json:"pairs"`  // of profiles, whose distances are packed behind the motions: by setting, pair and turn
	Turns    int         `json:"turns"`  // of a curve
	Sweep    []SweptPath `json:"sweep"`
	Pieces   [][2]int    `json:"pieces"` // from where behind the data, and how long: what is packed, the curves
}

// HTML writes the page with all that it shows as one file, which needs nothing else: the positions at every setting of the
// lists and at every step of the ranges, the answers, and the distances of all pairs that a check asks about. The error is
// that of ctx, or that there are too many settings.
func (f *File) HTML(ctx context.Context) ([]byte, error) {
	data, err := f.packed(ctx)
	if err != nil {
		return nil, err
	}
	whole, style, script := asset("index.html"), asset("page.css"), bundle()
	policy := fmt.Sprintf("default-src 'none'; script-src 'sha256-%s'; style-src 'sha256-%s'; img-src data:; base-uri 'none'; form-action 'none'", digest(script), digest(style))
	head := `<meta http-equiv="Content-Security-Policy" content="` + policy + `">` + "\n<style>" + style + "</style>\n" +
		`<script type="application/octet-stream" id="data">` + base64.StdEncoding.EncodeToString(data) + "</script>\n" +
		`<script type="module">` + script + "</script>\n"
	whole = strings.Replace(whole, `<link rel="stylesheet" href="page.css">`+"\n", "", 1)
	whole = strings.Replace(whole, `<script type="module" src="main.js"></script>`+"\n", head, 1)
	whole = strings.Replace(whole, "<title>barover</title>", "<title>"+html.EscapeString(f.Scene.Title)+"</title>", 1)
	return []byte(whole), nil
}

func digest(text string) string {
	sum := sha256.Sum256([]byte(text))
	return base64.StdEncoding.EncodeToString(sum[:])
}

var (
	imported = regexp.MustCompile(`(?m)^import .*;\n`)
	exported = regexp.MustCompile(`(?m)^export (class|function|const) `)
)

// bundle is all modules in one: a browser takes no module of a page that lies on a disk from another file. No two of them
// have a name of their own in common.
func bundle() string {
	var b strings.Builder
	for _, name := range modules {
		b.WriteString("\n")
		b.WriteString(exported.ReplaceAllString(imported.ReplaceAllString(asset(name), ""), "$1 "))
	}
	return b.String()
}

// asset is the text of one of the page's own files.
func asset(name string) string {
	b, err := fs.ReadFile(Assets(), name)
	if err != nil {
		panic(err) // it is embedded
	}
	return string(b)
}

// packed is the data and the pieces behind them, zipped: a 32-bit length, so many bytes of JSON, the pieces.
func (f *File) packed(ctx context.Context) ([]byte, error) {
	in := inside{Scene: f.Scene, State: f.State, Settings: f.Machine.Settings(), Pairs: f.pairs(), Pieces: [][2]int{}}
	if n := len(in.Settings); n > mostSettings {
		return nil, fmt.Errorf("a page as one file holds %d settings of the travels, and these are %d: give ranges a larger step", mostSettings, n)
	}
	var behind []byte
	put := func(b []byte) int {
		in.Pieces = append(in.Pieces, [2]int{len(behind), len(b)})
		behind = append(behind, b...)
		return len(in.Pieces) - 1
	}
	all := &packer{first: map[int][]int64{}}
	for _, s := range in.Settings {
		mo, err := Follow(ctx, f.Machine, s)
		if err != nil {
			return nil, err
		}
		all.motion(mo)
	}
	if err := f.apart(ctx, all, in.Settings, in.Pairs); err != nil {
		return nil, err
	}
	put(all.b)
	curves, err := Curves(ctx, f.Machine, f.Answers)
	if err != nil {
		return nil, err
	}
	in.Curves = put(curves)
	in.Turns = len(CurveTurns(f.Machine.Problem.Turn))
	in.Sweep = Swept(ctx, f.Machine, f.Pick, engine.RestSetting(f.Machine.Problem.Travels))
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return zipped(in, behind)
}

func zipped(in inside, behind []byte) ([]byte, error) {
	head, err := json.Marshal(in)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	z, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	for _, part := range [][]byte{binary.LittleEndian.AppendUint32(nil, uint32(len(head))), head, behind} {
		if _, err := z.Write(part); err != nil {
			return nil, err
		}
	}
	err = z.Close()
	return b.Bytes(), err
}

// pairs are the profiles that a check asks about two at a time.
func (f *File) pairs() [][2]int {
	list := [][2]int{}
	for _, a := range f.Answers {
		if len(a.Pair) == 2 && a.State != "apart" {
			p := [2]int{min(a.Pair[0], a.Pair[1]), max(a.Pair[0], a.Pair[1])}
			if !slices.Contains(list, p) {
				list = append(list, p)
			}
		}
	}
	return list
}

// apart packs the distances of pairs over the turn, at each setting.
func (f *File) apart(ctx context.Context, p *packer, settings [][]float64, pairs [][2]int) error {
	turns := CurveTurns(f.Machine.Problem.Turn)
	p.first = map[int][]int64{}
	for _, s := range settings {
		for i, pair := range pairs {
			v, err := Distances(ctx, f.Machine, pair[0], pair[1], s, turns)
			if err != nil {
				return err
			}
			p.series(i, v, distanceUnit)
		}
	}
	return nil
}
