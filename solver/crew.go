package solver

import (
	"fmt"
	"runtime/debug"
	"sync"
)

// Crew is several goroutines on one piece of work, like a sync.WaitGroup. A panic in one of them would end the program
// before anybody could say whose mistake it is. Here it continues in Wait, where the caller may catch it. The zero Crew
// is ready for use.
type Crew struct {
	wait  sync.WaitGroup
	once  sync.Once
	cause *Raised
}

// Raised is a panic of one goroutine that continues in another.
type Raised struct {
	Cause any
	Stack []byte // where it came from
}

func (r *Raised) Error() string { return fmt.Sprint(r.Cause) }

// Go does a piece of the work in a goroutine of its own.
func (c *Crew) Go(work func()) {
	c.wait.Go(func() {
		defer func() {
			if cause := recover(); cause != nil {
				c.once.Do(func() { c.cause = raised(cause) })
			}
		}()
		work()
	})
}

// raised keeps the stack of the original panic, however many crews it passes through.
func raised(cause any) *Raised {
	if r, ok := cause.(*Raised); ok {
		return r
	}
	return &Raised{cause, debug.Stack()}
}

// Wait waits until all are done. It panics with *Raised if one of them did.
func (c *Crew) Wait() {
	c.wait.Wait()
	if c.cause != nil {
		panic(c.cause)
	}
}
