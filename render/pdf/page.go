package pdf

import (
	"math"
	"slices"
	"strconv"

	"barover/render/drawing"
	"barover/solver/plane"
)

// most is the longest arc that one Bézier curve stands for, rad. At 30° its radius errs by 0.00025 mm in 100 mm; at 90°
// it would be 0.027 mm.
const most = math.Pi / 6

// page is one page's content being written, with the state that the viewer is in, so that only changes are written.
type page struct {
	f      *file
	d      *drawing.Drawing
	b      []byte
	forms  map[form]int
	names  []form // in order of first use
	grey   []int  // objects of the pictures
	width  float64
	dashes []float64
	stroke drawing.Colour
	fill   drawing.Colour
}

// form is an outline painted in one way.
type form struct {
	outline int
	paint   string
}

// page writes a page and returns its number.
func (f *file) page(d *drawing.Drawing, tree int) int {
	p := &page{f: f, d: d, b: f.text[:0], forms: map[form]int{}, width: -1}
	p.nums(9, perMM)
	p.op("0 0")
	p.nums(9, perMM)
	p.op("0 0 cm 1 j")
	layers := ""
	for i, l := range d.Layers {
		name := "/L" + strconv.Itoa(i)
		layers += name + " " + ref(f.layers[l.ID])
		p.op("/OC " + name + " BDC")
		for _, item := range d.Sound(l) {
			p.item(item)
		}
		p.op("EMC")
	}
	content := f.stream("<<", p.b)
	f.text = p.b
	used := ""
	for i, k := range p.names {
		used += "/X" + strconv.Itoa(i) + " " + ref(f.form(d, k))
	}
	for i, n := range p.grey {
		used += "/I" + strconv.Itoa(i) + " " + ref(n)
	}
	box := drawing.AppendNumber([]byte("[0 0 "), d.Width*perMM, 5)
	box = append(drawing.AppendNumber(append(box, ' '), d.Height*perMM, 5), ']')
	return f.object("<</Type/Page/Parent " + ref(tree) + "/MediaBox" + string(box) + "/Contents " + ref(content) +
		"/Resources<</Font<</F0 " + ref(f.faces[0]) + "/F1 " + ref(f.faces[1]) + ">>/XObject<<" + used +
		">>/Properties<<" + layers + ">>>>>>")
}

// form writes an outline as a form: its path and how to paint it. Colour, width and dashes are those of the place where
// it is used.
func (f *file) form(d *drawing.Drawing, k form) int {
	w := &page{b: f.text[:0]}
	w.path(d.Outlines[k.outline])
	w.op(k.paint)
	f.text = w.b
	b := d.Outlines[k.outline].Bounds().Grown(5) // room for the width of the line
	var box page
	box.nums(3, b.Min.X, b.Min.Y, b.Max.X, b.Max.Y)
	return f.stream("<</Type/XObject/Subtype/Form/BBox["+string(box.b)+"]/Resources<<>>", w.b)
}

func (p *page) item(i drawing.Item) {
	switch t := i.(type) {
	case drawing.Shape:
		if paint := p.style(t.Style); paint != "" {
			p.path(t.Path)
			p.op(paint)
		}
	case drawing.Use:
		paint := p.style(t.Style)
		if paint == "" {
			return
		}
		k := form{t.Outline, paint}
		n, ok := p.forms[k]
		if !ok {
			n = len(p.names)
			p.forms[k] = n
			p.names = append(p.names, k)
		}
		p.op("q")
		p.matrix(t.At)
		p.op("cm /X" + strconv.Itoa(n) + " Do Q")
	case drawing.Text:
		p.letters(t)
	case drawing.Picture:
		p.picture(t)
	}
}

// picture writes a picture as an image of its own (ISO 32000-1 8.9) and stretches the unit square, where it stands, to its box.
func (p *page) picture(t drawing.Picture) {
	b := t.Grey.Rect
	grey := make([]byte, 0, b.Dx()*b.Dy())
	for y := b.Min.Y; y < b.Max.Y; y++ {
		at := t.Grey.PixOffset(b.Min.X, y)
		grey = append(grey, t.Grey.Pix[at:at+b.Dx()]...)
	}
	n := p.f.stream("<</Type/XObject/Subtype/Image/Width "+strconv.Itoa(b.Dx())+"/Height "+strconv.Itoa(b.Dy())+"/ColorSpace/DeviceGray/BitsPerComponent 8", grey)
	p.grey = append(p.grey, n)
	wide, high := t.Box.Size()
	p.op("q")
	p.nums(4, wide, 0, 0, high, t.Box.Min.X, t.Box.Min.Y)
	p.op("cm /I" + strconv.Itoa(len(p.grey)-1) + " Do Q")
}

// style brings the viewer to a style and returns the operator that paints a path in it; "" if nothing is to be seen.
func (p *page) style(s *drawing.Style) string {
	if s.Fill.On {
		p.colour(&p.fill, s.Fill, "rg")
	}
	if !s.Stroke.On {
		if s.Fill.On {
			return "f*"
		}
		return ""
	}
	p.colour(&p.stroke, s.Stroke, "RG")
	p.line(s.Width, s.Line.Dashes(s.Width))
	if s.Fill.On {
		return "B*"
	}
	return "S"
}

func (p *page) colour(now *drawing.Colour, c drawing.Colour, op string) {
	if *now == c {
		return
	}
	*now = c
	p.nums(3, float64(c.R)/255, float64(c.G)/255, float64(c.B)/255)
	p.op(op)
}

func (p *page) line(width float64, dashes []float64) {
	if p.width != width {
		p.width = width
		p.nums(3, width)
		p.op("w")
	}
	if !slices.Equal(p.dashes, dashes) {
		p.dashes = dashes
		p.op("[")
		p.nums(3, dashes...)
		p.op("] 0 d")
	}
}

func (p *page) matrix(at plane.Placement) {
	p.nums(7, at.Dir.X, at.Dir.Y, -at.Dir.Y, at.Dir.X)
	p.place(at.Origin)
}

// path writes a path's lines and arcs.
func (p *page) path(path drawing.Path) {
	var at plane.Vec
	for s := range path.Split(most) {
		switch s.Op {
		case drawing.MoveTo:
			p.place(s.To)
			p.op("m")
		case drawing.LineTo:
			p.place(s.To)
			p.op("l")
		case drawing.ArcTo:
			p.curve(at, s)
		case drawing.CloseTo:
			p.op("h")
			continue
		}
		at = s.To
	}
}

// curve writes a short arc as a Bézier curve: handles of 4/3 tan(sweep/4) radii along the tangents.
func (p *page) curve(from plane.Vec, s drawing.Segment) {
	k := 4.0 / 3 * math.Tan(s.Sweep/4)
	p.place(from.Add(from.Sub(s.Centre).Turned().Scale(k)))
	p.place(s.To.Sub(s.To.Sub(s.Centre).Turned().Scale(k)))
	p.place(s.To)
	p.op("c")
}

func (p *page) place(v plane.Vec) { p.nums(4, v.X, v.Y) }

func (p *page) nums(decimals int, list ...float64) {
	for _, v := range list {
		p.b = append(drawing.AppendNumber(p.b, v, decimals), ' ')
	}
}

func (p *page) op(s string) {
	p.b = append(append(p.b, s...), '\n')
}
