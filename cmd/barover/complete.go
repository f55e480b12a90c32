package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"barover/render/terminal"
	"barover/sketch"
	"barover/sketch/syntax"
)

// completeSketch offers the sketches of the folder.
func completeSketch(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	return []string{"motion"}, cobra.ShellCompDirectiveFilterFileExt
}

// completeValues offers, for the flags that choose values, the cases and dimensions of the sketch on the command line.
func completeValues(cmd *cobra.Command) {
	offer(cmd, "as", cobra.ShellCompDirectiveNoFileComp, always("drawn\tthe dim lines alone"))
	offer(cmd, "case", cobra.ShellCompDirectiveNoFileComp, casesOf)
	offer(cmd, "set", cobra.ShellCompDirectiveNoFileComp|cobra.ShellCompDirectiveNoSpace, dimsOf)
}

// offer completes the value of a flag with words that may depend on the arguments.
func offer(cmd *cobra.Command, flag string, d cobra.ShellCompDirective, words func(args []string) []string) {
	cobra.CheckErr(cmd.RegisterFlagCompletionFunc(flag, func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
		return words(args), d
	}))
}

// always returns the same words for all arguments.
func always(words ...string) func([]string) []string { return func([]string) []string { return words } }

// casesOf lists the cases of a sketch, each with its changes. In a sketch with mistakes it lists those that can be read.
func casesOf(args []string) (names []string) {
	eachStatement(args, func(f *syntax.File, s syntax.Statement) {
		if k, ok := s.(*syntax.Case); ok {
			_, sets, _ := strings.Cut(terminal.OneLine(f.SpanText(k.Span)), ":")
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

// namesOfDims lists the names of the dimensions of a sketch.
func namesOfDims(args []string) (names []string) {
	for _, d := range dimsOf(args) {
		names = append(names, strings.Replace(d, "=\t", "\t", 1))
	}
	return names
}

// checksOf lists the checks of a sketch as --for takes them, each with its line and its note.
func checksOf(args []string) (words []string) {
	seen := map[string]bool{}
	eachStatement(args, func(f *syntax.File, s syntax.Statement) {
		what, note := "", ""
		switch s := s.(type) {
		case *syntax.Clear:
			what, note = "clear all", s.Note.Text
			if !s.All {
				what = "clear " + f.SpanText(s.A.Span) + " " + f.SpanText(s.B.Span)
			}
		case *syntax.Gap:
			what, note = "gap "+f.SpanText(s.A.Span)+" "+f.SpanText(s.B.Span), s.Note.Text
		case *syntax.Keep:
			what, note = "keep "+f.SpanText(s.Sum.Where()), s.Note.Text
		case *syntax.Length:
			if s.Loose {
				what = "loose " + s.P.Text + " " + s.Q.Text
			}
		}
		if what = terminal.OneLine(what); what == "" || seen[what] {
			return
		}
		seen[what] = true
		line, _ := f.Place(s.Where().Start)
		words = append(words, strings.TrimSpace(fmt.Sprintf("%s\tline %d  %s", what, line, note)))
	})
	return words
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
