package syntax

import (
	"reflect"
	"slices"
)

// Each name in a statement has a tag that says what it names: `names:"point"` where the statement uses the name of a point,
// `gives:"point"` where it gives a point its name. Walk leaves out names with the tag `names:"-"`.

// namedWords are the words used in the tags.
var namedWords = [...]string{NamesPoint: "point", NamesLine: "guide", NamesProfile: "profile", NamesFigure: "figure", NamesPart: "part",
	NamesCase: "case", NamesMark: "mark", NamesChart: "chart", NamesColumn: "column"}

// Visitor holds the functions that Walk calls; none may be nil. They may change the names.
type Visitor struct {
	Given     func(of Named, n *Name) // a name that the statement gives
	Used      func(of Named, n *Name) // a name that the statement uses
	Qualified func(*Qualified)        // a part or a profile of a part
	Sum       func(Expr)              // a whole sum, not its operands
}

// Walk calls the visitor's functions for the names and the whole sums of a statement, in the order of its fields.
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

// fields walks over the fields of a struct. If the struct itself has the tag names:"-", so have all its fields.
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
