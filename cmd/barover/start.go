package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"barover/examples/start"
)

func newStart(c *console) *cobra.Command {
	return &cobra.Command{
		Use:   "start [NAME [FILE]]",
		Short: "Sketches to begin from",
		Long: `start lists the starters: whole sketches of common machines, each of which holds as it is. With a NAME it writes
one, as NAME.motion in this folder or as FILE. It never touches an existing file.

A starter begins with the dimensions that you read off your drawing. Its first line names a dimension and the foul that
another value of it makes.`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) > 2 {
				return fmt.Errorf("start takes a NAME and a FILE at most, not %d words: barover %s", len(args), cmd.Use)
			}
			return nil
		},
		ValidArgsFunction: func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			list, err := start.All()
			if err != nil || len(args) > 0 {
				return nil, cobra.ShellCompDirectiveDefault
			}
			return names(list), cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(_ *cobra.Command, args []string) error { return c.start(args) },
	}
}

func (c *console) start(args []string) error {
	list, err := start.All()
	if err != nil {
		return err
	}
	if len(args) == 0 {
		return c.listStarters(list)
	}
	for i := range list {
		if list[i].Name == args[0] {
			path := list[i].Name + ".motion"
			if len(args) == 2 {
				path = args[1]
			}
			return c.writeStarter(&list[i], path)
		}
	}
	return noSuch("starter", args[0], names(list), "the starters are "+strings.Join(names(list), ", "))
}

func names(list []start.Starter) (out []string) {
	for i := range list {
		out = append(out, list[i].Name)
	}
	return out
}

func (c *console) listStarters(list []start.Starter) error {
	var b strings.Builder
	for i := range list {
		fmt.Fprintf(&b, "%-22s %s\n", list[i].Name, list[i].Title)
	}
	b.WriteString("\nbarover start NAME writes one to begin from.\n")
	_, err := io.WriteString(c.out, b.String())
	return err
}

// writeStarter writes a new file, and never over an existing one.
func (c *console) writeStarter(s *start.Starter, path string) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("%s exists already: name another FILE, barover start %s FILE", path, s.Name)
	}
	if err != nil {
		return err
	}
	_, err = io.WriteString(f, s.Text)
	if err = errors.Join(err, f.Close()); err != nil {
		return errors.Join(err, os.Remove(path))
	}
	_, err = fmt.Fprintf(c.out, "%s: %s\nNow: barover check %s\n%s\n", filepath.ToSlash(path), s.Title, path, s.Promise)
	return err
}
