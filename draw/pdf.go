package draw

import (
	"io"
	"math"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"

	"github.com/flutewright/flutewright/base/fault"
)

// FontFamily is the type face of PDF pages: regular "" and bold "B", all of UTF-8 that the face has.
const FontFamily = "Go"

// pointsPerMM is 72 points to the inch.
const pointsPerMM = 72 / 25.4

// NewPDF returns an empty document in mm with the fonts added. Page is A4 or
// Letter; the same content always gives the same bytes.
func NewPDF(page string, landscape bool, title string) (*fpdf.Fpdf, error) {
	if page != "A4" && page != "Letter" {
		return nil, fault.Violations{{Field: "page", Value: page, Rule: "must be A4 or Letter"}}
	}
	orientation := "P"
	if landscape {
		orientation = "L"
	}
	pdf := fpdf.New(orientation, "mm", page, "")
	pdf.SetCatalogSort(true)
	pdf.SetCreationDate(time.Unix(0, 0).UTC())
	pdf.SetModificationDate(time.Unix(0, 0).UTC())
	pdf.SetTitle(Printable(title), true)
	pdf.SetAutoPageBreak(false, 0)
	AddFonts(pdf)
	return pdf, pdf.Error()
}

// AddFonts makes FontFamily known to pdf; a repeat is harmless.
func AddFonts(pdf *fpdf.Fpdf) {
	pdf.AddUTF8FontFromBytes(FontFamily, "", goregular.TTF)
	pdf.AddUTF8FontFromBytes(FontFamily, "B", gobold.TTF)
}

// WritePDF writes d on one page, A4 or Letter, turned to fit, with its title
// above and its description below.
func WritePDF(w io.Writer, d Drawing, page string) error {
	pdf, err := NewPDF(page, d.Width > d.Height, d.Title)
	if err != nil {
		return err
	}
	const margin, head, foot = 15.0, 14.0, 18.0 // mm
	pdf.AddPage()
	wide, high := pdf.GetPageSize()
	pdf.SetTextColor(rgb(ink))
	pdf.SetFont(FontFamily, "B", 14)
	pdf.SetXY(margin, margin)
	pdf.CellFormat(wide-2*margin, 7, Printable(d.Title), "", 0, "L", false, 0, "")
	width := wide - 2*margin
	room := high - 2*margin - head - foot
	if d.Width > 0 && d.Height > 0 {
		width = math.Min(width, room*float64(d.Width)/float64(d.Height))
	}
	AddToPDF(pdf, d, (wide-width)/2, margin+head, width)
	below := margin + head
	if d.Width > 0 {
		below += width * float64(d.Height) / float64(d.Width)
	}
	pdf.SetTextColor(rgb(ink))
	pdf.SetFont(FontFamily, "", 9)
	pdf.SetXY(margin, below+5)
	pdf.MultiCell(wide-2*margin, 4.4, Printable(d.Description), "", "L", false)
	return pdf.Output(w)
}

// AddToPDF draws d on the current page with its upper left corner at x, y and
// so wide, all in mm. Errors stay in pdf until Output, as everywhere in fpdf.
func AddToPDF(pdf *fpdf.Fpdf, d Drawing, x, y, width float64) {
	if d.Width <= 0 || d.Height <= 0 {
		return
	}
	AddFonts(pdf)
	p := &page{pdf, x, y, width / float64(d.Width), hatchModule(d).Millimetres()}
	p.module *= p.scale * 1e6
	for _, r := range d.Rects {
		p.rect(r)
	}
	for _, l := range d.Lines {
		p.line(l, d)
	}
	for _, t := range d.Texts {
		p.text(t)
	}
	pdf.SetDashPattern(nil, 0)
	pdf.SetDrawColor(0, 0, 0)
	pdf.SetTextColor(0, 0, 0)
	pdf.SetLineWidth(0.2)
}

// Printable is s with what a PDF page cannot hold, control characters and those
// beyond the basic plane, replaced by "?". Use it on every word that people
// typed: one such character makes the whole document fail.
func Printable(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r >= 0x7f && r < 0xa0 || r > 0xffff || r == utf8.RuneError || r >= 0xd800 && r < 0xe000 {
			return '?'
		}
		return r
	}, s)
}

// page places a drawing on a sheet of paper: scale is mm on paper per nm of the drawing.
type page struct {
	pdf    *fpdf.Fpdf
	x, y   float64
	scale  float64
	module float64 // distance of hatch lines on paper, mm
}

func (p *page) at(q Point) (float64, float64) {
	return p.x + float64(q.X)*p.scale, p.y + float64(q.Y)*p.scale
}

func rgb(hex string) (r, g, b int) {
	v, err := strconv.ParseUint(hex[1:], 16, 24)
	if err != nil {
		panic("draw: palette colour " + hex)
	}
	return int(v >> 16), int(v >> 8 & 255), int(v & 255)
}

func (p *page) pen(k look) {
	p.pdf.SetDrawColor(rgb(k.stroke))
	p.pdf.SetLineWidth(k.width)
	p.pdf.SetDashPattern(k.dash, 0)
}

func (p *page) rect(r Rect) {
	k := looks[r.Role]
	x, y := p.at(r.At)
	w, h := float64(r.Width)*p.scale, float64(r.Height)*p.scale
	if k.fill != "" {
		p.pdf.SetFillColor(rgb(k.fill))
		p.pdf.Rect(x, y, w, h, "F")
	}
	if k.hatch != plain {
		p.hatch(x, y, w, h, k)
	}
	if k.stroke != "" && k.width > 0 {
		p.pen(k)
		p.pdf.Rect(x, y, w, h, "D")
	}
}

// hatch fills a rectangle with lines at 45°, clipped to it.
func (p *page) hatch(x, y, w, h float64, k look) {
	if w <= 0 || h <= 0 {
		return
	}
	p.pdf.SetDrawColor(rgb(k.stroke))
	p.pdf.SetLineWidth(hair)
	p.pdf.SetDashPattern(nil, 0)
	p.pdf.ClipRect(x, y, w, h, false)
	step := math.Max(p.module*math.Sqrt2, 0.6)
	if k.hatch == backing {
		step *= 2
	}
	for at := -h; at < w; at += step {
		if k.hatch == leaning {
			p.pdf.Line(x+at, y+h, x+at+h, y)
		} else {
			p.pdf.Line(x+at, y, x+at+h, y+h)
		}
	}
	p.pdf.ClipEnd()
}

func (p *page) line(l Line, d Drawing) {
	p.pen(looks[l.Role])
	ax, ay := p.at(l.A)
	bx, by := p.at(l.B)
	p.pdf.Line(ax, ay, bx, by)
	if !l.Arrows {
		return
	}
	p.pdf.SetFillColor(rgb(inkOf(l.Role)))
	for _, head := range arrowheads(l, arrowSize(d)) {
		corners := make([]fpdf.PointType, 3)
		for i, q := range head {
			corners[i].X, corners[i].Y = p.at(q)
		}
		p.pdf.Polygon(corners, "F")
	}
}

func (p *page) text(t Text) {
	style := ""
	if bold(t.Role) {
		style = "B"
	}
	x, y := p.at(t.At)
	words := Printable(t.Words)
	p.pdf.SetFont(FontFamily, style, float64(t.Size)*p.scale*pointsPerMM)
	p.pdf.SetTextColor(rgb(inkOf(t.Role)))
	shift := 0.0
	switch t.Anchor {
	case "middle":
		shift = p.pdf.GetStringWidth(words) / 2
	case "end":
		shift = p.pdf.GetStringWidth(words)
	}
	if t.Turned {
		p.pdf.TransformBegin()
		p.pdf.TransformRotate(90, x, y)
		p.pdf.Text(x-shift, y, words)
		p.pdf.TransformEnd()
		return
	}
	p.pdf.Text(x-shift, y, words)
}
