package sheet

import (
	"os"
	"testing"
	"math"

	"barover/render/pdf"
	"barover/render/raster"
	"barover/render/svg"
	"barover/render/drawing"
	"barover/solver"
)

func dump(n string, d *drawing.Drawing) {
	os.WriteFile("/tmp/render/t/"+n+".svg", svg.Bytes(d), 0o644)
	os.WriteFile("/tmp/render/t/"+n+".pdf", pdf.Bytes(d), 0o644)
	b, _ := raster.Bytes(d, 130)
	os.WriteFile("/tmp/render/t/"+n+".png", b, 0o644)
}

func TestZ(t *testing.T) {
	e := mill(t)
	o := options()
	ov := NewOverlay(e, o)
	dump("mill", ov.Drawing)
	o.Paper = "A3"
	o.At = &solver.Position{Turn: 60 * math.Pi / 180}
	dump("mill3", Stamp(NewOverlay(e, o).Drawing, "mill.motion:12:8: there is no dimension called rod_thik; did you mean rod_thick?"))
}
