// Package pdf writes drawings as the pages of a PDF file.
//
// It is a writer of our own for four reasons. An outline with hundreds of positions is written once, as a form, and
// placed by a matrix. A viewer can switch layers off. Arcs are split so finely that a print at 1:1 can be measured. The
// file holds no date, so the same drawing gives the same bytes. The PDF of a drawing library that was tried wrote every
// position out in full, wrote the time, and let tints leak from one object to the next.
//
// Lettering is the standard Helvetica, which every viewer has. A line with letters that Helvetica lacks is drawn as
// outlines, and keeps its text for searching. The unit of every page is the millimetre, set by one matrix at its head.
//
// It knows no engine. A newcomer may add something that a viewer shows, such as bookmarks; the bytes must stay the same
// from run to run.
package pdf

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"strconv"
	"unicode/utf16"

	"barover/render/drawing"
)

// perMM is how many points, PDF's unit, make a millimetre: 72 to the inch (ISO 32000-1 8.3.2.3), 25.4 mm to the inch.
const perMM = 72 / 25.4

// shortest is how long a stream must be to be packed, bytes. Most outlines are shorter: packing one takes as long as writing it.
const shortest = 1024

// trueSize asks a viewer to print the pages as large as they are, not fitted to the paper (ISO 32000-1 12.2).
const trueSize = "/ViewerPreferences<</PrintScaling/None>>"

// Bytes returns the pages as a PDF file.
func Bytes(pages ...*drawing.Drawing) []byte {
	f := &file{layers: map[string]int{}}
	f.b = append(f.b, "%PDF-1.7\n%\xe2\xe3\xcf\xd3\n"...)
	catalog, tree, info := f.reserve(), f.reserve(), f.reserve()
	f.faces[0] = f.object("<</Type/Font/Subtype/Type1/BaseFont/Helvetica/Encoding/WinAnsiEncoding>>")
	f.faces[1] = f.object("<</Type/Font/Subtype/Type1/BaseFont/Helvetica-Bold/Encoding/WinAnsiEncoding>>")
	for _, d := range pages {
		for _, l := range d.Layers {
			f.layer(l)
		}
	}
	kids := ""
	var numbers []int
	for _, d := range pages {
		numbers = append(numbers, f.page(d, tree))
		kids += ref(numbers[len(numbers)-1]) + " "
	}
	f.put(catalog, "<</Type/Catalog/Pages "+ref(tree)+trueSize+f.bookmarks(pages, numbers)+f.layerList()+">>")
	f.put(tree, "<</Type/Pages/Kids["+kids+"]/Count "+strconv.Itoa(len(pages))+">>")
	about := ""
	if len(pages) > 0 {
		about = "/Title" + unicode(pages[0].Title)
		if s := pages[0].Subject; s != "" {
			about += "/Subject" + unicode(s)
		}
	}
	f.put(info, "<<"+about+"/Producer(barover)>>")
	f.trailer(catalog, info)
	return f.b
}

// file is a PDF being written: objects by number, each with its place in the file.
type file struct {
	b      []byte
	at     []int // of object i+1
	faces  [2]int
	layers map[string]int // object of each layer's group, by id
	order  []int
	packed bytes.Buffer
	packer *zlib.Writer
	text   []byte // room for the content of a page, and then of a form
}

func ref(n int) string { return strconv.Itoa(n) + " 0 R" }

func (f *file) reserve() int {
	f.at = append(f.at, 0)
	return len(f.at)
}

func (f *file) put(n int, body string) {
	f.begin(n)
	f.b = append(f.b, body+"\nendobj\n"...)
}

// begin writes the head of object n.
func (f *file) begin(n int) {
	f.at[n-1] = len(f.b)
	f.b = append(f.b, strconv.Itoa(n)+" 0 obj\n"...)
}

func (f *file) object(body string) int {
	n := f.reserve()
	f.put(n, body)
	return n
}

// stream writes an object with data; dict is its dictionary without the length and the closing brackets.
func (f *file) stream(dict string, data []byte) int {
	if len(data) > shortest {
		data, dict = f.deflate(data), dict+"/Filter/FlateDecode"
	}
	n := f.reserve()
	f.begin(n)
	f.b = append(f.b, dict+"/Length "+strconv.Itoa(len(data))+">>\nstream\n"...)
	f.b = append(f.b, data...)
	f.b = append(f.b, "\nendstream\nendobj\n"...)
	return n
}

// deflate packs data. One packer serves the whole file: making one costs more than most streams do.
func (f *file) deflate(data []byte) []byte {
	f.packed.Reset()
	if f.packer == nil {
		f.packer, _ = zlib.NewWriterLevel(&f.packed, zlib.BestSpeed) // fails only for a level that there is none of
	} else {
		f.packer.Reset(&f.packed)
	}
	f.packer.Write(data) // a Buffer takes everything
	f.packer.Close()
	return f.packed.Bytes()
}

// layer makes a layer one that viewers can switch off; pages share it by its id.
func (f *file) layer(l *drawing.Layer) {
	if _, ok := f.layers[l.ID]; ok {
		return
	}
	n := f.object("<</Type/OCG/Name" + unicode(l.Title) + ">>")
	f.layers[l.ID] = n
	f.order = append(f.order, n)
}

func (f *file) layerList() string {
	if len(f.order) == 0 {
		return ""
	}
	list := "["
	for _, n := range f.order {
		list += ref(n) + " "
	}
	list += "]"
	return "/OCProperties<</OCGs" + list + "/D<</Order" + list + ">>>>"
}

// bookmarks writes an outline of the pages that say what they are (ISO 32000-1 12.3.3) and returns its entry in the catalog; "" where
// there are none.
func (f *file) bookmarks(pages []*drawing.Drawing, numbers []int) string {
	var marked []int
	for i, d := range pages {
		if d.Kind != "" {
			marked = append(marked, i)
		}
	}
	if len(marked) < 2 {
		return ""
	}
	outline := f.reserve()
	var items []int
	for range marked {
		items = append(items, f.reserve())
	}
	for k, i := range marked {
		body := "<</Title" + unicode(strconv.Itoa(i+1)+"  "+pages[i].Kind) + "/Parent " + ref(outline) + "/Dest[" + ref(numbers[i]) + "/Fit]"
		if k > 0 {
			body += "/Prev " + ref(items[k-1])
		}
		if k+1 < len(items) {
			body += "/Next " + ref(items[k+1])
		}
		f.put(items[k], body+">>")
	}
	f.put(outline, "<</Type/Outlines/First "+ref(items[0])+"/Last "+ref(items[len(items)-1])+"/Count "+strconv.Itoa(len(items))+">>")
	return "/Outlines " + ref(outline) + "/PageMode/UseOutlines"
}

func (f *file) trailer(catalog, info int) {
	start := len(f.b)
	n := strconv.Itoa(len(f.at) + 1)
	f.b = append(f.b, "xref\n0 "+n+"\n0000000000 65535 f \n"...)
	for _, at := range f.at {
		f.b = fmt.Appendf(f.b, "%010d 00000 n \n", at)
	}
	f.b = append(f.b, "trailer\n<</Size "+n+"/Root "+ref(catalog)+"/Info "+ref(info)+">>\nstartxref\n"+strconv.Itoa(start)+"\n%%EOF\n"...)
}

// unicode returns a text string object in UTF-16, in hexadecimal digits.
func unicode(s string) string {
	b := []byte("<FEFF")
	for _, u := range utf16.Encode([]rune(s)) {
		b = fmt.Appendf(b, "%04X", u)
	}
	return string(append(b, '>'))
}
