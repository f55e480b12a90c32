package sketch

import (
	"path/filepath"

	"barover/sketch/picture"
	"barover/sketch/source"
	"barover/sketch/syntax"
	"barover/solver/plane"
)

// pictureFiles reads the heads of the pictures.
func (l *loader) pictureFiles(from source.Reader) {
	l.pictures = map[*syntax.Scan]*picture.Picture{}
	for i, s := range each[*syntax.Scan](l.sketch) {
		at := l.at(i, s.File.Span)
		path := source.Beside(at.file.Path, s.File.Text)
		data, err := from.ReadFile(path)
		if err != nil {
			m := source.Unread(path, err)
			l.tell(at, m.Text, m.Help)
			continue
		}
		p, wrong, help := picture.Head(data)
		if p == nil {
			l.tell(at, filepath.Base(path)+" "+wrong, help)
			continue
		}
		l.pictures[s] = p
	}
}

// scans lays the pictures on the engine.
func (l *loader) scans() {
	l.sketch.Scans = nil
	for i, s := range each[*syntax.Scan](l.sketch) {
		p := l.pictures[s]
		if p == nil {
			continue
		}
		out := picture.Scan{Stmt: i, File: s.File.Text, Data: p.Data, Width: p.Width, Height: p.Height, Density: p.Density, Three: len(s.Places) == 3}
		var pixel, on []plane.Vec
		for k := range s.Places {
			at := &s.Places[k]
			u, v := l.figure(at.Pixel.U), l.figure(at.Pixel.V)
			pixel = append(pixel, plane.Vec{X: u, Y: v})
			w := l.placeOn(l.sketch.statements[i].file, 0, &at.On) // in the frame
			on = append(on, plane.Vec{X: l.value(w.X), Y: l.value(w.Y)})
		}
		if !out.Lay(pixel, on) {
			l.tell(l.at(i, s.Span), "these places do not say how the picture lies", "give two places far apart, or three that are not in one line, that differ both in the picture and on the engine")
			continue
		}
		l.sketch.Scans = append(l.sketch.Scans, out)
	}
}
