package machine

import (
	"bytes"
	"context"
	"sync/atomic"
	"testing"

	"barover/solver"
)

// A panic in a worker goes on in whoever waits, with the place that it came from, and the others finish before.
func TestPanicInACrewGoesOnInItsWait(t *testing.T) {
	var done atomic.Int32
	defer func() {
		r, ok := recover().(*solver.Raised)
		if !ok || r.Cause != "no such wheel" || !bytes.Contains(r.Stack, []byte("breakDown")) {
			t.Errorf("recovered %+v, want the panic of the goroutine and where it came from", r)
		}
		if got := done.Load(); got != 2 {
			t.Errorf("%d others are done, want 2", got)
		}
	}()
	var outer solver.Crew
	outer.Go(func() { done.Add(1) })
	outer.Go(func() {
		var inner solver.Crew
		inner.Go(breakDown)
		inner.Go(func() { done.Add(1) })
		inner.Wait()
	})
	outer.Wait()
	t.Error("Wait came back")
}

func breakDown() { panic("no such wheel") }

// So it is with work that is shared out.
func TestPanicInSharedWork(t *testing.T) {
	defer func() {
		if r, ok := recover().(*solver.Raised); !ok || r.Cause != "no such wheel" {
			t.Errorf("recovered %+v", r)
		}
	}()
	err := Share(context.Background(), Options{Workers: 2}, 10, func(i int) error {
		if i == 4 {
			breakDown()
		}
		return nil
	})
	t.Errorf("share came back with %v", err)
}
