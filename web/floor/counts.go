package floor

import (
	"cmp"
	"fmt"
	"net/http"
	"slices"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
	"github.com/flutewright/flutewright/web/frame"
)

// counted is one release with its five counts side by side.
type counted struct {
	Line   order.Line
	C      trace.Counts
	Gaps   [4]trace.Gap
	Open   int // parts of gaps that no fact explains
	Cannot []string
}

type countsPage struct {
	frame.Base
	Shorts []desk.Short
	Overs  []desk.Over
	Rows   []counted
	Amount int // releases with counts
	Odd    int // of these, those that cannot be
	Pages  frame.Pager
}

// countsAPage is how many releases stand on one page.
const countsAPage = 60

// Counts answers: which counts do not agree, and which orders will end short?
func (p Pages) Counts(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	pg := countsPage{Base: p.Base(w, r, snap, "Orders", "Counts")}
	pg.Trail = []frame.Link{{Words: "Orders", To: "/orders"}}
	pg.Acts = []frame.Link{{Words: "Sheet floor", To: "/floor/lanes"}, {Words: "Waste", To: "/waste"}}
	if pg.Shorts, err = p.Desk.Shorts(r.Context()); err != nil {
		return err
	}
	if pg.Overs, err = p.Desk.Overs(r.Context()); err != nil {
		return err
	}
	var rows []counted
	for _, l := range snap.Lines {
		c, ok := countedOf(snap, l)
		if !ok {
			continue
		}
		pg.Amount++
		if len(c.Cannot) > 0 {
			pg.Odd++
		}
		rows = append(rows, c)
	}
	slices.SortStableFunc(rows, func(a, b counted) int {
		return cmp.Or(cmp.Compare(len(b.Cannot), len(a.Cannot)), cmp.Compare(b.Open, a.Open), ident.Compare(a.Line.Key, b.Line.Key))
	})
	pg.Rows, pg.Pages = frame.Cut(r, rows, countsAPage)
	return p.Render(w, http.StatusOK, pages["counts.html"], pg)
}

func countedOf(snap *desk.Snapshot, l order.Line) (counted, bool) {
	a, ok := snap.Account(l.Key)
	if !ok || a.Quantities == (trace.Quantities{}) {
		return counted{}, false
	}
	item, _ := snap.Item(l.Item)
	per := max(item.PiecesPerSheet, 1)
	c := counted{Line: l, C: a.Counts, Gaps: a.Gaps(per), Cannot: trace.Excess(a.Quantities, l.Quantity, per, l.OverPct)}
	for _, g := range c.Gaps {
		c.Open += max(g.Open, -g.Open)
		if g.Open < 0 {
			c.Cannot = append(c.Cannot, fmt.Sprintf("%s more %s than there can be after %s", order.Thousands(-g.Open), g.To, g.From))
		}
	}
	return c, true
}

type countPage struct {
	frame.Base
	counted
	Version int
	Short   *desk.Short
	Over    *desk.Over
	Spare   string         // boxes that are over, as typed
	To      string         // who takes them, as typed
	Cost    quantity.Money // of making what is missing again
	Boxes   string         // as typed
	Why     string
	Cause   string
	Again   string
}

// Count answers for one order: where are its boxes, and how will it end?
func (p Pages) Count(w http.ResponseWriter, r *http.Request) error {
	return p.count(w, r, http.StatusOK, nil)
}

func (p Pages) count(w http.ResponseWriter, r *http.Request, status int, why error) error {
	key, err := frame.ReleaseOf(r)
	if err != nil {
		return err
	}
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	l, version, err := p.Desk.Line(r.Context(), key)
	if err != nil {
		return err
	}
	pg := countPage{Base: p.Base(w, r, snap, "Orders", "Counts of "+key.String()), Version: version}
	pg.Trail = []frame.Link{{Words: "Orders", To: "/orders"}, {Words: key.String(), To: frame.OrderPath(key)}, {Words: "Counts", To: "/floor/counts"}}
	pg.counted, _ = countedOf(snap, l)
	pg.Line = l
	v, ok, err := p.Desk.ShortOf(r.Context(), key)
	if err != nil {
		return err
	}
	if ok {
		pg.Short = &v
		child := l
		child.Quantity = max(v.Missing, 1)
		pg.Cost = snap.CostOf(child)
		pg.Boxes, pg.Again = fmt.Sprint(v.Expect), fmt.Sprint(v.Missing)
	}
	over, ok, err := p.Desk.OverOf(r.Context(), key)
	if err != nil {
		return err
	}
	if ok {
		pg.Over, pg.Spare = &over, fmt.Sprint(over.Boxes)
		if len(over.Next) > 0 {
			pg.To = over.Next[0].Key.String()
		}
	}
	if why != nil {
		vs, err := frame.Violations(why)
		if err != nil {
			return err
		}
		pg.Spare, pg.To = r.FormValue("spare"), r.FormValue("to")
		pg.Boxes, pg.Why, pg.Cause, pg.Again = r.FormValue("boxes"), r.FormValue("why"), r.FormValue("cause"), r.FormValue("again")
		pg.Amiss = frame.Mark(nil, vs)
	}
	return p.Render(w, status, pages["count.html"], pg)
}

// Decide takes what a named person decides about a release that ends short.
func (p Pages) Decide(w http.ResponseWriter, r *http.Request) error {
	key, err := frame.ReleaseOf(r)
	if err != nil {
		return err
	}
	v := frame.Values{R: r}
	version, who := v.Count("version", 0, 0), v.Text("by")
	var words string
	switch v.Text("what") {
	case "short":
		boxes := v.Count("boxes", 0, 0)
		if err = v.Err(); err == nil {
			err = p.Desk.ShipShort(r.Context(), key, version, boxes, who, v.Text("why"))
		}
		words = fmt.Sprintf("%s is complete with %d boxes, decided by %s.", key, boxes, who)
	case "again":
		boxes := v.Count("again", 0, 0)
		var child ident.Release
		if err = v.Err(); err == nil {
			child, err = p.Desk.MakeAgain(r.Context(), desk.Remake{Of: key, Version: version, Boxes: boxes, Cause: v.Text("cause"), By: who})
		}
		words = fmt.Sprintf("%d boxes are made again as %s, which takes the truck of %s. The next plan makes them.", boxes, child, key)
	case "over":
		o := desk.Overrun{Of: key, Version: version, Boxes: v.Count("spare", 0, 0), By: who, Why: v.Text("why")}
		if to := v.Text("to"); to != "" && v.Text("stock") == "" {
			if o.To, err = ident.ParseRelease(to); err != nil {
				err = frame.Wrong("to", to, "must be an order of the list")
			}
		}
		if err == nil {
			err = v.Err()
		}
		var taker ident.Release
		if err == nil {
			taker, err = p.Desk.GiveOver(r.Context(), o)
		}
		words = fmt.Sprintf("%d boxes of %s go to %s, decided by %s.", o.Boxes, key, taker, who)
		if o.To == (ident.Release{}) {
			words = fmt.Sprintf("%d boxes of %s lie in stock as %s, decided by %s.", o.Boxes, key, taker, who)
		}
	default:
		return fault.Violations{{Field: "what", Rule: "choose what is to be done"}}
	}
	if err != nil {
		return p.count(w, r, http.StatusUnprocessableEntity, err)
	}
	return frame.Done(w, r, "/floor/counts"+frame.OrderPath(key)[len("/orders"):], words)
}
