package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"

	"barover/render/report"
	"barover/render/terminal"
	"barover/sketch/syntax"
	"barover/solver"
)

// unusable is the exit status where the sketch or the command line cannot be used.
const unusable = 2

// ending is an exit status, after the command has printed everything. It travels as an error, since cobra hands results
// up that way.
type ending int

func (e ending) Error() string { return fmt.Sprintf("exit status %d", int(e)) }

// run carries out one command line and returns the exit status.
func run(ctx context.Context, args []string, c *console) int {
	return carryOut(c, func(c *console) error {
		root := newRoot(c)
		root.SetFlagErrorFunc(func(cmd *cobra.Command, err error) error { return wrongFlag(cmd, args, err) })
		root.SetArgs(args)
		return root.ExecuteContext(ctx)
	})
}

// carryOut does a piece of work and turns its result into an exit status.
func carryOut(c *console, work func(*console) error) (status int) {
	defer func() {
		if fault := recover(); fault != nil {
			c.confess(fault)
			status = unusable
		}
	}()
	err := work(c)
	if err == nil {
		err = c.failed() // of what the library prints: help, completions
	}
	var end ending
	switch {
	case err == nil:
		return report.AllHolds
	case errors.As(err, &end):
		return int(end)
	case errors.Is(err, context.Canceled):
		err = errors.New("stopped")
	}
	c.complain(err)
	return unusable
}

// confess reports a panic, with where it came from.
func (c *console) confess(fault any) {
	stack := debug.Stack()
	if r, ok := fault.(*solver.Raised); ok {
		stack = r.Stack
	}
	fmt.Fprintf(c.err, "barover: this is a mistake in barover itself, not in the sketch: %v\n%s", fault, stack)
}

// complain prints what went wrong: messages about a sketch, or one line for each error.
func (c *console) complain(err error) {
	if messages, ok := errors.AsType[syntax.Messages](err); ok {
		_ = syntax.Print(c.err, messages) // where else could it be said
		return
	}
	for line := range strings.SplitSeq(err.Error(), "\n") {
		fmt.Fprintf(c.err, "barover: %s\n", line)
	}
}

// newRoot is the command with all its verbs.
func newRoot(c *console) *cobra.Command {
	root := &cobra.Command{
		Use:   "barover",
		Short: "Turn an engine over on paper",
		Long: `barover reads a sketch of an engine's rods, bars and cranks (a text file NAME.motion),
turns it over on paper, and says what touches what, where in the turn and by how much.

    barover show  FILE.motion     a page beside the editor, to turn by hand
    barover draw  FILE.motion     all its positions, as FILE.svg and FILE.pdf
    barover watch FILE.motion     the same, again at every save
    barover check FILE.motion     what holds and what does not`,
		Args:          knownVerb,
		Version:       builtFrom(debug.ReadBuildInfo()),
		SilenceUsage:  true,
		SilenceErrors: true,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if err := cmd.Help(); err != nil {
				return err
			}
			return ending(unusable)
		},
	}
	root.SetOut(c.out)
	root.SetErr(c.err)
	root.AddCommand(newStart(c), newShow(c), newDraw(c), newWatch(c), newCheck(c), newTable(c), newTidy(c), newTemplate(c), newWords(c))
	root.AddCommand(newCompare(c), newLedger(c), newSeek(c), newMend(c), newSpread(c), newSlopes(c))
	foldHelp(root)
	root.SetVersionTemplate("{{.Name}} {{.Version}}\n")
	root.InitDefaultHelpCmd()
	if help, _, err := root.Find([]string{"help"}); err == nil {
		help.Args = knownTopic
	}
	return root
}

// shown is a verb's answer: an object of JSON, the text for a person, and the exit status.
type shown interface {
	Text(c terminal.Ink) string
	Status() int
}

// show prints a verb's answer as text or JSON, and ends with its status. If err is not nil there is no answer, and show returns
// err.
func (c *console) show(r shown, err error, asJSON bool) error {
	switch {
	case err != nil:
		return err
	case asJSON:
		return c.printJSON(r, r.Status())
	}
	return c.print(r.Text(terminal.Ink(c.colour)), r.Status())
}

// print prints a text, and ends with a status.
func (c *console) print(text string, status int) error {
	if _, err := io.WriteString(c.out, text); err != nil {
		return err
	}
	return endWith(status)
}

// printJSON prints one object, indented, with a line feed at its end, and ends with a status.
func (c *console) printJSON(v any, status int) error {
	b, err := inJSON(v)
	if err != nil {
		return err
	}
	return c.print(string(b), status)
}

// inJSON returns an object as indented JSON with a line feed at its end.
func inJSON(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	err := e.Encode(v)
	return b.Bytes(), err
}

// endWith is the error for a status: none where all went well.
func endWith(status int) error {
	if status == report.AllHolds {
		return nil
	}
	return ending(status)
}
