package draw

import (
	"strings"

	"github.com/flutewright/flutewright/base/quantity"
)

// BlankShape is a blank as it lies on the table, in plain values. Along the
// chop, left to right, lie the panels, glue lap first where there are five;
// across it, from the lower slit edge up, the strips between slit and scores.
type BlankShape struct {
	Title     string // "0201, inside 398 × 299 × 135 mm, B flute"
	Panels    []quantity.Length
	Strips    []quantity.Length
	OneFlap   bool            // flaps on the lower edge only (0200)
	SlotWidth quantity.Length // 0: not slotted
	OuterFlap quantity.Length // of the panels 1 and 3 behind the lap; 0: the whole strip
	InnerFlap quantity.Length // of the panels 2 and 4; 0: the whole strip
}

func (b BlankShape) slotted() bool {
	return b.SlotWidth > 0 && len(b.Panels) == 5 && len(b.Strips) >= 2
}

// Blank draws the blank to scale: cut edges solid, scores dashed, slots and
// other waste hatched, the whole chain of dimensions in f's unit.
func Blank(b BlankShape, f quantity.Format) Drawing {
	chop, slit := sum(b.Panels), sum(b.Strips)
	p := blankPlan{canvas: canvas{em: max(chop, slit.Scale(1.25), quantity.Millimetre) / 62, f: f}, b: b}
	p.x = positions(p.ems(6.5), b.Panels)
	p.y = positions(p.ems(1.5)+slit, nil)
	for _, s := range b.Strips {
		p.y = append(p.y, p.y[len(p.y)-1]-s)
	}
	p.d.Title = b.Title
	p.d.Description = b.describe(f)
	p.d.Width = p.ems(8.7) + chop
	p.d.Height = p.ems(8.8) + slit
	p.rect(p.left(), p.top(), p.right(), p.bottom(), Board)
	if b.slotted() {
		p.slots()
	} else {
		p.frame()
	}
	p.names()
	p.dimensions()
	return p.d
}

func (b BlankShape) describe(f quantity.Format) string {
	var parts []string
	list := func(name string, ls []quantity.Length) {
		if len(ls) < 2 {
			return
		}
		words := make([]string, len(ls))
		for i, l := range ls {
			words[i] = f.Length(l)
		}
		parts = append(parts, name+" "+strings.Join(words, ", "))
	}
	unit := " " + f.LengthUnit()
	parts = append(parts, "Chop "+f.Length(sum(b.Panels))+unit+", slit "+f.Length(sum(b.Strips))+unit)
	if len(b.Panels) == 5 {
		list("glue lap and panels along the chop", b.Panels)
	} else {
		list("panels along the chop", b.Panels)
	}
	list("strips across, from the lower slit edge", b.Strips)
	if b.slotted() {
		parts = append(parts, "slots "+f.Length(b.SlotWidth)+unit+" wide")
	}
	if b.OuterFlap > 0 && b.OuterFlap != b.InnerFlap {
		parts = append(parts, "outer flap "+f.Length(b.OuterFlap)+unit+", inner flap "+f.Length(b.InnerFlap)+unit)
	}
	return strings.Join(parts, "; ") + ". Flutes run across the chop."
}

// blankPlan places a blank on a canvas: x are panel edges rising, y strip edges falling.
type blankPlan struct {
	canvas
	b    BlankShape
	x, y []quantity.Length
}

func (p *blankPlan) left() quantity.Length   { return p.x[0] }
func (p *blankPlan) right() quantity.Length  { return p.x[len(p.x)-1] }
func (p *blankPlan) bottom() quantity.Length { return p.y[0] }
func (p *blankPlan) top() quantity.Length    { return p.y[len(p.y)-1] }

// frame is an unslotted sheet with its scores.
func (p *blankPlan) frame() {
	p.line(p.left(), p.top(), p.right(), p.top(), Cut)
	p.line(p.left(), p.bottom(), p.right(), p.bottom(), Cut)
	p.line(p.left(), p.top(), p.left(), p.bottom(), Cut)
	p.line(p.right(), p.top(), p.right(), p.bottom(), Cut)
	for i := 1; i+1 < len(p.x); i++ {
		p.line(p.x[i], p.top(), p.x[i], p.bottom(), Score)
	}
	for i := 1; i+1 < len(p.y); i++ {
		p.line(p.left(), p.y[i], p.right(), p.y[i], Score)
	}
}

// slots draws a slotted blank: flaps, slots, the lap's corners, cut-backs.
func (p *blankPlan) slots() {
	low, high := p.y[1], p.y[len(p.y)-2] // the flap scores
	if p.b.OneFlap {
		high = p.top()
	}
	p.flapEdge(low, p.bottom())
	if p.b.OneFlap {
		p.line(p.left(), high, p.right(), high, Cut)
	} else {
		p.flapEdge(high, p.top())
	}
	p.line(p.left(), high, p.left(), low, Cut)
	p.line(p.right(), high, p.right(), low, Cut)
	for i := 1; i < 5; i++ {
		p.line(p.x[i], high, p.x[i], low, Score)
	}
}

// flapEdge draws the four flaps between their score and one slit edge.
func (p *blankPlan) flapEdge(score, edge quantity.Length) {
	half := p.b.SlotWidth / 2
	strip := max(edge-score, score-edge)
	back := p.left() // where the slot or corner to the left of the flap begins
	for i := 1; i <= 4; i++ {
		from, to := p.x[i]+half, p.x[i+1]-half
		if i == 4 {
			to = p.right()
		}
		flap := p.b.InnerFlap
		if i%2 == 1 {
			flap = p.b.OuterFlap
		}
		if flap <= 0 || flap > strip {
			flap = strip
		}
		end := score + flap
		if edge < score {
			end = score - flap
		}
		p.rect(back, min(score, edge), from, max(score, edge), Waste)
		p.rect(from, min(end, edge), to, max(end, edge), Waste)
		p.line(back, score, from, score, Cut)
		p.line(from, score, from, end, Cut)
		p.line(from, end, to, end, Cut)
		p.line(to, end, to, score, Cut)
		p.line(from, score, to, score, Score)
		back = to
	}
}

// names writes what each part is, where there is room.
func (p *blankPlan) names() {
	if len(p.b.Panels) != 5 {
		return
	}
	low, high := p.y[0], p.top()
	if p.b.slotted() {
		low = p.y[1]
		if !p.b.OneFlap {
			high = p.y[len(p.y)-2]
		}
	}
	middle := (low + high) / 2
	if p.b.Panels[0] > p.ems(1.2) && low-high > p.ems(5) {
		p.turned(p.x[0]+p.b.Panels[0]/2+p.ems(0.3), middle, 0.85, "middle", Label, "glue lap")
	}
	for i := 1; i <= 4; i++ {
		centre := (p.x[i] + p.x[i+1]) / 2
		name, flap := "length panel", "outer flap"
		if i%2 == 0 {
			name, flap = "width panel", "inner flap"
		}
		if !p.b.slotted() {
			name, flap = "panel", ""
		}
		p.name(centre, middle, p.b.Panels[i], low-high, name)
		if flap != "" {
			p.name(centre, (p.y[0]+p.y[1])/2, p.b.Panels[i]-p.b.SlotWidth, p.b.Strips[0], flap)
		}
	}
	p.fluteArrow(low, high)
}

func (p *blankPlan) name(x, y, width, height quantity.Length, words string) {
	if size, fits := p.fitted(words, width-p.ems(0.6), 0.95, 0.6); fits && height > p.ems(1.2) {
		p.words(x, y+p.ems(0.3), size, "middle", Label, words)
	}
}

// fluteArrow shows the flutes' direction in the last panel.
func (p *blankPlan) fluteArrow(low, high quantity.Length) {
	if low-high < p.ems(5) || p.b.Panels[4] < p.ems(4) {
		return
	}
	x, m := p.right()-p.ems(1), (low+high)/2
	p.arrow(x, m-p.ems(2), x, m+p.ems(2), Dim)
	p.turned(x-p.ems(0.3), m, 0.8, "middle", Label, "flutes")
}

func (p *blankPlan) dimensions() {
	below := p.bottom() + p.ems(2.2)
	ends := []quantity.Length{p.left(), p.right()}
	if len(p.b.Panels) > 1 {
		p.across(p.x, below, p.bottom()+p.ems(0.3))
		below += p.ems(2.2)
	}
	p.across(ends, below, p.bottom()+p.ems(0.3))
	beside := p.left() - p.ems(1.6)
	falling := make([]quantity.Length, len(p.y))
	for i, y := range p.y {
		falling[len(p.y)-1-i] = y
	}
	if len(p.b.Strips) > 1 {
		p.down(falling, beside, p.left()-p.ems(0.3))
		beside -= p.ems(2.4)
	}
	p.down([]quantity.Length{p.top(), p.bottom()}, beside, p.left()-p.ems(0.3))
	note := "dimensions in " + lengthWord(p.f)
	if p.b.Title != "" {
		note = p.b.Title + " · " + note
	}
	size, _ := p.fitted(note, p.d.Width-p.ems(1), 0.9, 0.2)
	p.words(p.ems(0.5), p.d.Height-p.ems(0.9), size, "start", Dim, note)
}
