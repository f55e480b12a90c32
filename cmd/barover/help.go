package main

import (
	"regexp"
	"strings"

	"barover/render/terminal"

	"github.com/spf13/cobra"
)

// The library keeps one set of template functions for all commands of a program. They are added once, since several commands
// may be made at the same time.
func init() {
	cobra.AddTemplateFunc("flagsFolded", func(c *cobra.Command) string { return c.LocalFlags().FlagUsagesWrapped(terminal.Width) })
	cobra.AddTemplateFunc("folded", foldedText)
}

// foldHelp folds the help of a command and of all its verbs into lines no wider than terminal.Width.
func foldHelp(root *cobra.Command) {
	root.SetHelpTemplate(`{{with (or .Long .Short)}}{{. | folded}}
{{end}}{{if or .Runnable .HasSubCommands}}{{.UsageString}}{{end}}`)
	root.SetUsageTemplate(strings.ReplaceAll(root.UsageTemplate(), ".LocalFlags.FlagUsages |", "flagsFolded . |"))
}

// indented is a line that is printed unchanged: a table or a command.
var indented = regexp.MustCompile(`^\s`)

// foldedText folds each paragraph of a text to the width of a page. Lines that begin with a blank stay as they are.
func foldedText(text string) string {
	var lines, paragraph []string
	flush := func() {
		lines = append(lines, terminal.Folded(strings.Join(paragraph, " "), "", terminal.Width)...)
		paragraph = nil
	}
	for line := range strings.SplitSeq(text, "\n") {
		if line == "" || indented.MatchString(line) {
			flush()
			lines = append(lines, line)
			continue
		}
		paragraph = append(paragraph, line)
	}
	flush()
	return strings.TrimRight(strings.Join(lines, "\n"), "\n") + "\n"
}
