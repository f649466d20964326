package sheet

import (
	"io"
	"time"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/draw"
	"github.com/flutewright/flutewright/plant/tag"
)

// BarcodeModule is the width of a narrow bar: four dots of a label printer with
// eight dots to the millimetre, within the 0.495 to 0.940 mm that logistic
// labels want (GS1 General Specifications, from memory). An SSCC with its
// quiet zones is then 88 mm wide.
const BarcodeModule = 500 * quantity.Micrometre

const (
	quietZone    = 10 // modules on each side
	barcodeWords = 7 * quantity.Millimetre
)

// BarcodeDrawing is a Code 128 symbol of tag.Number's symbols with module width
// x, bars of the given height, quiet zones on both sides, and text below; no
// text, no room for it. It must be placed at its natural size.
func BarcodeDrawing(symbols []int, x, height quantity.Length, text string) draw.Drawing {
	d := draw.Drawing{Title: "Barcode " + text, Description: "Code 128: " + text, Height: height}
	at := quietZone * x
	for i, w := range tag.Widths(symbols) {
		width := x * quantity.Length(w)
		if i%2 == 0 {
			d.Rects = append(d.Rects, draw.Rect{At: draw.Point{X: at}, Width: width, Height: height, Role: draw.Bar})
		}
		at += width
	}
	d.Width = at + quietZone*x
	if text != "" {
		d.Height += barcodeWords
		d.Texts = []draw.Text{{At: draw.Point{X: d.Width / 2, Y: height + 6*quantity.Millimetre}, Size: barcodeWords, Anchor: "middle", Words: text, Role: draw.Label}}
	}
	return d
}

// NumberTag prints a number alone on a blank tag of 4 × 6 in, its barcode at natural size.
func NumberTag(w io.Writer, n tag.Number) error {
	f := newFolio(words{}, "Tag "+n.Text, tagSize, time.Unix(0, 0))
	f.AddPage()
	f.colour(ink)
	symbol := BarcodeDrawing(n.Symbols, BarcodeModule, barHeight, n.Text)
	f.place(symbol, (tagSize.width-symbol.Width.Millimetres())/2, tagSize.height-7.5-symbol.Height.Millimetres())
	return f.finish(w)
}
