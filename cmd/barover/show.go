package main

import (
	"context"
	"errors"
	"fmt"
	"net"
	"os/exec"
	"runtime"
	"strconv"

	"github.com/spf13/cobra"

	"barover/cmd/barover/follow"
	"barover/cmd/barover/serve"
)

func newShow(c *console) *cobra.Command {
	var v valueFlags
	var pick pickFlags
	var port int
	var open bool
	cmd := &cobra.Command{
		Use:   "show FILE…",
		Short: "A page beside the editor, to bar the engine over by hand",
		Long: `show prints the address of a page on this machine, for a browser beside the editor. The page has the engine to turn
by hand, what holds and what does not, the worst first, and what the last save changed. It follows every save of the
sketch and of the files that it uses. While a sketch cannot be used, the page shows the mistake over the last good
picture.

The page is for this machine alone, and its address works for this run alone. show writes nothing. Interrupt it (Ctrl-C)
to stop.`,
		Args:              someFiles,
		ValidArgsFunction: completeSketch,
		RunE: func(cmd *cobra.Command, args []string) error {
			o, err := v.options()
			if err != nil {
				return err
			}
			if port < 0 || port > 65535 {
				return fmt.Errorf("--port %d: a port is from 1 to 65535, 0 for a free one", port)
			}
			var all []*serve.Session
			for i, path := range args {
				if err := refuseFolder(path); err != nil {
					return err
				}
				all = append(all, serve.NewSession(i, path, o, pick.Pick))
			}
			return c.showPage(cmd.Context(), all, port, open)
		},
	}
	v.add(cmd)
	pick.add(cmd)
	cmd.Flags().IntVar(&port, "port", 0, "the `port` to listen on; a free one if left out")
	cmd.Flags().BoolVar(&open, "open", false, "open the page in the browser")
	return cmd
}

// showPage serves the page of some sketches until it is stopped.
func (c *console) showPage(ctx context.Context, all []*serve.Session, port int, open bool) error {
	l, err := net.Listen("tcp4", net.JoinHostPort("127.0.0.1", strconv.Itoa(port)))
	if err != nil {
		return fmt.Errorf("--port %d: it cannot be listened on: %w; leave out --port for a free one", port, errors.Unwrap(err))
	}
	s := serve.New(all, l.Addr().String())
	follow := follow.New()
	defer follow.Close()
	fmt.Fprintln(c.out, s.Address())
	if open {
		if err := openBrowser(s.Address()); err != nil {
			fmt.Fprintf(c.err, "barover: the browser cannot be opened (%v): go to the address yourself\n", err)
		}
	}
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	served := make(chan error, 1)
	go func() {
		err := s.Serve(ctx, l)
		stop(err)
		served <- err
	}()
	err = c.followSaves(ctx, follow, all)
	stop(nil)
	if e := <-served; e != nil && ctx.Err() != nil && !errors.Is(e, context.Canceled) {
		return e
	}
	return endOfWatch(err)
}

// followSaves has each sketch solved again whenever one of its files has new text. A newer save cancels the work for an
// older one.
func (c *console) followSaves(ctx context.Context, f *follow.Files, all []*serve.Session) error {
	defer func() {
		for _, s := range all {
			s.Cancel()
		}
	}()
	for {
		var files []string
		for _, s := range all {
			files = append(files, s.Files()...)
		}
		c.arm(f, files)
		// Look for changes only now, with every folder watched, so that a save in between is not lost.
		begun := false
		for _, s := range all {
			if s.Stale() {
				begun = true
				s.Begin(ctx)
			}
		}
		if begun {
			continue // the sketch may have other files now
		}
		if err := f.Next(ctx, nil); err != nil {
			return err
		}
	}
}

// openBrowser opens an address in the machine's browser.
func openBrowser(address string) error {
	name, args := "xdg-open", []string{address}
	switch runtime.GOOS {
	case "windows":
		name, args = "rundll32", []string{"url.dll,FileProtocolHandler", address}
	case "darwin":
		name = "open"
	}
	cmd := exec.Command(name, args...)
	if err := cmd.Start(); err != nil {
		return err
	}
	go func() { _ = cmd.Wait() }() // it has done its work, or reports a fault itself
	return nil
}
