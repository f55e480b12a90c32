package main

import (
	"fmt"
	"io/fs"
	"os"
	"slices"

	"barover/cmd/barover/replace"
	"barover/sketch"
)

// fileID is the same for all names of one file, whether the file exists or not.
type fileID struct {
	path string      // without links
	info fs.FileInfo // nil where it does not exist
}

func idOf(path string) fileID {
	target, err := replace.Target(path)
	if err != nil {
		target = path
	}
	info, err := os.Stat(path)
	if err != nil {
		info = nil
	}
	return fileID{target, info}
}

func (a fileID) same(b fileID) bool {
	if a.info != nil && b.info != nil {
		return os.SameFile(a.info, b.info)
	}
	return a.path == b.path
}

// distinct checks that no two outputs are one file, by whatever names.
func distinct(outs []string) error {
	ids := make([]fileID, len(outs))
	for i, o := range outs {
		ids[i] = idOf(o)
		for k := range i {
			if ids[i].same(ids[k]) && isOrdinary(ids[i]) {
				return fmt.Errorf("%s and %s are one file: give each drawing a file of its own", outs[k], o)
			}
		}
	}
	return nil
}

// isOrdinary is false for pipes and devices. The null device accepts anything, however often.
func isOrdinary(id fileID) bool { return id.info == nil || id.info.Mode().IsRegular() }

// spares checks that no output is one of the files that sketches are read from.
func spares(sources []string, outs ...string) error {
	for _, o := range outs {
		id := idOf(o)
		if slices.ContainsFunc(sources, func(s string) bool { return id.same(idOf(s)) }) {
			return fmt.Errorf("%s cannot be written: it is read as a sketch, which would be lost: name another file with -o", o)
		}
	}
	return nil
}

// spareAll is spares for all files of some sketches.
func spareAll(outs []string, sketches ...*sketch.Sketch) error {
	var sources []string
	for _, s := range sketches {
		for _, f := range s.Files {
			sources = append(sources, f.Path)
		}
	}
	return spares(sources, outs...)
}
