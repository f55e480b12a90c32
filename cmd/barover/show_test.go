package main

import (
	"barover/cmd/barover/serve"
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"
)

func fromJSON(t *testing.T, text string, into any) {
	t.Helper()
	if err := json.Unmarshal([]byte(text), into); err != nil {
		t.Fatal(err)
	}
}

// request sends one request and returns the status and the text of the answer.
func request(t *testing.T, method, address string, change func(*http.Request)) (int, string, http.Header) {
	t.Helper()
	r, err := http.NewRequest(method, address, nil)
	if err != nil {
		t.Fatal(err)
	}
	if change != nil {
		change(r)
	}
	a, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer a.Body.Close()
	b, err := io.ReadAll(io.LimitReader(a.Body, 1<<20))
	if err != nil {
		t.Fatal(err)
	}
	return a.StatusCode, string(b), a.Header
}

// TestShowRefuses: nothing is given to another place, to another method, without the word, or of the disk.
func TestShowRefuses(t *testing.T) {
	path := copied(t, "tansy.motion")
	p := serveShow(t, path)
	at, err := url.Parse(p.address)
	if err != nil {
		t.Fatal(err)
	}
	if host := at.Hostname(); host != "127.0.0.1" || len(strings.Trim(at.Path, "/")) < 32 {
		t.Errorf("the address is %s", p.address)
	}
	bare := "http://" + at.Host
	for _, c := range []struct {
		name, method, address string
		change                func(*http.Request)
		status                int
	}{
		{"the page", "GET", p.address, nil, 200},
		{"its head", "HEAD", p.address, nil, 200},
		{"another host", "GET", p.address, func(r *http.Request) { r.Host = "rebound.example:80" }, 403},
		{"the same host by another name", "GET", p.address, func(r *http.Request) { r.Host = "localhost:" + at.Port() }, 403},
		{"from another page", "GET", p.address, func(r *http.Request) { r.Header.Set("Origin", "http://elsewhere.example") }, 403},
		{"from a page without an origin", "GET", p.address, func(r *http.Request) { r.Header.Set("Origin", "null") }, 403},
		{"from another site", "GET", p.address + "main.js", func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "cross-site") }, 403},
		{"sent to", "POST", p.address, nil, 405},
		{"put to", "PUT", p.address + "states", nil, 405},
		{"taken away", "DELETE", p.address + "states", nil, 405},
		{"without the word", "GET", bare + "/", nil, 404},
		{"with another word", "GET", bare + "/" + strings.Repeat("0", 32) + "/", nil, 404},
		{"a part of the word", "GET", bare + at.Path[:10] + "/", nil, 404},
		{"the sketch", "GET", p.address + "tansy.motion", nil, 404},
		{"the sketch by its path", "GET", p.address + strings.TrimPrefix(filepath.ToSlash(path), "/"), nil, 404},
		{"up from the word", "GET", p.address + "..%2f..%2f..%2fetc%2fpasswd", nil, 404},
		{"a folder", "GET", p.address + "assets/", nil, 404},
		{"no question", "GET", p.address + "scene", nil, 400},
		{"another sketch", "GET", p.address + "scene?file=1&v=1", nil, 400},
		{"a figure that is none", "GET", p.address + "motion?file=0&v=1&travel=NaN", nil, 400},
		{"a version to come", "GET", p.address + "scene?file=0&v=77", nil, 410},
	} {
		t.Run(c.name, func(t *testing.T) {
			waitForAnswers(t, p)
			status, text, head := request(t, c.method, c.address, c.change)
			if status != c.status {
				t.Errorf("status %d, want %d: %.200s", status, c.status, text)
			}
			policy := head.Get("Content-Security-Policy")
			if !strings.Contains(policy, "default-src 'none'") || strings.Contains(policy, "unsafe") || head.Get("X-Content-Type-Options") != "nosniff" {
				t.Errorf("the policy is %q", policy)
			}
			if strings.Contains(text, "trunk_bore") || strings.Contains(text, "root:") {
				t.Errorf("it gives away %.200s", text)
			}
		})
	}
	if _, err := net.DialTimeout("tcp", net.JoinHostPort(otherAddress(t), at.Port()), time.Second); err == nil {
		t.Error("another machine could ask")
	}
}

// otherAddress is an address of this machine beside 127.0.0.1; the test is of no use where there is none.
func otherAddress(t *testing.T) string {
	t.Helper()
	list, err := net.InterfaceAddrs()
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range list {
		if n, ok := a.(*net.IPNet); ok && n.IP.To4() != nil && !n.IP.IsLoopback() {
			return n.IP.String()
		}
	}
	t.Log("this machine has no other address: it was not tried from one")
	return "127.0.0.2"
}

// waitForAnswers waits until every check is answered.
func waitForAnswers(t *testing.T, p *shownPage) {
	t.Helper()
	for end := time.Now().Add(patient); time.Now().Before(end); time.Sleep(10 * time.Millisecond) {
		var states []struct {
			Done    bool   `json:"done"`
			Mistake string `json:"mistake"`
		}
		_, text, _ := request(t, "GET", p.address+"states", nil)
		fromJSON(t, text, &states)
		if states[0].Done || states[0].Mistake != "" {
			return
		}
	}
	t.Fatal("the answers do not come")
}

// TestShowWarns: the page says below its sentence what check warns of.
func TestShowWarns(t *testing.T) {
	path := filepath.Join(t.TempDir(), "rod.motion")
	const text = `turn crank = 0 to 360 step 5
point shaft at 0, 0
point crankpin
point crosspin near 142, 0
line bore through shaft heading 0
length shaft crankpin = 22
angle shaft crankpin = crank
length shaft crosspin = 142
slide crosspin on bore
part conrod from crankpin to crosspin
profile conrod.shank across 0 to 5
   strip 0, 0 to 150, 0 wide 10
`
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	p := serveShow(t, path)
	defer p.stop()
	waitForAnswers(t, p)
	var states []struct {
		Sure string `json:"sure"`
	}
	_, told, _ := request(t, "GET", p.address+"states", nil)
	fromJSON(t, told, &states)
	if want := "Warning, line 10: conrod stretches from 120 mm to 164 mm over the turn"; !strings.Contains(states[0].Sure, want) {
		t.Errorf("%q, want %q in it", states[0].Sure, want)
	}
}

// TestShowWritesNothing: while it shows and follows saves, no file comes, goes or changes but the one that was saved.
func TestShowWritesNothing(t *testing.T) {
	path := copied(t, "tansy.motion")
	p := serveShow(t, path)
	waitForAnswers(t, p)
	before := filesIn(t, filepath.Dir(path))
	rewrite(t, path, "dim trunk_bore    = 1 1/4", "dim trunk_bore    = 1.3")
	for end := time.Now().Add(patient); time.Now().Before(end); time.Sleep(10 * time.Millisecond) {
		if _, text, _ := request(t, "GET", p.address+"states", nil); strings.Contains(text, `"version":2`) && strings.Contains(text, `"done":true`) {
			break
		}
	}
	p.stop()
	if after := filesIn(t, filepath.Dir(path)); after != before {
		t.Errorf("before:\n%s\nafter:\n%s", before, after)
	}
}

func filesIn(t *testing.T, folder string) string {
	t.Helper()
	var b strings.Builder
	err := filepath.WalkDir(folder, func(path string, d os.DirEntry, err error) error {
		if err == nil {
			fmt.Fprintln(&b, path)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// TestShowBounded: fifty tabs that follow, and as many readers that never read, cost bounded memory, and nobody waits for
// them.
func TestShowBounded(t *testing.T) {
	path := copied(t, "tansy.motion")
	p := serveShow(t, path)
	waitForAnswers(t, p)
	at, err := url.Parse(p.address)
	if err != nil {
		t.Fatal(err)
	}
	heap := func() uint64 {
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return m.HeapAlloc
	}
	before := heap()
	heard := make(chan string, 4096)
	for i := range 100 {
		c, err := net.Dial("tcp", at.Host)
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		if i%2 == 0 { // who asks for a great deal and never reads
			for range 20 {
				fmt.Fprintf(c, "GET %smotion?file=0&v=1 HTTP/1.1\r\nHost: %s\r\n\r\n", at.Path, at.Host)
			}
			continue
		}
		fmt.Fprintf(c, "GET %sfeed HTTP/1.1\r\nHost: %s\r\n\r\n", at.Path, at.Host)
		go func() {
			in := bufio.NewScanner(c)
			in.Buffer(nil, 1<<22)
			for in.Scan() {
				if strings.HasPrefix(in.Text(), "data: ") && strings.Contains(in.Text(), `"version":13,`) && strings.Contains(in.Text(), `"done":true`) {
					heard <- in.Text()
				}
			}
		}()
	}
	last := "dim trunk_bore    = 1 1/4"
	for i := range 12 {
		next := fmt.Sprintf("dim trunk_bore    = %.3f", 1.26+float64(i)/100)
		rewrite(t, path, last, next)
		last = next
		waitForVersion(t, p, i+2)
	}
	for i := range 50 {
		select {
		case <-heard:
		case <-time.After(patient):
			t.Fatalf("%d of 50 tabs heard of the last save", i)
		}
	}
	grown := int64(heap()) - int64(before)
	if t.Logf("100 connections and 12 saves: %d kB more in use", grown/1000); grown > 64<<20 {
		t.Errorf("%d MB more are in use", grown>>20)
	}
	// Event streams are bounded: one too many is sent away, and the page says so.
	for i := 0; ; i++ {
		c, err := net.Dial("tcp", at.Host)
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		fmt.Fprintf(c, "GET %sfeed HTTP/1.1\r\nHost: %s\r\n\r\n", at.Path, at.Host)
		first, err := bufio.NewReader(c).ReadString('\n')
		if err != nil {
			t.Fatal(err)
		}
		if strings.Contains(first, "503") {
			break
		}
		if i > serve.MostFeeds {
			t.Fatal("there is no end of event streams")
		}
	}
}

func waitForVersion(t *testing.T, p *shownPage, n int) {
	t.Helper()
	for end := time.Now().Add(patient); time.Now().Before(end); time.Sleep(5 * time.Millisecond) {
		if _, text, _ := request(t, "GET", p.address+"states", nil); strings.Contains(text, fmt.Sprintf(`"version":%d,`, n)) && strings.Contains(text, `"done":true`) {
			return
		}
	}
	t.Fatalf("version %d does not come", n)
}
