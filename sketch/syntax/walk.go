package syntax

import (
	"reflect"
	"slices"
)

// The fields of statements say in a tag what their names are names of: `names:"point"` of one that is used,
// `gives:"point"` of one that the statement gives. A name with the tag `names:"-"` is not walked over.

// namedWords are the words of the tags.
var namedWords = [...]string{NamesPoint: "point", NamesLine: "guide", NamesProfile: "profile", NamesFigure: "figure", NamesPart: "part",
	NamesCase: "case", NamesMark: "mark", NamesChart: "chart", NamesColumn: "column"}

// Visitor sees what a statement is made of. It may change the names.
type Visitor struct {
	Given     func(of Named, n *Name) // a name that the statement gives
	Used      func(of Named, n *Name)
	Qualified func(*Qualified)
	Sum       func(Expr)
}

// Walk shows a visitor the names and the whole sums of a statement.
func Walk(s Statement, to Visitor) { to.value(reflect.ValueOf(s), "") }

func (to Visitor) value(v reflect.Value, tag reflect.StructTag) {
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		if x, isSum := v.Interface().(Expr); isSum && v.Kind() == reflect.Interface {
			to.Sum(x)
		} else if !v.IsNil() {
			to.value(v.Elem(), tag)
		}
	case reflect.Slice:
		for i := range v.Len() {
			to.value(v.Index(i), tag)
		}
	case reflect.Struct:
		switch x := v.Addr().Interface().(type) {
		case *Name:
			to.name(x, tag)
		case *Qualified:
			to.Qualified(x)
		default:
			to.fields(v, tag)
		}
	}
}

// fields shows what a struct is made of. Where its own tag is "-", so are those of its names.
func (to Visitor) fields(v reflect.Value, tag reflect.StructTag) {
	for i := range v.NumField() {
		of := v.Type().Field(i).Tag
		if tag.Get("names") == "-" {
			of = tag
		}
		to.value(v.Field(i), of)
	}
}

func (to Visitor) name(n *Name, tag reflect.StructTag) {
	if word, ok := tag.Lookup("gives"); ok {
		to.Given(Named(slices.Index(namedWords[:], word)), n)
	} else if word := tag.Get("names"); word != "-" {
		to.Used(Named(slices.Index(namedWords[:], word)), n)
	}
}
