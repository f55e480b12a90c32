package main

import (
	"strings"

	"github.com/spf13/cobra"

	"barover/sketch"
	"barover/sketch/syntax"
)

// completeSketch offers the sketches of the folder.
func completeSketch(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	return []string{"motion"}, cobra.ShellCompDirectiveFilterFileExt
}

// completeValues offers, for the flags that choose values, the cases and dimensions of the sketch on the command line.
func completeValues(cmd *cobra.Command) {
	offer := func(flag string, f func(args []string) []string, d cobra.ShellCompDirective) {
		err := cmd.RegisterFlagCompletionFunc(flag, func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			return f(args), d
		})
		cobra.CheckErr(err)
	}
	offer("as", func([]string) []string { return []string{"drawn\tthe dim lines alone"} }, cobra.ShellCompDirectiveNoFileComp)
	offer("case", casesOf, cobra.ShellCompDirectiveNoFileComp)
	offer("set", dimsOf, cobra.ShellCompDirectiveNoFileComp|cobra.ShellCompDirectiveNoSpace)
}

// casesOf lists the cases of a sketch, each with what it changes. A sketch with mistakes has those that can be read.
func casesOf(args []string) (names []string) {
	eachStatement(args, func(f *syntax.File, s syntax.Statement) {
		if k, ok := s.(*syntax.Case); ok {
			_, sets, _ := strings.Cut(oneLine(f.SpanText(k.Span)), ":")
			names = append(names, k.Name.Text+"\t"+strings.TrimSpace(sets))
		}
	})
	return names
}

// dimsOf lists the dimensions of a sketch, each with its note.
func dimsOf(args []string) (names []string) {
	eachStatement(args, func(_ *syntax.File, s syntax.Statement) {
		if d, ok := s.(*syntax.Dim); ok && d.Word == "dim" {
			names = append(names, d.Name.Text+"=\t"+d.Note.Text)
		}
	})
	return names
}

func eachStatement(args []string, do func(*syntax.File, syntax.Statement)) {
	if len(args) == 0 {
		return
	}
	sk, _ := sketch.Load(args[0], sketch.Options{})
	for _, f := range sk.Files {
		for _, s := range f.Statements {
			do(f, s)
		}
	}
}
