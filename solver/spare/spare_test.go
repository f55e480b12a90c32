package spare_test

import (
	"errors"
	"runtime"
	"sync"
	"sync/atomic"
	"testing"
	"weak"

	"barover/solver/spare"
)

// What is put back is handed out again, nothing twice at once, and a new one only where none is left.
func TestPool(t *testing.T) {
	made := 0
	p := spare.Pool[*int]{New: func() *int { made++; return new(int) }}
	a, b := p.Must(), p.Must()
	if a == b || made != 2 {
		t.Fatalf("two out at once: same %v, %d made; want two", a == b, made)
	}
	p.Put(a)
	if c := p.Must(); c != a || made != 2 {
		t.Errorf("got another one and %d made; want the one put back", made)
	}
	var none spare.Pool[*int]
	if v, ok := none.Get(); ok || v != nil {
		t.Errorf("an empty pool that makes none gave %v", v)
	}
}

// Several goroutines never hold the same one.
func TestPoolOfSeveral(t *testing.T) {
	p := spare.Pool[*int]{New: func() *int { return new(int) }}
	var wait sync.WaitGroup
	for range 4 {
		wait.Go(func() {
			for range 2000 {
				v := p.Must()
				if *v++; *v != 1 {
					t.Error("one is held twice")
				}
				*v--
				p.Put(v)
			}
		})
	}
	wait.Wait()
}

// What an owner has left is gone with the owner at the next collection.
func TestPoolDiesWithItsOwner(t *testing.T) {
	type owner struct {
		pool spare.Pool[*owner]
	}
	o := new(owner)
	o.pool.Put(o)
	w := weak.Make(o)
	runtime.GC()
	if w.Value() != nil {
		t.Error("an owner that nobody holds is kept alive by its pool")
	}
}

// TestOnce requires that goroutines compute each key once, and that errors are not kept.
func TestOnce(t *testing.T) {
	var o spare.Once[int, int]
	var found [10]atomic.Int32
	var wait sync.WaitGroup
	for range 8 {
		wait.Go(func() {
			for k := range found {
				if v, err := o.Get(k, func() (int, error) { return k * k, failsFirst(&found[k]) }); err == nil && v != k*k {
					t.Errorf("%d at %d", v, k)
				}
			}
		})
	}
	wait.Wait()
	for k := range found {
		if v, err := o.Get(k, func() (int, error) { return -1, nil }); v != k*k || err != nil {
			t.Errorf("%d, %v at %d", v, err, k)
		}
		if n := found[k].Load(); n != 2 {
			t.Errorf("%d was found %d times, want one failure and one success", k, n)
		}
	}
}

func failsFirst(n *atomic.Int32) error {
	if n.Add(1) == 1 {
		return errors.New("the first time")
	}
	return nil
}
