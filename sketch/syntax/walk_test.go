package syntax

import (
	"reflect"
	"slices"
	"testing"
)

// TestNamesAreTagged requires a known tag on every name in every statement. Without it, use … as would not rename that name.
func TestNamesAreTagged(t *testing.T) {
	seen := map[reflect.Type]bool{}
	names := 0
	var look func(reflect.Type)
	look = func(in reflect.Type) {
		for in.Kind() == reflect.Pointer || in.Kind() == reflect.Slice {
			in = in.Elem()
		}
		if in.Kind() != reflect.Struct || seen[in] || in == reflect.TypeFor[Name]() || in == reflect.TypeFor[Qualified]() {
			return
		}
		seen[in] = true
		for i := range in.NumField() {
			f := in.Field(i)
			if of := f.Type; of == reflect.TypeFor[Name]() || of == reflect.TypeFor[*Name]() || of == reflect.TypeFor[[]Name]() {
				names++
				word, gives := f.Tag.Lookup("gives")
				if !gives {
					word = f.Tag.Get("names")
				}
				if word != "-" && !slices.Contains(namedWords[:], word) {
					t.Errorf("%s.%s has the tag %q", in.Name(), f.Name, f.Tag)
				}
			}
			look(f.Type)
		}
	}
	for _, w := range statements {
		p := parser{file: &File{Text: "x"}, tokens: []token{{kind: nameToken, span: Span{0, 1}}}, at: 1, word: &w}
		look(reflect.TypeOf(w.parse(&p)))
	}
	if names < 30 {
		t.Errorf("%d names were looked at", names)
	}
}
