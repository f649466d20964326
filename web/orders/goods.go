package orders

import (
	"fmt"
	"net/http"
	"strconv"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan/stock"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/web/frame"
)

// goods is what the order page says of made goods: its own, those that come
// from elsewhere, its blanket order and its kit.
type goods struct {
	Now     stock.Line
	ToShip  int // still to leave the plant
	Blanket *stock.BlanketLeft
	Kit     *stock.Kit
	From    []stock.Allot // free goods that come to it by due time
	To      []stock.Allot // of its goods, to others
	Sources []source      // whose goods could be given to it by hand
	Taken   []order.Allotment
	Given   []order.Allotment
	Deliver []frame.Field
}

// source is a line of the same item with goods in the house.
type source struct {
	Key   ident.Release
	Boxes int
	Free  bool // belongs to no release
}

func (pg *orderPage) goodsOf(snap *desk.Snapshot, s stock.Standing) {
	l := pg.Line
	g := goods{Now: s.Lines[l.Key], Taken: l.Taken, Given: l.Given}
	g.ToShip = max(0, l.Quantity-g.Now.Shipped)
	if b, ok := s.BlanketOf(l.Key); ok {
		g.Blanket = &b
	}
	if k, ok := s.KitOf(l.Key); ok {
		g.Kit = &k
	}
	for _, a := range s.Allots {
		switch l.Key {
		case a.To:
			g.From = append(g.From, a)
		case a.From:
			g.To = append(g.To, a)
		}
	}
	for _, o := range snap.Lines {
		n := s.Lines[o.Key]
		if rest := n.Have - n.Shipped; o.Item == l.Item && o.Key != l.Key && o.Kind != order.Blanket && rest > 0 && (o.State != order.Closed || n.Free > 0) {
			g.Sources = append(g.Sources, source{o.Key, rest, n.Free > 0})
		}
	}
	g.Deliver = []frame.Field{
		{Name: "boxes", Label: "Boxes that went out", Kind: "number", Least: "1", Needed: true},
	}
	pg.Goods = g
}

// Deliver records what went out, and closes the order where it is the last delivery.
func (p Pages) Deliver(w http.ResponseWriter, r *http.Request) error {
	key, err := frame.ReleaseOf(r)
	if err != nil {
		return err
	}
	v := frame.Values{R: r}
	d := desk.Delivery{
		ID: ident.Fact(v.Text("fact")), Boxes: v.Count("boxes", 1, 0), Closes: v.Text("closes") != "",
		Closing: desk.Closing{Version: v.Count("version", 1, 0), ToStock: v.Text("to_stock") != "", Who: frame.Who(r), Why: v.Text("why")},
	}
	if err := v.Err(); err != nil {
		return err
	}
	if d.ID == "" {
		return frame.Wrong("fact", "", "must be given, so that a form sent twice counts once")
	}
	done, err := p.Desk.Deliver(r.Context(), key, d)
	if err != nil {
		return err
	}
	words := fmt.Sprintf("%s of %s went out", frame.Plural(d.Boxes, "box"), key)
	if d.Boxes != 1 {
		words = fmt.Sprintf("%s boxes of %s went out", order.Thousands(d.Boxes), key)
	}
	if d.Closes {
		words += ", and the order is closed"
	}
	for _, odd := range done.Warnings {
		words += "; " + odd
	}
	return frame.Done(w, r, frame.OrderPath(key), frame.Sentence(words))
}

// Allot gives made goods of another line to this one, or back, in a person's name.
func (p Pages) Allot(w http.ResponseWriter, r *http.Request) error {
	key, err := frame.ReleaseOf(r)
	if err != nil {
		return err
	}
	v := frame.Values{R: r}
	from, err := ident.ParseRelease(v.Text("from"))
	if err != nil {
		return fault.Violations{{Field: "from", Value: v.Text("from"), Rule: "must be a line of the book"}}
	}
	n, err := strconv.Atoi(v.Text("boxes"))
	if err != nil {
		return frame.Wrong("boxes", v.Text("boxes"), "must be a whole number")
	}
	by := v.Text("by")
	if err := p.Desk.Allot(r.Context(), from, key, n, by, v.Text("why")); err != nil {
		return err
	}
	words := fmt.Sprintf("%s boxes of %s go to %s, decided by %s.", order.Thousands(n), from, key, by)
	if n < 0 {
		words = fmt.Sprintf("%s boxes go back to %s, decided by %s.", order.Thousands(-n), from, by)
	}
	return frame.Done(w, r, frame.OrderPath(key), words)
}
