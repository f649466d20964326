package sheet

import (
	"cmp"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
)

// RunList prints the corrugator's run list for the crew: one block a board
// grade with the paper of each stand and the rolls to stage, then its runs in
// sequence with every lane. Changes from the run before are marked.
func RunList(w io.Writer, book plant.Book, p *plan.Plan) error {
	s, err := newSource(book, p)
	if err != nil {
		return err
	}
	f := s.open("Corrugator run list", cautionCorrugator, s.words.page())
	l := runList{source: s, folio: f}
	l.y = l.fresh()
	if len(p.Runs) == 0 {
		f.put(margin, l.y+8, style{points: strong}, "This plan holds no run.")
	}
	for _, b := range blocks(p.Runs) {
		if err := l.block(b); err != nil {
			return err
		}
	}
	return f.finish(w)
}

// blocks parts runs where the grade changes.
func blocks(all []runs.Run) [][]runs.Run {
	var out [][]runs.Run
	for i, r := range all {
		if i == 0 || r.Grade != all[i-1].Grade {
			out = append(out, nil)
		}
		out[len(out)-1] = append(out[len(out)-1], r)
	}
	return out
}

type runList struct {
	*source
	*folio
	y    float64
	last *runs.Run // printed before
}

func (l *runList) fresh() float64 {
	t := l.plan.Totals
	sub := fmt.Sprintf("%s, %s of web, %s of paper; side trim and rejects %s %% of the web",
		l.plural(len(l.plan.Runs), "run", "runs"), l.web(t.Length), l.BigMass(l.plan.Summary.PaperMass)+" "+l.BigMassUnit(), l.Number(t.WastePct, 1))
	for _, m := range l.plan.Clock.Manning {
		if m.Machine == l.book.Plant.Corrugator.Code {
			sub += fmt.Sprintf("; the %s crew works over %s to %s", m.Shift, l.clock(m.From), l.clock(m.Until))
		}
	}
	return l.newPage("Corrugator run list", sub, string(l.book.Plant.Corrugator.Code))
}

// block prints one grade: its head, its stands, its runs. The head never stands alone at the foot of a page.
func (l *runList) block(b []runs.Run) error {
	stands := l.stands(b)
	missing := l.uncovered(b)
	l.y = l.room(l.y, 10+stands.tall()+26+5*float64(len(missing)), l.fresh)
	l.head(b)
	if len(stands.rows) > 0 {
		l.y = l.table(margin, l.y+1, l.inner(), stands) + 2
	}
	for _, m := range missing {
		l.put(margin, l.y+3, style{points: small, bold: true, tone: &signal}, m)
		l.y += 5
	}
	for i := range b {
		if err := l.run(b[i]); err != nil {
			return err
		}
		l.last = &b[i]
	}
	l.y += 4
	return nil
}

func (l *runList) head(b []runs.Run) {
	g := l.grades[b[0].Grade]
	length, span := b[0].Length, "run "+strconv.Itoa(b[0].Seq)
	for _, r := range b[1:] {
		length += r.Length
	}
	if len(b) > 1 {
		span = fmt.Sprintf("runs %d–%d", b[0].Seq, b[len(b)-1].Seq)
	}
	l.band(margin, l.y, l.inner(), 8, warm)
	l.fit(margin+2, l.y+5.7, 40, style{points: strong, bold: true}, string(b[0].Grade))
	l.fit(margin+44, l.y+5.6, l.inner()-44-62, style{points: plain}, g.Description)
	l.fit(l.width-margin-2, l.y+5.6, 58, style{points: plain, anchor: "end"}, span+"  ·  "+l.web(length))
	l.y += 9
}

// change names what differs from the run before: the crew's cue to get ready.
func (l *runList) change(r runs.Run) string {
	if l.last == nil {
		return ""
	}
	var out []string
	if r.Grade != l.last.Grade {
		out = append(out, fmt.Sprintf("GRADE %s to %s", l.last.Grade, r.Grade))
		if a, b := l.grades[l.last.Grade], l.grades[r.Grade]; a.Walls() != b.Walls() {
			out = append(out, map[bool]string{true: "DOUBLE WALL", false: "SINGLE WALL"}[b.Walls() > 1])
		} else if a.Flute != b.Flute {
			out = append(out, fmt.Sprintf("FLUTE %s to %s", a.Flute, b.Flute))
		}
	}
	if r.Web != l.last.Web {
		out = append(out, fmt.Sprintf("WEB %s to %s", l.Length(l.last.Web), l.size(r.Web)))
	}
	if a, b := l.adhesive(*l.last), l.adhesive(r); b != "" && a != b {
		out = append(out, "ADHESIVE "+b)
	}
	return strings.Join(out, "   ·   ")
}

// adhesive is the recipe that a run's orders ask for; "" where they take any.
func (s *source) adhesive(r runs.Run) string {
	for _, lane := range r.Lanes {
		if d, ok := s.demands[lane.Order]; ok && s.items[d.Item].Adhesive != "" {
			return s.items[d.Item].Adhesive
		}
	}
	return ""
}

func (l *runList) run(r runs.Run) error {
	stacks, err := l.stacks(r)
	if err != nil {
		return err
	}
	lanes := l.lanes(r, stacks)
	l.y = l.room(l.y, 14+lanes.tall(), l.fresh)
	if c := l.change(r); c != "" {
		if t := l.times[r.Seq]; t.Change >= 0.5 {
			c += fmt.Sprintf("   ·   about %s min", l.Number(float64(t.Change), 0))
		}
		l.put(margin, l.y+4, style{points: small, bold: true, tone: &signal}, "CHANGE   "+c)
		l.y += 5.5
	}
	l.runHead(r)
	l.y = l.table(margin+14, l.y, l.inner()-14, lanes) + 3
	return nil
}

func (l *runList) runHead(r runs.Run) {
	t := l.times[r.Seq]
	l.put(margin, l.y+8, style{points: 22, bold: true}, strconv.Itoa(r.Seq))
	figures := [][2]string{
		{"start", l.clock(t.Start)}, {"end", l.clock(t.End)}, {"web, " + l.LengthUnit(), l.Length(r.Web)},
		{"length, " + l.RunUnit(), l.Run(r.Length)}, {"trim, each side", l.Length(r.Trim / 2)}, {"speed, " + l.SpeedUnit(), l.Speed(t.Speed)},
	}
	step := (l.inner() - 14) / float64(len(figures))
	for i, fig := range figures {
		x := margin + 14 + float64(i)*step
		l.fit(x+cellGap, l.y+3.2, step-2, style{points: tiny, tone: &quiet}, fig[0])
		l.fit(x+cellGap, l.y+8.4, step-2, style{points: strong, bold: i == 2 || i == 3}, fig[1])
	}
	l.y += 10
}

func (l *runList) lanes(r runs.Run, stacks []Stack) table {
	t := table{points: small, columns: []column{
		{head: "order", width: 24, bold: true}, {head: "item"}, {head: "level", width: 10, anchor: "end"}, {head: "outs", width: 10, anchor: "end"},
		{head: "slit", width: 17, anchor: "end"}, {head: "chop", width: 19, anchor: "end"}, {head: "cuts", width: 15, anchor: "end"},
		{head: "good sheets", width: 18, anchor: "end"}, {head: "stacks", width: 13, anchor: "end"}, {head: "to", width: 16, anchor: "end"},
	}}
	n := map[int]int{}
	for _, st := range stacks {
		n[st.Lane]++
	}
	for i, lane := range r.Lanes {
		to := "dispatch"
		if j, ok := l.next(lane.Order); ok {
			to = string(j.Machine)
		}
		name := l.itemName(lane.Order)
		if lane.Upgraded {
			name += " (upgraded)"
		}
		t.rows = append(t.rows, []string{lane.Order, name, strconv.Itoa(lane.Level), strconv.Itoa(lane.Outs), l.Length(lane.Slit), l.Length(lane.Chop),
			l.Count(lane.Cuts), l.Count(lane.Sheets), l.Count(n[i+1]), to})
	}
	return t
}

// itemName is the description of what an order's lane makes, or its item code.
func (s *source) itemName(order string) string { return s.describe(s.demands[order].Item) }

// describe is an item's description, or its code where it has none.
func (s *source) describe(code ident.Item) string {
	return cmp.Or(s.items[code].Description, string(code))
}
