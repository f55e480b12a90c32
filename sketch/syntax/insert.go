package syntax

import "strings"

// AfterCases is the sketch with further lines after its last case. Where it has no case they come after its last
// dimension, and where it has no dimension at its end. The rest of the sketch stays as it is written, comments included;
// lines end as the first one does. A sketch that has mistakes, with the lines or without, is returned unchanged, with the
// messages of Parse.
func AfterCases(path, text string, lines []string) (string, []Message) {
	f, messages := Parse(path, text)
	if len(messages) > 0 {
		return text, messages
	}
	end := lineFeed(text)
	at := len(text)
	if last := lastGiving(f); last != nil {
		at = int(last.Where().End)
		if i := strings.IndexByte(text[at:], '\n'); i >= 0 {
			at += i + 1
		} else {
			at = len(text)
		}
	}
	added := strings.Join(lines, end) + end
	if at == len(text) && text != "" && !strings.HasSuffix(text, "\n") {
		added = end + added
	}
	with := text[:at] + added + text[at:]
	if _, messages := Parse(path, with); len(messages) > 0 {
		return text, messages
	}
	return with, nil
}

// lastGiving is the last case of a file; else the last statement that gives a dimension a value; nil for none.
func lastGiving(f *File) (last Statement) {
	isCase := false
	for _, s := range f.Statements {
		switch s.(type) {
		case *Case:
			last, isCase = s, true
		case *Dim, *Stock:
			if !isCase {
				last = s
			}
		}
	}
	return last
}
