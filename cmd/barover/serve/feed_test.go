package serve

import (
	"barover/render/sheet"
	"barover/sketch"
	"barover/sketch/syntax"
	"bufio"
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"
)

// TestFeedStays: an event stream outlives the time that a request has to come in; what does not come in is let go of.
func TestFeedStays(t *testing.T) {
	l, err := net.Listen("tcp4", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	one := NewSession(0, "none.motion", sketch.Options{}, sheet.Pick{})
	s := New([]*Session{one}, l.Addr().String())
	s.toRead = 500 * time.Millisecond // as long as a busy processor may let a request wait
	ctx, stop := context.WithCancel(t.Context())
	served := make(chan error, 1)
	go func() { served <- s.Serve(ctx, l) }()
	half, err := net.Dial("tcp", s.host)
	if err != nil {
		t.Fatal(err)
	}
	defer half.Close()
	fmt.Fprint(half, "GET / HT")
	r, err := http.Get(s.Address() + "feed")
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	in := bufio.NewReader(r.Body)
	for range 2 {
		if _, err := in.ReadString('\n'); err != nil {
			t.Fatal(err)
		}
	}
	time.Sleep(2 * s.toRead)
	one.mistaken(syntax.Messages{{Text: "later"}}, time.Now())
	if line, err := in.ReadString('\n'); err != nil || !strings.Contains(line, "later") {
		t.Errorf("after a while the feed gives %q, %v", line, err)
	}
	if err := half.SetReadDeadline(time.Now().Add(time.Minute)); err != nil {
		t.Fatal(err)
	}
	if _, err := io.ReadAll(half); err != nil {
		t.Errorf("half a request is waited for: %v", err)
	}
	stop()
	if err := <-served; err != nil {
		t.Error(err)
	}
}
