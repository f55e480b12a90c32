package report

import (
	"cmp"
	"path"
	"strings"

	"barover/render/terminal"
)

// part is a table or a paragraph of a report, between its heading and its last sentence. Its texts are "" where it is empty.
type part interface {
	Text(c terminal.Ink) string
	Markdown() string
}

// parts returns the parts of a report in order; they are the same on a terminal and in Markdown.
func (r *Report) parts(long bool) (list []part) {
	add := func(sections ...terminal.Section) {
		for i := range sections {
			list = append(list, &sections[i])
		}
	}
	add(r.sections(long)...)
	list = append(list, r.marks(long), never{r.never, len(r.Marks) == 0})
	add(r.figures(long)...)
	add(r.acrossSections()...)
	for _, text := range []string{r.passesText(), r.onlyAssembled(), r.omitted(long), r.openSlotsText(), strings.Join(r.slips, "\n"), r.scansText()} {
		list = append(list, words{text, true})
	}
	return append(list, words{r.Surety(), true}, words{r.Caution(), false})
}

// words are paragraphs, one to a line. On a terminal an empty line comes before them if apart is set.
type words struct {
	text  string
	apart bool
}

func (w words) Text(terminal.Ink) string {
	text := ""
	for said := range strings.SplitSeq(w.text, "\n") {
		text += terminal.Paragraph(said, "")
	}
	if w.apart && text != "" {
		return "\n" + text
	}
	return text
}

func (w words) Markdown() string {
	if w.text == "" {
		return ""
	}
	return "\n" + terminal.Escaped(w.text) + "\n"
}

// Markdown is the report in Markdown, to lie beside the sketch: what text says, and the same from the same sketch, whatever
// folder it is asked from.
func (r *Report) Markdown(long bool) string {
	here := *r
	here.Sketch = path.Base(r.Sketch)
	r = &here
	var b strings.Builder
	b.WriteString("# " + terminal.Escaped(cmp.Or(r.title, r.Sketch)) + "\n\n" + terminal.Escaped(r.heading()) + "\n")
	for _, p := range r.parts(long) {
		b.WriteString(p.Markdown())
	}
	return b.String() + "\n**" + terminal.Escaped(r.Sentence()) + "**\n"
}
