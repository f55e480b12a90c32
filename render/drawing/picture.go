package drawing

import "image"

// Picture is a grey picture that fills a box of the paper, its upper edge up.
type Picture struct {
	Box  Box
	Grey *image.Gray
}

// Put adds a picture.
func (l *Layer) Put(p Picture) { l.Items = append(l.Items, p) }

func (p Picture) sound(*Drawing) bool {
	return p.Grey != nil && !p.Grey.Rect.Empty() && !p.Box.Empty() && within(p.Box.Min) && within(p.Box.Max)
}

func (p Picture) Look() (string, any) { return "", nil }
