package draw

import (
	"fmt"

	"github.com/flutewright/flutewright/base/quantity"
)

const rowHigh = 5.2 // ems of one knife level's row

// sectionPlan places a section on a canvas; x0 is the operator side's web edge.
type sectionPlan struct {
	canvas
	s           Section
	x0          quantity.Length
	top, bottom quantity.Length
	rows        []int // knife levels in use, upper first
}

func (p *sectionPlan) levels() {
	for level := 1; level <= 2; level++ {
		for _, l := range p.s.Lanes {
			if l.Level == level {
				p.rows = append(p.rows, level)
				break
			}
		}
	}
	if len(p.rows) == 0 {
		p.rows = []int{1}
	}
}

// row returns the top and bottom of a knife level's row.
func (p *sectionPlan) row(level int) (top, bottom quantity.Length) {
	i := 0
	if len(p.rows) == 2 && level == 2 {
		i = 1
	}
	top = p.top + p.ems(rowHigh)*quantity.Length(i)
	return top + p.ems(0.25), top + p.ems(rowHigh-0.25)
}

func (p *sectionPlan) trim() {
	end := p.x0 + p.s.Web
	p.rect(p.x0, p.top, p.x0+p.s.TrimOperator, p.bottom, Waste)
	p.rect(end-p.s.TrimDrive, p.top, end, p.bottom, Waste)
}

func (p *sectionPlan) lanes() {
	at := p.x0 + p.s.TrimOperator
	for _, l := range p.s.Lanes {
		top, bottom := p.row(l.Level)
		role := Board
		if l.Level == 2 {
			role = BoardAlt
		}
		from := at
		for range l.Outs {
			p.rect(at, top, at+l.Slit, bottom, role)
			p.line(at, top, at+l.Slit, top, Outline)
			p.line(at, bottom, at+l.Slit, bottom, Outline)
			for _, sc := range l.Scores {
				p.line(at+sc, top, at+sc, bottom, Score)
			}
			at += l.Slit
		}
		p.label(l, from, (top+bottom)/2)
	}
}

// label names a lane in the widest strip between its slits and scores, across
// it in two or three lines where that fits and turned where it does not.
func (p *sectionPlan) label(l SectionLane, lane, y quantity.Length) {
	slit := p.f.Length(l.Slit)
	outs := fmt.Sprintf("%d ×", l.Outs)
	x, width := l.clear()
	x += lane
	room := width - p.ems(0.9)
	if p.stack(x, y, room, l.Label, outs+" "+slit) || p.stack(x, y, room, l.Label, outs, slit) {
		return
	}
	long := p.ems(rowHigh - 0.9)
	if width > p.ems(2.6) {
		one, _ := p.fitted(l.Label, long, 1.2, 0.3)
		two, _ := p.fitted(outs+" "+slit, long, 1, 0.3)
		p.turned(x-p.ems(0.15), y, one, "middle", Strong, l.Label)
		p.turned(x+p.ems(1.05), y, two, "middle", Label, outs+" "+slit)
		return
	}
	words := l.Label + "  " + outs + " " + slit
	high, _ := p.fitted(words, long, 0.9, 0.3)
	p.turned(x+p.ems(high*0.35), y, high, "middle", Strong, words)
}

// stack writes lines one below the other around y, the first one strong; it
// writes none and says so where one would be too small to read.
func (p *sectionPlan) stack(x, y, room quantity.Length, lines ...string) bool {
	sizes := make([]float64, len(lines))
	for i, words := range lines {
		want := 1.0
		if i == 0 {
			want = 1.35
		}
		size, fits := p.fitted(words, room, want, 0.72)
		if !fits {
			return false
		}
		sizes[i] = size
	}
	base := y - p.ems(0.7*float64(len(lines))-1.25)
	for i, words := range lines {
		role := Label
		if i == 0 {
			role = Strong
		}
		p.words(x, base+p.ems(1.4*float64(i)), sizes[i], "middle", role, words)
	}
	return true
}

// clear returns the middle and width of the widest strip of a lane that no slit
// or score crosses; of equal ones the nearest to the lane's middle.
func (l SectionLane) clear() (middle, width quantity.Length) {
	marks := []quantity.Length{0}
	for k := range quantity.Length(l.Outs) {
		for _, sc := range l.Scores {
			marks = append(marks, k*l.Slit+sc)
		}
		marks = append(marks, (k+1)*l.Slit)
	}
	centre := quantity.Length(l.Outs) * l.Slit / 2
	off := func(x quantity.Length) quantity.Length { return max(x-centre, centre-x) }
	for i := 1; i < len(marks); i++ {
		m, w := (marks[i-1]+marks[i])/2, marks[i]-marks[i-1]
		if w > width || w == width && off(m) < off(middle) {
			middle, width = m, w
		}
	}
	return middle, width
}

// cuts are the slits, through both rows and a little below, and the web's edges.
func (p *sectionPlan) cuts() {
	for _, at := range p.s.Slits() {
		p.line(p.x0+at, p.top-p.ems(0.3), p.x0+at, p.bottom+p.ems(0.9), Cut)
	}
	for _, at := range p.s.Scores() {
		p.line(p.x0+at, p.bottom, p.x0+at, p.bottom+p.ems(0.9), Score)
	}
	p.line(p.x0, p.top, p.x0, p.bottom, Outline)
	p.line(p.x0+p.s.Web, p.top, p.x0+p.s.Web, p.bottom, Outline)
	p.line(p.x0+p.s.Web/2, p.top-p.ems(0.8), p.x0+p.s.Web/2, p.bottom+p.ems(0.9), Centre)
}

func (p *sectionPlan) dimensions() {
	x, end := p.x0, p.x0+p.s.Web
	p.across([]quantity.Length{x, end}, p.ems(2.2), p.top-p.ems(0.6))
	inner := []quantity.Length{x, x + p.s.TrimOperator, end - p.s.TrimDrive, end}
	p.across(inner, p.ems(4.4), p.top-p.ems(0.6))
	p.words(p.ems(0.4), p.ems(1.3), 0.9, "start", Dim, "operator side")
	p.words(p.d.Width-p.ems(0.4), p.ems(1.3), 0.9, "end", Dim, "drive side")
	if len(p.rows) < 2 {
		return
	}
	for i, name := range []string{"upper", "lower"} {
		top, bottom := p.row(i + 1)
		p.words(p.x0-p.ems(0.5), (top+bottom)/2, 0.9, "end", Label, name)
		p.words(p.x0-p.ems(0.5), (top+bottom)/2+p.ems(1), 0.9, "end", Label, "knife")
	}
}

// ordinates write each slit and score position below its tick, spread so that
// no two figures touch.
func (p *sectionPlan) ordinates() {
	type tick struct {
		at   quantity.Length
		role Role
	}
	var ticks []tick
	slits, scores := p.s.Slits(), p.s.Scores()
	for len(slits)+len(scores) > 0 {
		if len(scores) == 0 || len(slits) > 0 && slits[0] <= scores[0] {
			ticks = append(ticks, tick{slits[0], Strong})
			slits = slits[1:]
		} else {
			ticks = append(ticks, tick{scores[0], Label})
			scores = scores[1:]
		}
	}
	at := make([]quantity.Length, len(ticks))
	for i, t := range ticks {
		at[i] = p.x0 + t.at
	}
	places := spread(at, p.ems(1.08), p.ems(1), p.d.Width-p.ems(0.6))
	size := 0.9
	if len(places) > 1 {
		if gap := places[1] - places[0]; gap < p.ems(1) && gap > 0 {
			size = min(size, float64(gap)/float64(p.em)*0.9)
		}
	}
	start := p.bottom + p.ems(0.9)
	for i, t := range ticks {
		p.line(at[i], start, places[i], start+p.ems(1), Dim)
		p.turned(places[i]+p.ems(size*0.35), start+p.ems(1.3), size, "end", t.role, p.f.Length(t.at))
	}
}

// figureRoom is the height of the longest turned position.
func (p *sectionPlan) figureRoom() (room quantity.Length) {
	for _, at := range append(p.s.Slits(), p.s.Scores()...) {
		room = max(room, wordWidth(p.f.Length(at), p.em))
	}
	return room
}

func (p *sectionPlan) legend() {
	y := p.d.Height - p.ems(0.9)
	x := p.x0
	p.line(x, y-p.ems(0.3), x+p.ems(2), y-p.ems(0.3), Cut)
	p.words(x+p.ems(2.4), y, 0.9, "start", Dim, "slit")
	p.line(x+p.ems(6), y-p.ems(0.3), x+p.ems(8.4), y-p.ems(0.3), Score)
	p.words(x+p.ems(8.8), y, 0.9, "start", Dim, "score")
	p.words(x+p.ems(13), y, 0.9, "start", Dim, "positions from the web's edge at the operator side, in "+lengthWord(p.f))
}
