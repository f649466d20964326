package boxes

import (
	"fmt"
	"net/http"
	"strconv"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan/stock"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
	"github.com/flutewright/flutewright/web/frame"
)

// inStock is the item's stock as its page shows it.
type inStock struct {
	stock.Item
	Free   []freeGoods
	Filled []order.Line // open stock orders
	Days   int
	Parts  []ident.Item
	Stages []stages // of the open lines
	Fields []frame.Field
}

// stages is one open line with its quantities side by side.
type stages struct {
	Line  order.Line
	Goods stock.Line
	Done  trace.Quantities
}

type freeGoods struct {
	Key   ident.Release
	Boxes int
}

func (pg *itemPage) stocked(snap *desk.Snapshot, s stock.Standing) {
	i := pg.Item
	out := inStock{Item: s.Items[i.Code], Days: i.StockDays, Parts: i.Kit}
	if out.Days == 0 {
		out.Days = order.DefaultStockDays
	}
	for _, l := range snap.Lines {
		if l.Item != i.Code {
			continue
		}
		if l.State != order.Closed {
			out.Stages = append(out.Stages, stages{l, s.Lines[l.Key], snap.Done[l.Key]})
		}
		if n := s.Lines[l.Key].Free; n > 0 {
			out.Free = append(out.Free, freeGoods{l.Key, n})
		}
		if l.Kind == order.ForStock && l.State == order.Open {
			out.Filled = append(out.Filled, l)
		}
	}
	number := func(n int) string {
		if n == 0 {
			return ""
		}
		return strconv.Itoa(n)
	}
	out.Fields = []frame.Field{
		{Name: "stock_least", Label: "Keep at least, boxes", Kind: "number", Least: "0", Value: number(i.StockLeast), Hint: "empty: made to order"},
		{Name: "stock_most", Label: "Fill up to, boxes", Kind: "number", Least: "0", Value: number(i.StockMost)},
		{Name: "stock_days", Label: "Filled up in, days", Kind: "number", Least: "0", Value: number(i.StockDays), Hint: fmt.Sprintf("empty: %d", order.DefaultStockDays)},
	}
	pg.Stock = out
}

// Stock keeps how much of an item lies in stock.
func (p Pages) Stock(w http.ResponseWriter, r *http.Request) error {
	pg, err := p.item(w, r)
	if err != nil {
		return err
	}
	v := frame.Values{R: r}
	version := v.Count("version", 1, 0)
	i := pg.Item
	i.StockLeast, i.StockMost, i.StockDays = v.Count("stock_least", 0, 0), v.Count("stock_most", 0, 0), v.Count("stock_days", 0, 0)
	if err = v.Err(); err == nil {
		i.Revision++
		err = p.Desk.SaveItem(r.Context(), i, version, frame.Who(r), "stock")
	}
	if err == nil {
		return frame.Done(w, r, frame.ItemPath(i.Code), "The stock of "+string(i.Code)+" is stated. The next plan fills it up where it is low.")
	}
	vs, other := frame.Violations(err)
	if other != nil {
		return other
	}
	pg.Fields = pg.sheetFields()
	for n := range pg.Stock.Fields {
		pg.Stock.Fields[n].Value = r.FormValue(pg.Stock.Fields[n].Name)
	}
	pg.Amiss = frame.Mark(pg.Stock.Fields, vs)
	return p.Render(w, http.StatusUnprocessableEntity, pages["item.html"], pg)
}

// Found enters boxes that lie in stock.
func (p Pages) Found(w http.ResponseWriter, r *http.Request) error {
	v := frame.Values{R: r}
	code, boxes, id := ident.Item(r.PathValue("item")), v.Count("boxes", 1, 0), v.Text("fact")
	if err := v.Err(); err != nil {
		return err
	}
	if id == "" {
		return frame.Wrong("fact", "", "must be given, so that a form sent twice counts once")
	}
	if err := p.Desk.FoundInStock(r.Context(), code, boxes, ident.Fact(id), frame.Who(r)); err != nil {
		return err
	}
	return frame.Done(w, r, frame.ItemPath(code), order.Thousands(boxes)+" boxes of "+string(code)+" are in stock; the next plan counts on them.")
}

// Remove takes an item out of the book; one that lines still name is refused.
func (p Pages) Remove(w http.ResponseWriter, r *http.Request) error {
	v := frame.Values{R: r}
	version := v.Count("version", 1, 0)
	if err := v.Err(); err != nil {
		return err
	}
	code := r.PathValue("item")
	if err := p.Desk.Remove(r.Context(), desk.KindItem, code, version, frame.Who(r), v.Text("why")); err != nil {
		return err
	}
	return frame.Done(w, r, "/boxes", "Item "+code+" is removed; its history stays.")
}
