package svg

import (
	"bytes"
	"fmt"

	"barover/render/drawing"
)

// stampOpen begins the group that Stamp adds; no layer of a drawing is called so.
const stampOpen = `<g id="out-of-date" class="layer">`

// Stamp puts a layer over a file that Bytes has written, taking off one that an earlier Stamp put there: a watcher leaves
// the last good drawing standing and stamps it. The layer is made for the file's size, mm, and only its texts and paths
// are taken. A file that Bytes did not write is returned unchanged.
func Stamp(file []byte, layer func(width, height float64) *drawing.Layer) []byte {
	body := Unstamp(file)
	end := bytes.LastIndex(body, []byte("</svg>"))
	var w, h float64
	if from := bytes.Index(body, []byte(`viewBox="0 0 `)); from < 0 || end < 0 {
		return file
	} else if n, err := fmt.Sscanf(string(body[from:min(from+64, len(body))]), `viewBox="0 0 %g %g"`, &w, &h); n < 2 && err != nil {
		return file
	}
	s := &sheet{d: &drawing.Drawing{Width: w, Height: h, Layers: []*drawing.Layer{layer(w, h)}}, high: h}
	s.scan()
	s.put(stampOpen, "\n")
	s.styles()
	for _, i := range s.sound[0] {
		s.put(`<g class="`, s.class(i), "\">\n")
		s.item(i)
		s.put("</g>\n")
	}
	s.put("</g>\n")
	return append(append(append([]byte(nil), body[:end]...), s.b...), body[end:]...)
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
