package main

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"barover/sketch/syntax"
)

// knownVerb reports a first word that is no verb: a verb misspelt, or a sketch without one.
func knownVerb(root *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	word := args[0]
	if isSketch(word) {
		verb := "check"
		if len(args) > 1 && slices.Contains(verbs(root), args[1]) {
			verb = args[1]
		}
		return fmt.Errorf("%s is a sketch, and a verb comes before it: barover %s %s; the verbs for a sketch are %s",
			word, verb, word, strings.Join(verbsForSketch(root), ", "))
	}
	return noVerb(root, word)
}

// knownTopic checks that help is asked for a verb that exists.
func knownTopic(help *cobra.Command, args []string) error {
	if len(args) > 0 && !slices.Contains(verbs(help.Root()), args[0]) {
		return noVerb(help.Root(), args[0])
	}
	return nil
}

func noVerb(root *cobra.Command, word string) error {
	return noSuch("verb", word, verbs(root), "barover -h lists them all")
}

// noSuch returns the error that there is no thing of that name. It suggests the nearest of names; where none is near it says
// otherwise.
func noSuch(thing, name string, names []string, otherwise string) error {
	return fmt.Errorf("there is no %s %s: %s", thing, name, cmp.Or(syntax.DidYouMean(name, names), otherwise))
}

// isSketch reports whether a word of the command line names a sketch, existing or not.
func isSketch(word string) bool {
	if filepath.Ext(word) == ".motion" {
		return true
	}
	_, err := os.Stat(word)
	return err == nil
}

// verbs are the words that may come first.
func verbs(root *cobra.Command) (list []string) {
	for _, v := range root.Commands() {
		list = append(list, v.Name())
	}
	return list
}

// verbsForSketch are those that take a sketch.
func verbsForSketch(root *cobra.Command) (list []string) {
	for _, v := range root.Commands() {
		if _, of, _ := strings.Cut(v.Use, " "); strings.HasPrefix(of, "FILE") {
			list = append(list, v.Name())
		}
	}
	return list
}

// wrongFlag says what is wrong with a flag in the words of the trade. Args are all words of the command line. Where no
// verb was found, the message is about the missing verb.
func wrongFlag(cmd *cobra.Command, args []string, err error) error {
	if verb := firstWord(args); !cmd.HasParent() && verb != "" {
		return knownVerb(cmd, []string{verb})
	}
	var unknown *pflag.NotExistError
	var value *pflag.InvalidValueError
	var lacking *pflag.ValueRequiredError
	switch {
	case errors.As(err, &unknown):
		return unknownFlag(cmd, unknown)
	case errors.As(err, &value):
		f := value.GetFlag()
		if paper, ok := f.Value.(*paperFlag); ok {
			return fmt.Errorf("--%s %s: %w", f.Name, value.GetValue(), paper.Set(value.GetValue()))
		}
		return fmt.Errorf("--%s takes %s, and %q is none", f.Name, takenBy(f), value.GetValue())
	case errors.As(err, &lacking):
		f := lacking.GetFlag()
		return fmt.Errorf("--%s takes %s, and none is given", f.Name, takenBy(f))
	}
	return err
}

// firstWord is the first word of a command line that is no flag; "" where there is none.
func firstWord(args []string) string {
	for _, a := range args {
		if !strings.HasPrefix(a, "-") {
			return a
		}
	}
	return ""
}

// takenBy says what value a flag takes.
func takenBy(f *pflag.Flag) string {
	switch f.Value.Type() {
	case "uint64", "uint":
		return "a whole number from 0"
	case "int":
		return "a whole number"
	case "float64":
		return "a number"
	case "bool":
		return "true or false"
	}
	return "a value"
}

// unknownFlag says which flag was probably meant.
func unknownFlag(cmd *cobra.Command, unknown *pflag.NotExistError) error {
	name, dashes := unknown.GetSpecifiedName(), "--"
	if unknown.GetSpecifiedShortnames() != "" {
		dashes = "-"
	}
	var names []string
	cmd.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
	if near := syntax.Nearest(name, names); near != "" {
		return fmt.Errorf("%s has no flag %s%s: did you mean --%s?", cmd.Name(), dashes, name, near)
	}
	return fmt.Errorf("%s has no flag %s%s: %s -h lists them all", cmd.Name(), dashes, name, cmd.CommandPath())
}
