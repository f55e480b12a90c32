package spare_test

import (
	"runtime"
	"sync"
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
		pool  spare.Pool[*owner]
		large [1 << 16]byte
	}
	o := new(owner)
	o.pool.Put(o)
	w := weak.Make(o)
	runtime.GC()
	if w.Value() != nil {
		t.Error("an owner that nobody holds is kept alive by its pool")
	}
}
