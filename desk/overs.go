package desk

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strconv"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan/stock"
	"github.com/flutewright/flutewright/plant/order"
)

// Over is a line of which more was made than ordered.
type Over struct {
	Line   order.Line
	Made   int           // made for it or taken from others, less given away
	Boxes  int           // beyond what is ordered, and still in the house
	Beyond int           // of Boxes: more than its customer takes; they are free
	Goes   []stock.Allot // of Beyond: where they go by due time, until a person decides
	Next   []NextCall    // that could take them: call-offs of its blanket order first, then by due time
}

// NextCall is an open line of the same item that lacks boxes.
type NextCall struct {
	Key   ident.Release
	Line  order.Line
	Lacks int
}

// Overs returns the lines of which more was made than ordered, the most first.
// What lies on hold is left out. Of a closed line whose rest was not given to
// stock all that is left in the house is over, where deliveries of it were told.
func (d *Desk) Overs(ctx context.Context) ([]Over, error) {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return nil, err
	}
	standing, err := d.Goods(ctx)
	if err != nil {
		return nil, err
	}
	var out []Over
	for _, l := range s.Lines {
		if v, over := s.over(l, standing); over {
			out = append(out, v)
		}
	}
	slices.SortFunc(out, func(a, b Over) int {
		return cmp.Or(cmp.Compare(b.Boxes, a.Boxes), ident.Compare(a.Line.Key, b.Line.Key))
	})
	return out, nil
}

// OverOf returns what is over of one line; false where nothing is.
func (d *Desk) OverOf(ctx context.Context, key ident.Release) (Over, bool, error) {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return Over{}, false, err
	}
	standing, err := d.Goods(ctx)
	if err != nil {
		return Over{}, false, err
	}
	i := slices.IndexFunc(s.Lines, func(l order.Line) bool { return l.Key == key })
	if i < 0 {
		return Over{}, false, nil
	}
	v, over := s.over(s.Lines[i], standing)
	return v, over, nil
}

func (s *Snapshot) over(l order.Line, standing stock.Standing) (Over, bool) {
	n := standing.Lines[l.Key]
	v := Over{Line: l, Made: n.Have, Boxes: n.Have - max(n.Shipped, l.Quantity), Beyond: n.Free}
	switch {
	case l.State == order.Closed && n.Shipped == 0:
		v.Boxes = 0 // no delivery was told: all of it may have left
	case l.State == order.Closed:
		v.Boxes = n.Have - n.Shipped
	}
	if v.Boxes <= 0 || l.Kind != order.Ordinary || l.State == order.OnHold || l.State == order.Closed && l.ToStock {
		return Over{}, false
	}
	for _, a := range standing.Allots {
		if a.From == l.Key {
			v.Goes = append(v.Goes, a)
		}
	}
	for _, o := range s.Lines {
		has := standing.Lines[o.Key]
		lacks := o.Quantity - max(has.Have, has.Shipped)
		if o.Item == l.Item && o.Key != l.Key && o.Kind == order.Ordinary && o.State == order.Open && lacks > 0 {
			v.Next = append(v.Next, NextCall{o.Key, o, lacks})
		}
	}
	rank := func(n NextCall) int {
		if n.Key.Order == l.Key.Order && n.Key.Line == l.Key.Line {
			return 0 // called off the same order line
		}
		return 1
	}
	slices.SortFunc(v.Next, func(a, b NextCall) int {
		return cmp.Or(cmp.Compare(rank(a), rank(b)), a.Line.Due.Compare(b.Line.Due), ident.Compare(a.Key, b.Key))
	})
	return v, true
}

// Overrun is what a named person decides about boxes that are over.
type Overrun struct {
	Of      ident.Release
	Version int // of the line that was seen
	Boxes   int
	To      ident.Release // the line that takes them; zero: the item's stock
	By      string
	Why     string
}

// GiveOver gives boxes that are over to an open line of the same item, or to its
// stock, in one transaction: what one line gives the other takes, so that no box
// is made or lost by it. Stock takes them as a closed stock order. It returns the
// line that has them now. *Stale if somebody saved first; fault.Violations for
// more than is over, a line that does not take them, or without a name.
func (d *Desk) GiveOver(ctx context.Context, o Overrun) (ident.Release, error) {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return o.To, err
	}
	over, _, err := d.OverOf(ctx, o.Of)
	if err != nil {
		return o.To, err
	}
	giver, _, err := d.Line(ctx, o.Of)
	if err != nil {
		return o.To, err
	}
	var vs fault.Violations
	decided(&vs, o.By)
	vs.Require(o.Boxes >= 1 && o.Boxes <= over.Boxes, "boxes", strconv.Itoa(o.Boxes),
		fmt.Sprintf("must be from 1 to %s: that many of %s are over and in the house", order.Thousands(over.Boxes), o.Of))
	taker, version, err := d.overTaker(ctx, over, o)
	vs.Under("to", err)
	if err := vs.Err(); err != nil {
		return o.To, err
	}
	c := Change{Who: o.By, Why: fmt.Sprintf("%s boxes over of %s to %s: %s", order.Thousands(o.Boxes), o.Of, taker.Key, o.Why)}
	if err := d.hand(&c, s, &giver, &taker, o.Version, version, o.Boxes, o.By); err != nil {
		return o.To, err
	}
	return taker.Key, d.apply(ctx, c)
}

// overTaker is the line that takes the boxes, and its version: a new stock order where none is named.
func (d *Desk) overTaker(ctx context.Context, over Over, o Overrun) (order.Line, int, error) {
	if o.To != (ident.Release{}) {
		if !slices.ContainsFunc(over.Next, func(n NextCall) bool { return n.Key == o.To }) {
			return order.Line{}, 0, fault.Violations{{Field: "to", Value: o.To.String(), Rule: "must be an open order of the same item that lacks boxes"}}
		}
		return d.Line(ctx, o.To)
	}
	key := ident.NewRelease(stock.OrderOf(over.Line.Item), "1", "1")
	if err := d.unused(ctx, &key); err != nil {
		return order.Line{}, 0, err
	}
	return order.Line{
		Key: key, Customer: over.Line.Customer, Item: over.Line.Item, Kind: order.ForStock, Quantity: max(o.Boxes, 1), Due: d.Clock(),
		DueAt: order.AtGate, State: order.Closed, Note: "over of " + o.Of.String(),
	}, 0, nil
}
