package draw

import (
	"encoding/xml"
	"fmt"
	"hash/fnv"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/flutewright/flutewright/base/quantity"
)

// pixelsPerMM turns line widths on paper into CSS pixels; strokes do not scale with the picture.
const pixelsPerMM = 3.2

// WriteSVG writes d as an SVG image of its own: role img, title and description,
// a viewBox in mm, no script, no style attribute, no outside reference. It looks
// right alone; on a page the classes take the page's colours (see CSS).
func WriteSVG(w io.Writer, d Drawing) error {
	p := &svg{id: d.id(), module: hatchModule(d)}
	p.open(d)
	for _, r := range d.Rects {
		p.rect(r)
	}
	for _, l := range d.Lines {
		p.line(l, arrowSize(d))
	}
	for _, t := range d.Texts {
		p.text(t)
	}
	p.printf("</svg>\n")
	_, err := io.WriteString(w, p.b.String())
	return err
}

// id is the drawing's own, or eight letters from its content.
func (d Drawing) id() string {
	if d.ID != "" {
		return d.ID
	}
	h := fnv.New32a()
	fmt.Fprint(h, d)
	return fmt.Sprintf("dr%08x", h.Sum32())
}

// hatchModule is the distance between hatch lines.
func hatchModule(d Drawing) quantity.Length { return max(d.Width, d.Height) / 130 }

// arrowSize is the length of an arrowhead.
func arrowSize(d Drawing) quantity.Length { return max(d.Width, d.Height) / 110 }

type svg struct {
	b      strings.Builder
	id     string
	module quantity.Length
}

func (p *svg) printf(format string, args ...any) { fmt.Fprintf(&p.b, format, args...) }

// mm is a coordinate with at most two decimals.
func mm(l quantity.Length) string {
	return strconv.FormatFloat(math.Round(l.Millimetres()*100)/100, 'f', -1, 64)
}

func escape(s string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(s)) // a strings.Builder never fails
	return b.String()
}

func (p *svg) open(d Drawing) {
	w, h := mm(d.Width), mm(d.Height)
	p.printf(`<svg xmlns="http://www.w3.org/2000/svg" class="drawing" role="img" aria-labelledby="%[1]s-t %[1]s-d" viewBox="0 0 %[2]s %[3]s" font-family="system-ui, sans-serif">`+"\n",
		escape(p.id), w, h)
	p.printf(`<title id="%[1]s-t">%[2]s</title>`+"\n"+`<desc id="%[1]s-d">%[3]s</desc>`+"\n", escape(p.id), escape(d.Title), escape(d.Description))
	p.printf("<defs>\n")
	for _, r := range []Role{Waste, BoardAlt, Signal} {
		p.pattern(r)
	}
	p.printf("</defs>\n")
	p.printf(`<rect class="dr-paper" width="%s" height="%s" fill="%s"/>`+"\n", w, h, paper)
}

// pattern defines the hatch lines of one role.
func (p *svg) pattern(r Role) {
	step, turn := p.module, 45
	if looks[r].hatch == backing {
		step, turn = 2*p.module, -45
	}
	s := mm(step)
	p.printf(`<pattern id="%s-%s" patternUnits="userSpaceOnUse" width="%s" height="%s" patternTransform="rotate(%d)">`, escape(p.id), r, s, s, turn)
	p.printf(`<path class="dr-hatch-%s" d="M0 0V%s" stroke="%s" stroke-width="%s"/></pattern>`+"\n", r, s, looks[r].stroke, mm(p.module/6))
}

func (p *svg) stroke(k look) string {
	if k.stroke == "" || k.width == 0 {
		return ""
	}
	s := fmt.Sprintf(` stroke="%s" stroke-width="%.3g" vector-effect="non-scaling-stroke"`, k.stroke, k.width*pixelsPerMM)
	if len(k.dash) > 0 {
		parts := make([]string, len(k.dash))
		for i, v := range k.dash {
			parts[i] = strconv.FormatFloat(v*pixelsPerMM, 'g', 3, 64)
		}
		s += ` stroke-dasharray="` + strings.Join(parts, " ") + `"`
	}
	return s
}

func (p *svg) rect(r Rect) {
	k := looks[r.Role]
	place := fmt.Sprintf(`x="%s" y="%s" width="%s" height="%s"`, mm(r.At.X), mm(r.At.Y), mm(r.Width), mm(r.Height))
	if k.fill != "" || k.hatch == plain {
		fill := k.fill
		if fill == "" {
			fill = "none"
		}
		class := "dr-" + string(r.Role)
		if r.Role == Waste {
			class = "dr-paper"
		}
		if k.hatch != plain {
			p.printf(`<rect class="%s" %s fill="%s"/>`+"\n", class, place, fill)
		} else {
			p.printf(`<rect class="%s" %s fill="%s"%s/>`+"\n", class, place, fill, p.stroke(k))
		}
	}
	if k.hatch != plain {
		p.printf(`<rect class="dr-%s-lines" %s fill="url(#%s-%s)"%s/>`+"\n", r.Role, place, escape(p.id), r.Role, p.stroke(k))
	}
}

func (p *svg) line(l Line, arrow quantity.Length) {
	p.printf(`<path class="dr-%s" d="M%s %sL%s %s" fill="none"%s/>`+"\n", l.Role, mm(l.A.X), mm(l.A.Y), mm(l.B.X), mm(l.B.Y), p.stroke(looks[l.Role]))
	if !l.Arrows {
		return
	}
	for _, head := range arrowheads(l, arrow) {
		p.printf(`<path class="dr-arrow" d="M%s %sL%s %sL%s %sZ" fill="%s"/>`+"\n",
			mm(head[0].X), mm(head[0].Y), mm(head[1].X), mm(head[1].Y), mm(head[2].X), mm(head[2].Y), inkOf(l.Role))
	}
}

func (p *svg) text(t Text) {
	class := "dr-text"
	if t.Role == Dim || t.Role == Signal {
		class += "-" + string(t.Role)
	}
	x, y := mm(t.At.X), mm(t.At.Y)
	p.printf(`<text class="%s" x="%s" y="%s" font-size="%s" fill="%s"`, class, x, y, mm(t.Size), inkOf(t.Role))
	if t.Anchor != "" && t.Anchor != "start" {
		p.printf(` text-anchor="%s"`, escape(t.Anchor))
	}
	if bold(t.Role) {
		p.printf(` font-weight="600"`)
	}
	if t.Turned {
		p.printf(` transform="rotate(-90 %s %s)"`, x, y)
	}
	p.printf(">%s</text>\n", escape(t.Words))
}

// arrowheads returns two triangles pointing outwards at the ends of l, tip
// first. They shrink where the line is short, and stay within the line.
func arrowheads(l Line, size quantity.Length) [2][3]Point {
	dx, dy := float64(l.B.X-l.A.X), float64(l.B.Y-l.A.Y)
	long := math.Hypot(dx, dy)
	if long == 0 {
		return [2][3]Point{{l.A, l.A, l.A}, {l.B, l.B, l.B}}
	}
	s := math.Min(float64(size), long/3)
	ux, uy := dx/long*s, dy/long*s
	head := func(tip Point, sign float64) [3]Point {
		back := func(side float64) Point {
			return Point{tip.X + quantity.Length(sign*ux-side*uy*0.28), tip.Y + quantity.Length(sign*uy+side*ux*0.28)}
		}
		return [3]Point{tip, back(1), back(-1)}
	}
	return [2][3]Point{head(l.A, 1), head(l.B, -1)}
}
