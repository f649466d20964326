package sheet

import (
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/calendar"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/supply"
	"github.com/flutewright/flutewright/plant"
)

const cautionCallOff = "A list to call off by. It orders nothing: the supplier is called by a person, and what is agreed there rules. Masses are computed from the papers' grammage."

// CallOffSheet prints rows of the call-off list on one page of the plant's size:
// for every supplier and truck the papers, widths, rolls and masses, the hour to
// call by and the hour by which they are wanted. What does not fit is counted.
func CallOffSheet(w io.Writer, book plant.Book, calls []supply.Call, now time.Time) error {
	clock, err := calendar.Compile(book.Plant.Calendar)
	if err != nil {
		return err
	}
	words := newWords(book.Plant.Display, clock.Zone(), now)
	f := newFolio(words, "Paper to call off", words.page(), now)
	f.AliasNbPages(pagesAlias)
	f.caution, f.left = cautionCallOff, fmt.Sprintf("%s  ·  written %s", book.Plant.Name, words.moment(now))
	y := f.newPage("Paper to call off", book.Plant.Name, "")
	left := len(calls)
	if left == 0 {
		f.put(margin, y+8, style{points: strong}, "Nothing must be called off.")
	}
	for _, own := range trucksOf(calls) {
		t := callTable(words, book.Plant, own)
		if y+7+t.tall()+11 > f.floor() {
			break
		}
		f.put(margin, y+5, style{points: plain, bold: true}, callHead(words, own))
		y = f.table(margin, y+7, f.inner(), t)
		y = f.answered(y + 7)
		left -= len(own)
	}
	if left > 0 {
		f.put(margin, y+4, style{points: small, tone: &quiet}, fmt.Sprintf("and %d more that this page has no room for", left))
	}
	return f.finish(w)
}

// trucksOf parts rows by supplier and truck, in the order of the list.
func trucksOf(calls []supply.Call) [][]supply.Call {
	type key struct {
		supplier string
		truck    int
	}
	at := map[key]int{}
	var out [][]supply.Call
	for _, c := range calls {
		k := key{c.Supplier, c.Truck}
		n, there := at[k]
		if !there {
			n = len(out)
			at[k] = n
			out = append(out, nil)
		}
		out[n] = append(out[n], c)
	}
	return out
}

// callHead is "Tarnholm Liner, truck 2: 23,100 kg, 96 % full, call by Mon 12:00".
func callHead(w words, own []supply.Call) string {
	first, mass := own[0], quantity.Mass(0)
	by := first.By
	for _, c := range own {
		mass += c.Mass
		if c.By.Before(by) {
			by = c.By
		}
	}
	parts := []string{w.mass(mass)}
	name := first.Supplier
	if name == "" {
		name = "No supplier stated"
	}
	if first.Truck > 0 {
		name += ", truck " + strconv.Itoa(first.Truck)
		parts = append(parts, w.Number(first.FullPct, 0)+" % full")
	}
	if !by.IsZero() {
		parts = append(parts, "call by "+w.clock(by))
	}
	return name + ": " + strings.Join(parts, ", ")
}

func callTable(w words, p plant.Plant, own []supply.Call) table {
	t := table{points: small, columns: []column{
		{head: "paper", width: 20, bold: true}, {head: "what it is"}, {head: "width, " + w.LengthUnit(), width: 20, anchor: "end", bold: true},
		{head: "rolls", width: 14, anchor: "end", bold: true}, {head: "length, " + w.RunUnit(), width: 22, anchor: "end"},
		{head: "mass, " + w.MassUnit(), width: 22, anchor: "end"}, {head: "here by", width: 30, anchor: "end"},
	}}
	names := map[string]string{}
	for _, paper := range p.Papers {
		names[string(paper.Code)] = paper.Description
		if paper.Description == "" {
			names[string(paper.Code)] = fmt.Sprintf("%s, %s %s", paper.Kind, w.Grammage(paper.Grammage), w.GrammageUnit())
		}
	}
	for _, c := range own {
		t.rows = append(t.rows, []string{string(c.Paper), names[string(c.Paper)], w.Length(c.Web), w.Count(c.Rolls), w.Run(c.Metres), w.Mass(c.Mass), w.clock(c.NeededAt)})
	}
	return t
}

// answered leaves lines for what the supplier says.
func (f *folio) answered(y float64) float64 {
	third := f.inner() / 3
	for i, what := range []string{"supplier's order number", "promised for", "called by, at"} {
		x := margin + float64(i)*third
		f.line(x, y, x+third-6, y, hairline)
		f.put(x, y+3.5, style{points: tiny, tone: &quiet}, what)
	}
	return y + 4.5
}
