// Command barover reads a sketch of an engine's moving parts, turns it over on paper, and says what touches what, where
// in the turn and by how much.
//
// Each verb has one file here. A verb reads its flags, calls sketch, solver and render, prints the answer and sets the
// exit status. The answer itself is computed elsewhere.
//
// A newcomer may add a verb or a flag: a file beside the others, a line in newRoot, a script in testdata/script.
package main

import (
	"barover/render/terminal"
	"context"
	"os"
	"os/signal"
	"runtime/debug"
	"syscall"
)

func main() { os.Exit(onTerminal()) }

// onTerminal runs the command line until it is done or interrupted.
func onTerminal() int {
	collectLess()
	ctx, stop := interruptible()
	defer stop()
	terminal.Width = widthOf(os.Stdout)
	return run(ctx, os.Args[1:], newConsole(os.Stdout, os.Stderr))
}

// collectLess lets the heap grow to five times the live memory before it is collected, instead of twice, unless GOGC is set.
// Live memory is small. A picture of a small engine, and a PDF of all its sheets, is finished before the first collection, and
// takes a tenth less processor time.
func collectLess() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(400)
	}
}

// interruptible is a context that ends with the first interrupt. After that a second one ends the program at once, since
// not every piece of work checks the context.
func interruptible() (context.Context, context.CancelFunc) {
	ctx, cancel := context.WithCancel(context.Background())
	interrupts := make(chan os.Signal, 1)
	signal.Notify(interrupts, os.Interrupt, syscall.SIGTERM)
	go func() {
		select {
		case <-interrupts:
			cancel()
			// Its usual way to end the program is no help: a shell starts what is to run behind it with interrupts ignored.
			if second, ok := (<-interrupts).(syscall.Signal); ok {
				os.Exit(128 + int(second))
			}
		case <-ctx.Done():
			signal.Stop(interrupts)
		}
	}()
	return ctx, cancel
}
