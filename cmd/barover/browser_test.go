package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"runtime/debug"
	"strings"
	"sync"
	"testing"
	"time"

	"barover/render/report"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// browsers are what Chromium is called. The shell comes first: it is Chromium without windows, and takes half the processor
// time.
var browsers = []string{"chromium-headless-shell", "chromium", "chromium-browser", "google-chrome"}

// spared are parts of Chromium that no test looks at, each a good share of the processor time of a tab: a renderer for each
// tab, and one kept in reserve; processes for pictures, the network and new processes; the pages behind the address bar.
var spared = []chromedp.ExecAllocatorOption{
	chromedp.Flag("renderer-process-limit", "1"), chromedp.Flag("process-per-site", true), chromedp.Flag("disable-site-isolation-trials", true),
	chromedp.Flag("disable-gpu", true), chromedp.Flag("in-process-gpu", true), chromedp.Flag("no-zygote", true),
	chromedp.Flag("enable-features", "NetworkServiceInProcess2"),
	chromedp.Flag("disable-features", "IsolateOrigins,site-per-process,SpareRendererForSitePerProcess,WebUIOmniboxPopup,WebUIOmniboxAimPopup,Translate"),
}

// oneBrowser is the browser of all tests of a run; it ends with the run.
var oneBrowser struct {
	sync.Once
	ctx context.Context
	end context.CancelFunc
	err error
}

// testRun is a run of all tests: it makes the programs of the scripts, collects memory seldom, which takes a tenth of the
// processors, and ends its browser.
type testRun struct{ *testing.M }

func (r testRun) Run() int {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(800)
	}
	if err := besideBusy(); err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	status := r.M.Run()
	if oneBrowser.ctx != nil {
		_ = chromedp.Cancel(oneBrowser.ctx) // it takes its files along
		oneBrowser.end()
	}
	return status
}

// tab is a page in a real browser.
type tab struct {
	t     testing.TB
	ctx   context.Context
	mu    sync.Mutex
	asked []string // every address that was asked for
	wrong []string // what the page complained of
}

// newTab opens a tab of so many pixels. Where there is no Chromium, the test says aloud what it did without.
func newTab(t testing.TB, width, height int64) *tab {
	t.Helper()
	path := ""
	for _, name := range browsers {
		if p, err := exec.LookPath(name); err == nil {
			path = p
			break
		}
	}
	if path == "" {
		t.Skip("no Chromium here: the page was not looked at in a browser; apt-get install chromium-headless-shell would bring it")
	}
	oneBrowser.Do(func() {
		o := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.NoSandbox,
			chromedp.Flag("disable-background-networking", true), chromedp.Flag("disable-component-update", true),
			chromedp.Flag("disable-sync", true), chromedp.Flag("no-first-run", true), chromedp.Flag("font-render-hinting", "none"))
		alloc, end := chromedp.NewExecAllocator(context.Background(), append(o, spared...)...)
		oneBrowser.end = end
		oneBrowser.ctx, _ = chromedp.NewContext(alloc)
		oneBrowser.err = chromedp.Do(oneBrowser.ctx)
	})
	if oneBrowser.err != nil {
		t.Fatalf("%s: %v", path, oneBrowser.err)
	}
	ctx, cancel := chromedp.NewContext(oneBrowser.ctx)
	t.Cleanup(cancel)
	ctx, stop := context.WithTimeout(ctx, 6*patient)
	t.Cleanup(stop)
	b := &tab{t: t, ctx: ctx}
	if err := chromedp.Listen(ctx, b.listen); err != nil {
		t.Fatal(err)
	}
	if _, err := chromedp.Call(ctx, network.Enable, network.EnableParams{}); err != nil {
		t.Fatal(err)
	}
	if _, err := chromedp.Call(ctx, runtime.Enable, cdp.Empty{}); err != nil {
		t.Fatal(err)
	}
	b.do(chromedp.EmulateViewport(width, height))
	return b
}

func (b *tab) listen(event any) {
	b.mu.Lock()
	defer b.mu.Unlock()
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		b.asked = append(b.asked, e.Request.URL)
	case *runtime.EventExceptionThrown:
		words := e.ExceptionDetails.Text
		if x := e.ExceptionDetails.Exception; x != nil {
			words += " " + x.Description
		}
		b.wrong = append(b.wrong, words)
	case *runtime.EventConsoleAPICalled:
		if e.Type == runtime.ConsoleAPICalledTypeWarning || e.Type == runtime.ConsoleAPICalledTypeError {
			var words []string
			for _, a := range e.Args {
				words = append(words, string(a.Value)+a.Description)
			}
			b.wrong = append(b.wrong, strings.Join(words, " "))
		}
	}
}

// do drives the page.
func (b *tab) do(actions ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	if err := chromedp.Do(b.ctx, actions...); err != nil {
		b.t.Fatalf("%v; the page complained of %q", err, b.complaints())
	}
}

// take is what an action brings.
func take[T any](b *tab, a chromedp.Action[T]) T {
	b.t.Helper()
	v, err := chromedp.Run(b.ctx, a)
	if err != nil {
		b.t.Fatalf("%v; the page complained of %q", err, b.complaints())
	}
	return v
}

func (b *tab) complaints() []string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.wrong
}

// value evaluates JavaScript in the page; a promise is waited for.
func value[T any](b *tab, script string) T {
	b.t.Helper()
	return take(b, chromedp.Evaluate[T](script, chromedp.EvalAwaitPromise))
}

// until waits until JavaScript comes out true.
func (b *tab) until(script string) {
	b.t.Helper()
	for end := time.Now().Add(patient); time.Now().Before(end); time.Sleep(25 * time.Millisecond) {
		if value[bool](b, "!!("+script+")") {
			return
		}
	}
	b.t.Fatalf("never came true: %s; the page complained of %q", script, b.complaints())
}

// shown is a page being served.
type shownPage struct {
	address string
	stop    func()
	errs    *bytes.Buffer
}

// serveShow runs `barover show` within the test.
func serveShow(t testing.TB, args ...string) *shownPage {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	said := newLines()
	errs := new(bytes.Buffer)
	done := make(chan int, 1)
	go func() { done <- run(ctx, append([]string{"show"}, args...), &console{out: said, err: errs}) }()
	p := &shownPage{errs: errs}
	p.stop = sync.OnceFunc(func() {
		cancel()
		select {
		case status := <-done:
			if status != report.AllHolds {
				t.Errorf("show ended with %d: %s", status, errs)
			}
		case <-time.After(patient):
			t.Error("show does not end")
		}
	})
	t.Cleanup(p.stop)
	select {
	case p.address = <-said.lines:
	case status := <-done:
		done <- status
		t.Fatalf("show ended with %d: %s", status, errs)
	case <-time.After(patient):
		t.Fatal("show prints no address")
	}
	return p
}

// lines hands on what is written to it line by line.
type lines struct {
	lines chan string
	rest  string
}

func newLines() *lines { return &lines{lines: make(chan string, 64)} }

func (l *lines) Write(b []byte) (int, error) {
	l.rest += string(b)
	for {
		line, rest, ok := strings.Cut(l.rest, "\n")
		if !ok {
			return len(b), nil
		}
		l.rest = rest
		l.lines <- line
	}
}

// call sends one command of the browser's own.
func callTab[P, R any](b *tab, c cdp.Command[P, R], params P) {
	b.t.Helper()
	if _, err := chromedp.Call(b.ctx, c, params); err != nil {
		b.t.Fatal(err)
	}
}
