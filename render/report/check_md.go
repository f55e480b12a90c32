package report

import (
	"cmp"
	"path"
	"strings"

	"barover/render/terminal"
)

// Markdown is the report in Markdown, to lie beside the sketch: what text says, and the same from the same sketch, whatever
// folder it is asked from.
func (r *Report) Markdown(long bool) string {
	var b strings.Builder
	here := *r
	here.Sketch = path.Base(r.Sketch)
	r = &here
	b.WriteString("# " + terminal.Escaped(cmp.Or(r.title, r.Sketch)) + "\n\n" + terminal.Escaped(r.heading()) + "\n")
	for _, s := range r.sections(long) {
		b.WriteString(s.Markdown())
	}
	b.WriteString(r.marksMarkdown(long))
	b.WriteString(r.neverMarkdown())
	for _, s := range r.figures(long) {
		b.WriteString(s.Markdown())
	}
	for _, s := range r.acrossSections() {
		b.WriteString(s.Markdown())
	}
	for _, text := range []string{r.passesText(), r.onlyAssembled(), r.omitted(long), r.openSlotsText(), strings.Join(r.slips, "\n"), r.Surety(), r.Caution()} {
		if text != "" {
			b.WriteString("\n" + terminal.Escaped(text) + "\n")
		}
	}
	b.WriteString("\n**" + terminal.Escaped(r.Sentence()) + "**\n")
	return b.String()
}
