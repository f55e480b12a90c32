package main

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"barover/render/drawing"
	"barover/render/pdf"
	"barover/render/raster"
	"barover/render/svg"
)

// drawnAs says as what a file is drawn, by its name: one of endings, or "" for what cannot be drawn.
func drawnAs(path string) string {
	e := strings.ToLower(strings.TrimPrefix(filepath.Ext(path), "."))
	if slices.Contains(endings, e) {
		return e
	}
	return ""
}

// writePages writes drawings to files, as their endings say. Of several pages, a file that has but one shows that page,
// counted from 1. All are made before the first is put in place.
func writePages(pages []*drawing.Drawing, outs []string, page int) error {
	if page < 1 || page > len(pages) {
		return fmt.Errorf("--page %d: there are pages 1 to %d", page, len(pages))
	}
	made := make([][]byte, len(outs))
	for i, o := range outs {
		var err error
		if made[i], err = encode(pages, drawnAs(o), page); err != nil {
			return err
		}
	}
	for i, o := range outs {
		if err := replaceFile(o, made[i]); err != nil {
			return err
		}
	}
	return nil
}

// encode writes pages as one file.
func encode(pages []*drawing.Drawing, as string, page int) ([]byte, error) {
	one := pages[page-1]
	switch as {
	case "pdf":
		return pdf.Bytes(pages...), nil
	case "png":
		return raster.Bytes(one, raster.Resolution(one))
	}
	return svg.Bytes(one), nil
}
