package whatnow

import (
	"slices"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
)

// narrowed is the book without the open lines that no way on can touch, and
// without items that are then of no line: a line that the plan in force does not
// know, of which nothing is made, and whose item neither stands in stock nor is
// any other line's or a part of it, has no run, no job and no goods before the
// event, and gets none by it. What every answer would say of it is the same.
func (p Problem) narrowed() plant.Book {
	knows := map[ident.Release]bool{p.Event.Release: true, p.Event.Line.Key: true}
	for _, d := range p.Plan.Demands {
		knows[d.Release] = true
	}
	for _, st := range p.Book.Floor.Stacks {
		knows[st.Release] = true
	}
	items := map[ident.Item]bool{p.Event.Line.Item: true}
	for i := range p.Book.Lines {
		l := &p.Book.Lines[i]
		touched := l.State != order.Open || l.Kind != order.Ordinary || l.Parent != "" || len(l.Taken)+len(l.Given) > 0
		if touched || knows[l.Key] || p.Book.Done[l.Key] != (trace.Quantities{}) {
			items[l.Item] = true
		}
	}
	for i := range p.Book.Items {
		if t := &p.Book.Items[i]; t.StockLeast > 0 {
			items[t.Code] = true
		}
	}
	for i := range p.Book.Items {
		if t := &p.Book.Items[i]; items[t.Code] || slices.ContainsFunc(t.Kit, func(part ident.Item) bool { return items[part] }) {
			items[t.Code] = true
			for _, part := range t.Kit {
				items[part] = true
			}
		}
	}
	b := p.Book
	b.Lines = slices.DeleteFunc(slices.Clone(b.Lines), func(l order.Line) bool { return !items[l.Item] })
	b.Items = slices.DeleteFunc(slices.Clone(b.Items), func(t order.Item) bool { return !items[t.Code] })
	return b
}
