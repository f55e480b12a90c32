package sketch

import (
	"errors"
	"io/fs"

	"barover/sketch/quantity"
	"barover/sketch/source"
)

// LengthIn reads a length, mm, in the form of a sketch with these units, such as 0.1, 4thou or 1/64.
func LengthIn(u quantity.Units, word string) (float64, error) {
	text := "units " + u.Name() + "\ndim v = " + word + "\ndim l = 1mm\nkeep v + l above 0mm\n"
	sk, messages := Read(source.Memory(func(path string) ([]byte, error) {
		if path != "length" {
			return nil, fs.ErrNotExist
		}
		return []byte(text), nil
	}), "length", Options{})
	if len(messages) > 0 {
		return 0, errors.New(messages[0].Text)
	}
	d, _, ok := sk.Dim("v")
	if !ok {
		return 0, errors.New("this is no length")
	}
	return d.Value, nil
}
