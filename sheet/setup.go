package sheet

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/draw"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plan/waste"
	"github.com/flutewright/flutewright/plant"
)

// SetUpSheet prints the dry-end set-up of one run: the web drawn to scale, four
// numbers to read from two metres, and where every slitter and scorer stands,
// from the centre line and from the operator side.
//
// It returns fault.NotFound when the plan holds no run runSeq.
func SetUpSheet(w io.Writer, book plant.Book, p *plan.Plan, runSeq int) error {
	s, err := newSource(book, p)
	if err != nil {
		return err
	}
	r, err := s.run(runSeq)
	if err != nil {
		return err
	}
	return s.setUpSheets(w, fmt.Sprintf("Set-up of run %d", runSeq), []runs.Run{r})
}

// SetUpSheets prints the set-up of every run of the plan, one a page.
func SetUpSheets(w io.Writer, book plant.Book, p *plan.Plan) error {
	s, err := newSource(book, p)
	if err != nil {
		return err
	}
	return s.setUpSheets(w, "Set-ups", p.Runs)
}

func (s *source) setUpSheets(w io.Writer, title string, all []runs.Run) error {
	f := s.open(title, cautionDryEnd, s.words.page().turned())
	if len(all) == 0 {
		f.put(margin, f.newPage(title, "", "")+8, style{points: strong}, "This plan holds no run.")
	}
	for _, r := range all {
		if err := s.setUp(f, r); err != nil {
			return err
		}
	}
	return f.finish(w)
}

// setUp prints one run on a page of its own.
func (s *source) setUp(f *folio, r runs.Run) error {
	u, ok := s.setups[r.Seq]
	if !ok {
		return fmt.Errorf("run %d: the plan holds no set-up for it: %w", r.Seq, fault.NotFound)
	}
	stacks, err := s.stacks(r)
	if err != nil {
		return err
	}
	t := s.times[r.Seq]
	sub := fmt.Sprintf("%s  ·  start %s, end %s  ·  %s at %s %s", s.grades[r.Grade].Description, f.clock(t.Start), f.clock(t.End),
		f.web(r.Length), f.Speed(t.Speed), f.SpeedUnit())
	y := f.newPage(fmt.Sprintf("Run %d   %s", r.Seq, r.Grade), sub, string(s.book.Plant.Corrugator.Code))
	y = f.numbers(margin, y, f.inner(), 48, s.fourNumbers(r, u)) + 2
	tail := f.floor() - s.lanesTable(r, stacks).tall()
	positions := max(5+float64(positionRows(u))*positionRow, s.endingTall(f, r, u))
	y = f.picture(draw.WebSection(s.section(r), f.Format), margin, y, f.inner(), tail-positions-y-5)
	y = max(y+2, tail-positions-3)
	s.positions(f, y, u)
	s.ending(f, y, r, u)
	f.table(margin, tail, f.inner(), s.lanesTable(r, stacks))
	return nil
}

// number is one large figure with its name above.
type number struct{ name, figure string }

// numbers prints figures side by side in the width and returns the lower edge.
func (f *folio) numbers(x, y, width, points float64, all []number) float64 {
	step := width / float64(len(all))
	h := points * pointMM
	for i, n := range all {
		at := x + float64(i)*step
		if i > 0 {
			f.SetDrawColor(faint[0], faint[1], faint[2])
			f.line(at-3, y+1, at-3, y+5+h*0.8, hairline)
			f.SetDrawColor(ink[0], ink[1], ink[2])
		}
		f.fit(at, y+4, step-4, style{points: plain, tone: &quiet}, n.name)
		f.fit(at, y+5.5+h*0.75, step-5, style{points: points, bold: true}, n.figure)
	}
	return y + 6 + h*0.9
}

// fourNumbers are what the dry end sets: the web, the chop of each knife level,
// and the count that ends the run. With one level the length takes the free place.
func (s *source) fourNumbers(r runs.Run, u plan.Setup) []number {
	w := s.words
	chops := map[int]quantity.Length{}
	for _, l := range r.Lanes {
		chops[l.Level] = l.Chop
	}
	out := []number{{"web, " + w.LengthUnit(), w.Length(r.Web)}}
	for level := 1; level <= 3; level++ {
		if c, ok := chops[level]; ok {
			out = append(out, number{fmt.Sprintf("chop, %s: %s", levelName(level), w.LengthUnit()), w.Length(c)})
		}
	}
	if len(chops) == 1 {
		out = append(out, number{"length, " + w.RunUnit(), w.Run(r.Length)})
	}
	if len(out) > 3 {
		out = out[1:] // three knives: the web stands in the picture
	}
	return append(out, number{fmt.Sprintf("ENDS AT, cuts of %s, %s", u.EndsOrder, levelName(u.EndsLevel)), w.Count(u.EndsCount)})
}

func levelName(level int) string { return "level " + strconv.Itoa(level) }

// said is a paragraph with the gap before it.
type said struct {
	gap   float64
	style style
	words string
}

// endingWords say when the run ends and what follows.
func (s *source) endingWords(f *folio, r runs.Run, u plan.Setup) []said {
	out := []said{{0, style{points: plain, bold: true}, fmt.Sprintf("Ends when the counter of level %d (%s) shows %s cuts.", u.EndsLevel, u.EndsOrder, f.Count(u.EndsCount))}}
	if n := s.book.Plant.Corrugator.Limits.RejectCutsPerLane; n > 0 {
		out = append(out, said{0, style{points: small}, fmt.Sprintf("The first %s of each lane go to waste and are in the count.", f.plural(n, "cut", "cuts"))})
	}
	var parts []string
	for _, p := range waste.OfRun(s.book, s.plan, r.Seq) {
		parts = append(parts, wasteName(p)+" "+s.words.wasteFigure(p))
	}
	if len(parts) > 0 {
		out = append(out, said{0, style{points: small}, "Planned waste: " + strings.Join(parts, ", ") + "."})
	}
	return append(out, said{1.5, style{points: small}, s.follows(r)})
}

const (
	endingX     = margin + 3*(positionsWidth+4)
	endingAbove = 10.0 // head and line
)

// endingTall is the height that the words about the end take, mm.
func (s *source) endingTall(f *folio, r runs.Run, u plan.Setup) float64 {
	h := endingAbove
	for _, w := range s.endingWords(f, r, u) {
		h += w.gap + float64(len(f.wrap(f.width-margin-endingX, w.style, w.words)))*w.style.points*pointMM*1.3
	}
	return h
}

// ending prints when the run ends and what follows.
func (s *source) ending(f *folio, y float64, r runs.Run, u plan.Setup) {
	width := f.width - margin - endingX
	f.put(endingX, y+3.4, style{points: tiny, tone: &quiet}, "the end of this run")
	f.line(endingX, y+5, endingX+width, y+5, 0.3)
	y += endingAbove
	for _, w := range s.endingWords(f, r, u) {
		y = f.paragraph(endingX, y+w.gap, width, w.style, w.words)
	}
}

func (s *source) follows(r runs.Run) string {
	next, err := s.run(r.Seq + 1)
	if err != nil {
		return "Next: no further run in this plan."
	}
	var lanes []string
	for _, l := range next.Lanes {
		lanes = append(lanes, fmt.Sprintf("%d × %s", l.Outs, l.Order))
	}
	l := runList{source: s, folio: &folio{words: s.words}, last: &r}
	change := l.change(next)
	if change == "" {
		change = "Same board and web"
	}
	return fmt.Sprintf("Next: run %d, %s. %s.", next.Seq, strings.Join(lanes, " + "), change)
}

func (s *source) lanesTable(r runs.Run, stacks []Stack) table {
	w := s.words
	t := table{height: 6.4, columns: []column{
		{head: "level", width: 14, anchor: "end"}, {head: "order", width: 26, bold: true}, {head: "item"}, {head: "outs", width: 12, anchor: "end"},
		{head: "slit, " + w.LengthUnit(), width: 22, anchor: "end"}, {head: "chop, " + w.LengthUnit(), width: 22, anchor: "end"},
		{head: "scores from slit edge", width: 40, anchor: "end"}, {head: "cuts", width: 20, anchor: "end"},
		{head: "good sheets", width: 22, anchor: "end"}, {head: "stacks", width: 30, anchor: "end"}, {head: "to", width: 18, anchor: "end"},
	}}
	for i, l := range r.Lanes {
		to := "dispatch"
		if j, ok := s.next(l.Order); ok {
			to = string(j.Machine)
		}
		t.rows = append(t.rows, []string{strconv.Itoa(l.Level), l.Order, s.itemName(l.Order), strconv.Itoa(l.Outs), w.Length(l.Slit), w.Length(l.Chop),
			lengthsInWords(w, s.demands[l.Order].Sheet.Scores), w.Count(l.Cuts), w.Count(l.Sheets), stackWords(w, stacks, i+1), to})
	}
	return t
}

// stackWords is "12 of 602 high": a lane's stacks and the height of a full one in sheets.
func stackWords(w words, stacks []Stack, lane int) string {
	n, high := 0, 0
	for _, st := range stacks {
		if st.Lane == lane {
			n++
			high = max(high, st.High)
		}
	}
	return fmt.Sprintf("%d of %s high", n, w.Count(high))
}

func lengthsInWords(w words, all []quantity.Length) string {
	if len(all) == 0 {
		return "none"
	}
	out := make([]string, len(all))
	for i, l := range all {
		out[i] = w.Length(l)
	}
	return strings.Join(out, " / ")
}
