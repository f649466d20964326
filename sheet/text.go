package sheet

import (
	"strings"
	"sync"

	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"

	"github.com/flutewright/flutewright/draw"
)

// style is how one piece of text stands: size in points, bold or not, and which end is fixed at x.
type style struct {
	points float64
	bold   bool
	anchor string // "" start, "middle", "end"
	tone   *tone  // nil: ink
}

func (f *folio) font(s style) {
	weight := ""
	if s.bold {
		weight = "B"
	}
	f.SetFont(draw.FontFamily, weight, s.points)
}

// put prints one line of text with its baseline at y.
func (f *folio) put(x, y float64, s style, txt string) {
	f.font(s)
	txt = f.printable(txt)
	switch s.anchor {
	case "middle":
		x -= f.GetStringWidth(txt) / 2
	case "end":
		x -= f.GetStringWidth(txt)
	}
	if s.tone != nil {
		f.SetTextColor(s.tone[0], s.tone[1], s.tone[2])
		defer f.SetTextColor(ink[0], ink[1], ink[2])
	}
	f.Text(x, y, txt)
}

// fit prints one line in at most width mm: smaller down to two thirds, then
// cut with an ellipsis, so that nothing runs into its neighbour.
func (f *folio) fit(x, y, width float64, s style, txt string) {
	f.font(s)
	txt = f.printable(txt)
	if w := f.GetStringWidth(txt); w > width {
		s.points *= max(width/w, 2.0/3)
		f.font(s)
		for r := []rune(txt); len(r) > 1 && f.GetStringWidth(txt) > width+0.05; {
			r = r[:len(r)-1]
			txt = strings.TrimRight(string(r), " ") + "…"
		}
	}
	f.put(x, y, s, txt)
}

// wrap breaks txt into lines of at most width mm in the given style.
func (f *folio) wrap(width float64, s style, txt string) []string {
	f.font(s)
	var lines []string
	line := ""
	for _, word := range strings.Fields(f.printable(txt)) {
		switch {
		case line == "":
			line = word
		case f.GetStringWidth(line+" "+word) <= width:
			line += " " + word
		default:
			lines = append(lines, line)
			line = word
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// joined lists parts with commas, broken into lines of at most width mm between parts; at least one line.
func (f *folio) joined(width float64, s style, parts []string) []string {
	f.font(s)
	lines := []string{""}
	for i, part := range parts {
		if i < len(parts)-1 {
			part += ","
		}
		last := &lines[len(lines)-1]
		switch {
		case *last == "":
			*last = part
		case f.GetStringWidth(f.printable(*last+" "+part)) <= width:
			*last += " " + part
		default:
			lines = append(lines, part)
		}
	}
	return lines
}

// paragraph prints wrapped text from the baseline y on and returns the next baseline.
func (f *folio) paragraph(x, y, width float64, s style, txt string) float64 {
	for _, line := range f.wrap(width, s, txt) {
		f.fit(x, y, width, s, line)
		y += s.points * pointMM * 1.3
	}
	return y
}

// printable replaces what the font has no glyph for, so that a name from
// another script leaves a visible mark instead of nothing.
func (f *folio) printable(txt string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t' || r == '\r':
			return ' '
		case r < ' ':
			return -1
		case r > 0xFFFF || !hasGlyph(r):
			return '?'
		}
		return r
	}, txt)
}

var goFont = sync.OnceValue(func() *sfnt.Font {
	f, err := sfnt.Parse(goregular.TTF)
	if err != nil {
		panic("sheet: the built-in font does not parse: " + err.Error())
	}
	return f
})

func hasGlyph(r rune) bool {
	i, err := goFont().GlyphIndex(nil, r)
	return err == nil && i != 0
}
