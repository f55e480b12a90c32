package main

import (
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"barover/render/terminal"
	"barover/sketch/syntax"
)

// problemPattern finds the messages of every verb in its output, for the problem lists of editors: the file, line and
// column, both from 1, and what is wrong. Notes at other places of a sketch have the same form. Lines of the sketch and
// help beneath them begin with a blank, and do not match.
const problemPattern = `^(\S.*?):(\d+):(\d+): (.*)$`

func newWords(c *console) *cobra.Command {
	var asGrammar bool
	cmd := &cobra.Command{
		Use:   "words [WORD]",
		Short: "Every statement of the language with its form",
		Long: `words lists what a sketch may say: every statement with its form and what it means, the shapes of profiles, the
functions of sums and the units. With a WORD it prints that one alone.

Messages of all verbs have the form FILE:LINE:COLUMN: TEXT. The problem list of an editor finds them by

    ` + problemPattern + `

which gives file, line, column and text; in Vim by errorformat=%f:%l:%c:\ %m.`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) > 1 {
				return fmt.Errorf("words takes one WORD or none, not %d: barover %s", len(args), cmd.Use)
			}
			return nil
		},
		ValidArgsFunction: func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			if len(args) > 0 {
				return nil, cobra.ShellCompDirectiveNoFileComp
			}
			return syntax.Reserved(), cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(_ *cobra.Command, args []string) error {
			var text string
			switch {
			case asGrammar:
				b, err := grammar()
				if err != nil {
					return err
				}
				text = string(b)
			case len(args) == 0:
				text = allWords()
			default:
				if text = oneWord(args[0]); text == "" {
					return unknownWord(args[0])
				}
			}
			_, err := io.WriteString(c.out, text)
			return err
		},
	}
	cmd.Flags().BoolVar(&asGrammar, "grammar", false, "print a TextMate grammar of the language instead, for editors")
	return cmd
}

// conventions say how to read the forms.
var conventions = []string{
	"One statement a line; a line that begins with a blank continues the line above; # begins a comment.",
	"In a form, words in capitals stand for what is yours to write: V a sum; U, V a pair of sums; W a place, which is U, V or " +
		"the name of a point that is fixed on the part; P, Q and R points; E a sum that may measure points. […] may be left out, " +
		"A | B is a choice.",
	"A bare number takes the sketch's unit, or degrees. Write fractions as on drawings: 3/8, 5 1/4, 5¼.",
}

// allWords is the whole language.
func allWords() string {
	var b strings.Builder
	for _, l := range conventions {
		b.WriteString(strings.Join(terminal.Folded(l, "", terminal.Width), "\n") + "\n")
	}
	heading := func(s string) { b.WriteString("\n" + s + "\n\n") }
	heading("STATEMENTS")
	for _, w := range syntax.Words() {
		b.WriteString(inForms(w.Forms))
	}
	heading("SHAPES of a profile, in the part's axes")
	for _, w := range syntax.Shapes() {
		b.WriteString(inForms(w.Forms))
	}
	heading("FUNCTIONS")
	b.WriteString(inColumns(functionForms()))
	heading("UNITS, which touch their number")
	b.WriteString(inColumns(syntax.UnitForms()))
	heading("no names of yours either: pi, and frame for the fixed part")
	return strings.TrimSuffix(b.String(), "\n")
}

func functionForms() (forms []syntax.Form) {
	for _, f := range syntax.Functions() {
		forms = append(forms, syntax.Form{Form: f.Form, Meaning: f.Meaning})
	}
	return forms
}

// inForms puts each form on a line and what it means beneath.
func inForms(forms []syntax.Form) string {
	var b strings.Builder
	for _, f := range forms {
		b.WriteString(f.Form + "\n" + strings.Join(terminal.Folded(f.Meaning, "    ", terminal.Width), "\n") + "\n")
	}
	return b.String()
}

// inColumns puts short forms beside what they mean.
func inColumns(forms []syntax.Form) string {
	var g terminal.Grid
	for _, f := range forms {
		g.Row(nil, f.Form, f.Meaning)
	}
	return g.Text()
}

// oneWord is what the language says about a word: the statements, shapes, functions and units of that name, and other
// forms that have it; "" where it is no word of the language.
func oneWord(word string) string {
	var own, others string
	for _, w := range append(syntax.Words(), syntax.Shapes()...) {
		if w.Word == word {
			own += inForms(w.Forms)
			continue
		}
		for _, f := range w.Forms {
			if slices.Contains(wordsOf(f.Form), word) {
				others += inForms([]syntax.Form{f})
			}
		}
	}
	if f, ok := syntax.LookUpFunction(word); ok {
		own += inForms([]syntax.Form{{Form: f.Form, Meaning: f.Meaning}})
	}
	for _, u := range syntax.UnitForms() {
		if u.Form == word {
			own += "a unit: " + u.Meaning + "\n"
		}
	}
	switch word {
	case "pi":
		own += "pi\n    3.14159…, half a turn in radians\n"
	case "frame":
		own += "frame\n    the part that is always there and does not move, with the axes x y\n"
	}
	if own != "" && others != "" {
		return own + "\nalso in\n\n" + others
	}
	return own + others
}

var wordPattern = regexp.MustCompile(`"[^"]*"|[A-Za-z]+`)

// wordsOf are the literal words of a form.
func wordsOf(form string) (words []string) {
	for _, w := range wordPattern.FindAllString(form, -1) {
		if w == strings.ToLower(w) && w[0] != '"' {
			words = append(words, w)
		}
	}
	return words
}

func unknownWord(word string) error {
	if near := syntax.Likely(word); near != "" {
		return fmt.Errorf("%s is no word of the language: did you mean %s?", word, near)
	}
	return fmt.Errorf("%s is no word of the language: barover words lists them all", word)
}
