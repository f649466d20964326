package sheet

import (
	"fmt"
	"io"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"github.com/flutewright/flutewright/draw"
)

// Line widths, text sizes (points) and the page margin (mm) of every sheet.
const (
	margin   = 12.0
	hairline = 0.15
	rule     = 0.5

	tiny   = 7.5
	small  = 9.0
	plain  = 10.5
	strong = 14.0
)

const pointMM = 25.4 / 72

// tone is a grey or a colour, red to blue in 0–255.
type tone [3]int

// The palette is that of the drawings.
var (
	ink    = tone{0x26, 0x22, 0x1c}
	quiet  = tone{0x6a, 0x62, 0x57}
	faint  = tone{0xb8, 0xaf, 0xa0} // hairlines between rows
	warm   = tone{0xe6, 0xcf, 0xa6} // board: the ground of heads
	white  = tone{0xff, 0xff, 0xff}
	signal = tone{0xb0, 0x2a, 0x1c} // only for what needs a decision
)

// folio is one PDF in the making. Places and sizes are in mm from the page's upper left corner.
type folio struct {
	*fpdf.Fpdf
	words
	title   string
	width   float64
	height  float64
	caution string
	left    string // foot line, left
}

// pageSize is a page's width and height in mm.
type pageSize struct{ width, height float64 }

var (
	a4     = pageSize{210, 297}
	letter = pageSize{215.9, 279.4}
)

func (s pageSize) turned() pageSize { return pageSize{s.height, s.width} }

// newFolio starts a document whose dates are all made, so that the same sheet is the same bytes.
func newFolio(w words, title string, size pageSize, made time.Time) *folio {
	pdf := fpdf.NewCustom(&fpdf.InitType{
		OrientationStr: "P", UnitStr: "mm", Size: fpdf.SizeType{Wd: size.width, Ht: size.height},
	})
	pdf.SetCreationDate(made.UTC())
	pdf.SetModificationDate(made.UTC())
	pdf.SetCatalogSort(true)
	pdf.SetProducer("Flutewright", true)
	pdf.SetTitle(title, true)
	pdf.SetLang("en-GB")
	pdf.SetMargins(margin, margin, margin)
	pdf.SetAutoPageBreak(false, 0)
	draw.AddFonts(pdf)
	f := &folio{Fpdf: pdf, words: w, title: title, width: size.width, height: size.height}
	f.colour(ink)
	f.SetLineWidth(hairline)
	return f
}

// finish writes the document to out.
func (f *folio) finish(out io.Writer) error {
	if err := f.Output(out); err != nil {
		return fmt.Errorf("%s: %w", f.title, err)
	}
	return nil
}

// inner returns the width between the margins.
func (f *folio) inner() float64 { return f.width - 2*margin }

func (f *folio) colour(t tone) {
	f.SetTextColor(t[0], t[1], t[2])
	f.SetDrawColor(t[0], t[1], t[2])
}

func (f *folio) ground(t tone) { f.SetFillColor(t[0], t[1], t[2]) }

// line draws a rule of the given width in mm.
func (f *folio) line(x1, y1, x2, y2, width float64) {
	f.SetLineWidth(width)
	f.Line(x1, y1, x2, y2)
	f.SetLineWidth(hairline)
}

// between draws the faint hairline that parts rows.
func (f *folio) between(x1, y, x2 float64) {
	f.SetDrawColor(faint[0], faint[1], faint[2])
	f.line(x1, y, x2, y, hairline)
	f.SetDrawColor(ink[0], ink[1], ink[2])
}

// band fills a rectangle with a tone.
func (f *folio) band(x, y, w, h float64, t tone) {
	f.ground(t)
	f.Rect(x, y, w, h, "F")
}

// frame draws a rectangle's outline.
func (f *folio) frame(x, y, w, h, width float64) {
	f.SetLineWidth(width)
	f.Rect(x, y, w, h, "D")
	f.SetLineWidth(hairline)
}
