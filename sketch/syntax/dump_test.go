package syntax

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"
	"testing"
	"unicode"
)

// dumped shows every statement of a file in one line, without the places: Word{Field: value, …}, sums with the sign
// before what it joins, (+ a 3in). Fields that were not written are left out.
func dumped(f *File) string {
	var b strings.Builder
	for _, s := range f.Statements {
		b.WriteString(dumpValue(reflect.ValueOf(s)) + "\n")
	}
	return b.String()
}

func dumpValue(v reflect.Value) string {
	switch x := v.Interface().(type) {
	case Name:
		return x.Text
	case Text:
		return strconv.Quote(x.Text)
	case *Number:
		return strconv.FormatFloat(x.Value, 'g', -1, 64) + []string{"", "mm", "cm", "m", "in", "thou", "deg", "rad"}[x.Unit]
	case *Ref:
		return x.Name.Text
	case *Unary:
		return fmt.Sprintf("(%c %s)", x.Op, dumpValue(reflect.ValueOf(x.X)))
	case *Binary:
		return fmt.Sprintf("(%c %s %s)", x.Op, dumpValue(reflect.ValueOf(x.X)), dumpValue(reflect.ValueOf(x.Y)))
	case *Call:
		return x.Func.Text + dumpValue(reflect.ValueOf(x.Args))
	case Span, At:
		return ""
	}
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		return dumpValue(v.Elem())
	case reflect.Slice:
		return dumpList(v)
	case reflect.Struct:
		return dumpStruct(v)
	}
	return fmt.Sprint(v.Interface())
}

func dumpList(v reflect.Value) string {
	list := make([]string, v.Len())
	for i := range list {
		list[i] = dumpValue(v.Index(i))
	}
	return "[" + strings.Join(list, " ") + "]"
}

func dumpStruct(v reflect.Value) string {
	var fields []string
	for i := range v.NumField() {
		if v.Field(i).IsZero() {
			continue
		}
		if s := dumpValue(v.Field(i)); s != "" {
			fields = append(fields, v.Type().Field(i).Name+": "+s)
		}
	}
	return v.Type().Name() + "{" + strings.Join(fields, ", ") + "}"
}

// checkSpans makes sure that places in a file are those of what is found there.
func checkSpans(t *testing.T, f *File) {
	last := int32(0)
	for _, s := range f.Statements {
		span := s.Where()
		if span.Start < last || span.End <= span.Start || int(span.End) > len(f.Text) {
			t.Errorf("a statement has the span %v after one that ends at %d", span, last)
		}
		last = span.End
		text := f.SpanText(span)
		inName := func(r rune) bool { return unicode.IsLetter(r) || '0' <= r && r <= '9' || r == '_' }
		word := text[:len(text)-len(strings.TrimLeftFunc(text, inName))]
		if likely(word, statementWords) == "" {
			t.Errorf("the statement %q does not begin with its word, nor with one like it", text)
		}
		checkWithin(t, f, reflect.ValueOf(s), span)
	}
}

// checkWithin makes sure that everything in v stands within the span, and that names and texts stand where they say.
func checkWithin(t *testing.T, f *File, v reflect.Value, within Span) {
	switch x := v.Interface().(type) {
	case Name:
		if got := f.SpanText(x.Span); got != x.Text && x.Text != "" {
			t.Errorf("the name %q is said to stand where %q stands", x.Text, got)
		}
	case Text:
		if got := strings.Trim(f.SpanText(x.Span), `"`); x.Given && got != strings.Trim(x.Text, `"`) {
			t.Errorf("the text %q is said to stand where %q stands", x.Text, got)
		}
	case Span:
		if x != (Span{}) && (x.Start < within.Start || x.End > within.End || x.End <= x.Start) {
			t.Errorf("%v in %q is not within %v", x, f.SpanText(within), within)
		}
		return
	case Expr:
		span := x.Where()
		if v.Kind() == reflect.Pointer && span.Start >= within.Start && span.End <= within.End {
			within = span // so that a sum covers all that it is made of
		}
	}
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			checkWithin(t, f, v.Elem(), within)
		}
	case reflect.Slice:
		for i := range v.Len() {
			checkWithin(t, f, v.Index(i), within)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			checkWithin(t, f, v.Field(i), within)
		}
	}
}

// comments are the comments of a sketch, in order, without blanks at their ends.
func comments(text string) []string {
	var list []string
	for start := 0; start < len(text); {
		end, next := lineEnd(text, start)
		if _, span := scanLine(text, start, end, nil, len(text)); span.Start < span.End {
			list = append(list, trimmed(text[span.Start:span.End]))
		}
		start = next
	}
	return list
}

// checkTidied makes sure that a tidied sketch means what it meant, keeps its comments and is tidy.
func checkTidied(t *testing.T, text, got string) {
	t.Helper()
	before, _ := Parse("", text)
	after, messages := Parse("", got)
	if len(messages) > 0 {
		t.Fatalf("tidy makes a mistake:\n%s", printed(t, messages))
	}
	if b, a := dumped(before), dumped(after); a != b {
		t.Fatalf("tidy changes the meaning of\n%s\nto\n%s", b, a)
	}
	if b, a := strings.Join(comments(text), "\n"), strings.Join(comments(got), "\n"); a != b {
		t.Fatalf("tidy changes the comments\n%s\nto\n%s", b, a)
	}
	if again, _ := Tidy("", got); again != got {
		t.Fatalf("tidy of tidy is not tidy:\n%s\nbecomes\n%s", got, again)
	}
	for _, line := range strings.Split(got, "\n") {
		if line = strings.TrimSuffix(line, "\r"); strings.TrimRight(line, " \t") != line {
			t.Fatalf("a tidied line ends with a blank: %q", line)
		}
	}
}
