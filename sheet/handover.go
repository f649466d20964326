package sheet

import (
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/calendar"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant"
)

// Handover is what one shift hands to the next, on one page.
type Handover struct {
	Shift     string
	From      time.Time
	Until     time.Time
	Now       time.Time // when it was written
	Who       []string  // who told facts in the shift
	Made      []HandoverMade
	Running   []string // sentences
	Waits     []string
	Holds     []string
	Waste     []HandoverWaste
	Questions []string // what needs a decision, worst first
}

// HandoverMade is what one machine made against the plan.
type HandoverMade struct {
	Machine string
	Unit    string // boxes, or the unit of length along the web
	Planned string // in Unit
	Made    string
	Done    int // runs or jobs ended
	Of      int // that the plan has end in the shift
	Stood   time.Duration
	Why     []string // it stood
}

// HandoverWaste is waste told in the shift, of one reason at one place.
type HandoverWaste struct {
	Reason string
	Place  string
	Mass   quantity.Mass
	Sheets int
}

const cautionHandover = "Walk the floor together: what this page does not know is what nobody has told. It states no permission to run a machine." + ruleOfPlant

// HandoverSheet prints a handover on one page of the plant's size. What does
// not fit is counted, so that nobody takes the page for the whole.
func HandoverSheet(w io.Writer, book plant.Book, h Handover) error {
	clock, err := calendar.Compile(book.Plant.Calendar)
	if err != nil {
		return err
	}
	words := newWords(book.Plant.Display, clock.Zone(), h.Now)
	f := newFolio(words, "Handover", words.page(), h.Now)
	f.AliasNbPages(pagesAlias)
	f.caution, f.left = cautionHandover, fmt.Sprintf("%s  ·  written %s", book.Plant.Name, words.moment(h.Now))
	y := f.newPage("Handover, "+h.Shift+" shift", fmt.Sprintf("%s to %s  ·  told by %s", words.moment(h.From), words.moment(h.Until), orNobody(h.Who)), "")
	y = f.table(margin, y, f.inner(), madeTable(h)) + 3
	for _, part := range []struct {
		head string
		said []string
		most int
	}{{"Runs now", h.Running, 6}, {"Waits", h.Waits, 6}, {"On hold", h.Holds, 6}} {
		y = f.said(y, part.head, part.said, part.most)
	}
	y = f.said(y, "Waste by reason", wasteWords(words, h.Waste), 7)
	y = f.said(y, "Open questions, worst first", h.Questions, 7)
	f.signed(y)
	return f.finish(w)
}

func orNobody(who []string) string {
	if len(who) == 0 {
		return "nobody"
	}
	return strings.Join(who, ", ")
}

func madeTable(h Handover) table {
	t := table{points: small, columns: []column{
		{head: "machine", width: 26, bold: true}, {head: "planned", width: 26, anchor: "end"}, {head: "made", width: 26, anchor: "end"},
		{head: "of", width: 16}, {head: "ended", width: 24, anchor: "end"}, {head: "stood"},
	}}
	for _, m := range h.Made {
		stood := ""
		if m.Stood > 0 {
			stood = fmt.Sprintf("%d min: %s", int(m.Stood.Minutes()), strings.Join(m.Why, ", "))
		}
		t.rows = append(t.rows, []string{m.Machine, m.Planned, m.Made, m.Unit, fmt.Sprintf("%d of %d", m.Done, m.Of), stood})
	}
	return t
}

func wasteWords(w words, all []HandoverWaste) []string {
	var out []string
	for _, x := range all {
		line := x.Reason + ", " + x.Place + ":"
		if x.Mass > 0 {
			line += " " + w.mass(x.Mass)
		}
		if x.Sheets > 0 {
			line += " " + w.plural(x.Sheets, "sheet", "sheets")
		}
		out = append(out, line)
	}
	return out
}

// said prints a head and its sentences, at most so many and no lower than the
// page allows, and counts what is left out.
func (f *folio) said(y float64, head string, all []string, most int) float64 {
	if y+10 > f.floor() {
		return y
	}
	f.put(margin, y+4, style{points: plain, bold: true}, head)
	y += 9
	s := style{points: small}
	if len(all) == 0 {
		f.put(margin, y, style{points: small, tone: &quiet}, "none told")
		return y + 5
	}
	for i, line := range all {
		rows := f.wrap(f.inner()-4, s, line)
		if i == most || y+float64(len(rows))*small*pointMM*1.3 > f.floor() {
			f.put(margin, y, style{points: small, tone: &quiet}, fmt.Sprintf("and %d more", len(all)-i))
			return y + 5
		}
		f.put(margin, y, s, "–")
		y = f.paragraph(margin+4, y, f.inner()-4, s, line)
	}
	return y + 2
}

// signed leaves two lines for the names of who goes and who comes.
func (f *folio) signed(y float64) {
	at := f.floor() - 4
	if y > at-8 {
		return
	}
	half := f.inner() / 2
	for i, who := range []string{"handed over by", "taken over by"} {
		x := margin + float64(i)*half
		f.line(x, at, x+half-8, at, hairline)
		f.put(x, at+3.5, style{points: tiny, tone: &quiet}, who)
	}
}
