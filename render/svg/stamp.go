package svg

import (
	"bytes"

	"barover/render/drawing"
)

// stampOpen begins the group that Stamp adds; no drawing has a layer of that name.
const stampOpen = `<g id="out-of-date" class="layer">`

// Stamp puts a layer over a file that Bytes has written, taking off one that an earlier Stamp put there: the watcher
// leaves the last good drawing standing and stamps it. Only the layer's texts and paths are taken. A file that does not
// end as SVG does is returned unchanged.
func Stamp(file []byte, d *drawing.Drawing, l *drawing.Layer) []byte {
	body := Unstamp(file)
	end := bytes.LastIndex(body, []byte("</svg>"))
	if end < 0 {
		return file
	}
	s := &sheet{d: &drawing.Drawing{Width: d.Width, Height: d.Height, Layers: []*drawing.Layer{l}}, high: d.Height}
	s.scan()
	s.put(stampOpen, "\n")
	s.styles()
	items := s.sound[0]
	for _, i := range items {
		s.put(`<g class="`, classOf(i), "\">\n")
		s.item(i)
		s.put("</g>\n")
	}
	s.put("</g>\n")
	out := append([]byte(nil), body[:end]...)
	return append(append(out, s.b...), body[end:]...)
}

// Unstamp returns the file as it was before Stamp.
func Unstamp(file []byte) []byte {
	from := bytes.Index(file, []byte(stampOpen))
	end := bytes.LastIndex(file, []byte("</svg>"))
	if from < 0 || end < from {
		return file
	}
	return append(append([]byte(nil), file[:from]...), file[end:]...)
}
