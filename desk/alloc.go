package desk

import (
	"context"
	"fmt"
	"strconv"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan/stock"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
)

// Allot gives made goods of one line to another of the same item, decided by a
// named person; a negative number gives them back. Both lines change in one
// transaction. fault.Violations where the goods are not there or are another
// item's, fault.NotFound for an unknown line.
func (d *Desk) Allot(ctx context.Context, from, to ident.Release, boxes int, by, why string) error {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return err
	}
	giver, gv, err := d.Line(ctx, from)
	if err != nil {
		return err
	}
	taker, tv, err := d.Line(ctx, to)
	if err != nil {
		return err
	}
	var vs fault.Violations
	vs.Require(strings.TrimSpace(by) != "" && by != named(""), "by", by, "must be the name of who decides")
	vs.Require(from != to, "from", from.String(), "must be another line")
	vs.Require(giver.Item == taker.Item, "from", from.String(), fmt.Sprintf("holds %s, %s is for %s", giver.Item, to, taker.Item))
	vs.Require(taker.Kind != order.Blanket && giver.Kind != order.Blanket, "from", from.String(), "a blanket order holds no goods: name its call-off")
	standing := stock.Of(s.Book, d.Clock())
	source, most := from, standing.Lines[from]
	if boxes < 0 {
		source, most = to, standing.Lines[to]
	}
	there := max(0, most.Have-most.Shipped)
	if n := max(boxes, -boxes); n < 1 || n > there {
		vs.Add("boxes", strconv.Itoa(boxes), fmt.Sprintf("must be from 1 to %s: that many of %s are made and not shipped", order.Thousands(there), source), "")
	}
	if boxes < 0 {
		vs.Require(given(giver, to) >= -boxes, "boxes", strconv.Itoa(boxes), fmt.Sprintf("%s took %d of them", to, given(giver, to)))
	}
	if err := vs.Err(); err != nil {
		return err
	}
	c := Change{Who: by, Why: why}
	if err := d.hand(&c, s, &giver, &taker, gv, tv, boxes, by); err != nil {
		return err
	}
	return d.apply(ctx, c)
}

// hand writes the goods to both lines.
func (d *Desk) hand(c *Change, s *Snapshot, giver, taker *order.Line, gv, tv, boxes int, by string) error {
	giver.Given = handed(giver.Given, order.Allotment{Other: taker.Key, Boxes: boxes, By: by, At: d.Clock()})
	taker.Taken = handed(taker.Taken, order.Allotment{Other: giver.Key, Boxes: boxes, By: by, At: d.Clock()})
	puts := putter{change: c}
	puts.line(s, *giver, gv)
	puts.line(s, *taker, tv)
	return puts.err
}

// handed returns the list with the goods added to those of the same line.
func handed(list []order.Allotment, a order.Allotment) []order.Allotment {
	out := make([]order.Allotment, 0, len(list)+1)
	for _, o := range list {
		if o.Other == a.Other {
			a.Boxes += o.Boxes
		} else {
			out = append(out, o)
		}
	}
	if a.Boxes != 0 {
		out = append(out, a)
	}
	return out
}

func given(l order.Line, to ident.Release) int {
	for _, a := range l.Given {
		if a.Other == to {
			return a.Boxes
		}
	}
	return 0
}

// line puts a line, asleep where it leaves the snapshot after a while.
func (p *putter) line(s *Snapshot, l order.Line, version int) {
	p.add(KindLine, l.Key.String(), l, version)
	p.change.Puts[len(p.change.Puts)-1].Asleep = s.sleeps(l)
}

// Closing is how a line is closed.
type Closing struct {
	Version int  // of the line that was seen
	ToStock bool // what is left of it in the house goes to the item's stock
	Who     string
	Why     string
}

// CloseLine closes a line. What it shipped beyond its own goods is settled
// against the free goods of its item, the earliest due first, so that the stock
// stays true when the line has left the book. *Stale if somebody saved first.
func (d *Desk) CloseLine(ctx context.Context, key ident.Release, how Closing) error {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return err
	}
	l, _, err := d.Line(ctx, key)
	if err != nil {
		return err
	}
	c := Change{Who: how.Who, Why: how.Why}
	puts := putter{change: &c}
	standing := stock.Of(s.Book, d.Clock())
	over := standing.Lines[key].Shipped - standing.Lines[key].Have
	for _, g := range s.Lines {
		free := standing.Lines[g.Key].Free
		if over <= 0 || g.Item != l.Item || g.Key == key || free <= 0 {
			continue
		}
		giver, version, err := d.Line(ctx, g.Key)
		if err != nil {
			return err
		}
		n := min(free, over)
		over -= n
		giver.Given = handed(giver.Given, order.Allotment{Other: key, Boxes: n, By: named(how.Who), At: d.Clock()})
		l.Taken = handed(l.Taken, order.Allotment{Other: g.Key, Boxes: n, By: named(how.Who), At: d.Clock()})
		puts.line(s, giver, version)
		if giver.State == order.Closed && n == free {
			c.Puts[len(c.Puts)-1].Asleep = true
		}
	}
	l.State, l.ToStock = order.Closed, how.ToStock
	puts.line(s, l, how.Version)
	if puts.err != nil {
		return puts.err
	}
	return d.apply(ctx, c)
}

// Delivery is boxes of a release that have left the plant.
type Delivery struct {
	ID     ident.Fact // the form's; a repeat is harmless
	Boxes  int
	Closes bool // this one closes the order
	Closing
}

// Deliver records a delivery, and closes the line where it is the last one. A
// line that is not closed stays open for the rest, whatever its tolerance.
func (d *Desk) Deliver(ctx context.Context, key ident.Release, v Delivery) (Recorded, error) {
	if v.Boxes < 1 {
		return Recorded{}, fault.Violations{{Field: "boxes", Value: strconv.Itoa(v.Boxes), Rule: "must be at least 1"}}
	}
	r, err := d.Record(ctx, trace.Fact{
		ID: v.ID, At: d.Clock(), Kind: trace.UnitShipped, Source: "desk", Who: v.Who, Release: key, Good: v.Boxes,
	})
	if err != nil || !v.Closes {
		return r, err
	}
	if l, _, err := d.Line(ctx, key); err != nil || l.State == order.Closed {
		return r, err // sent twice
	}
	return r, d.CloseLine(ctx, key, v.Closing)
}
