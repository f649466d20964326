package desk

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"

	"github.com/flutewright/flutewright/base/calendar"
	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan/stock"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
)

// Goods works out whose the made goods are. The answer is shared by all who
// read the same snapshot and must not be changed.
func (d *Desk) Goods(ctx context.Context) (stock.Standing, error) {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return stock.Standing{}, err
	}
	s.goods.once.Do(func() { s.goods.standing = stock.Of(s.Book, d.Clock()) })
	return s.goods.standing, nil
}

// goodsOnce keeps the standing of a snapshot's goods: of a book of 2,500 lines
// it takes as long as a page may.
type goodsOnce struct {
	once     sync.Once
	standing stock.Standing
}

// fillStock enters the stock orders that are wanted, so that the plan that
// makes them and the facts about them speak of lines of the book. It returns
// the snapshot with them.
func (d *Desk) fillStock(ctx context.Context, s *Snapshot, who string) (*Snapshot, error) {
	for range 20 { // another desk may enter the same ones between our look and our change
		raised := stock.Of(s.Book, d.Clock()).Raised
		if len(raised) == 0 {
			return s, nil
		}
		c := Change{Who: who, Why: "stock below its least"}
		puts := putter{change: &c}
		for _, l := range raised {
			if err := d.unused(ctx, &l.Key); err != nil {
				return nil, err
			}
			puts.add(KindLine, l.Key.String(), l, 0)
		}
		if puts.err != nil {
			return nil, puts.err
		}
		if err := d.apply(ctx, c); err != nil && !errors.Is(err, fault.Conflict) {
			return nil, fmt.Errorf("stock orders: %w", err)
		}
		next, err := d.Snapshot(ctx)
		if err != nil {
			return nil, err
		}
		s = next
	}
	return nil, fmt.Errorf("stock orders: other desks keep changing them: %w", fault.Conflict)
}

// unused moves a stock order's key on to a release that the book has never had.
func (d *Desk) unused(ctx context.Context, key *ident.Release) error {
	for {
		_, _, err := d.Line(ctx, *key)
		if errors.Is(err, fault.NotFound) {
			return nil
		}
		if err != nil {
			return err
		}
		n, err := strconv.Atoi(key.Release)
		if err != nil {
			return fmt.Errorf("stock order %s: %w", key, err)
		}
		key.Release = strconv.Itoa(n + 1)
	}
}

// sleeps reports whether a line leaves the snapshot after a while: it is
// closed, holds no goods of the item's stock, and no blanket order counts it.
func (s *Snapshot) sleeps(l order.Line) bool {
	if l.State != order.Closed || l.ToStock || l.Kind == order.ForStock {
		return false
	}
	return l.Kind == order.Blanket || !slices.ContainsFunc(s.Lines, func(o order.Line) bool {
		return o.Kind == order.Blanket && o.State != order.Closed && o.Key.Order == l.Key.Order && o.Key.Line == l.Key.Line
	})
}

// closedDays says which lines of a difference are due when the plant is closed
// or the customer takes no deliveries, in one sentence a reason.
func closedDays(s *Snapshot, diff order.Difference) []string {
	clock, err := calendar.Compile(s.Plant.Calendar)
	if err != nil {
		return nil // the plant's own check has said so
	}
	lines := make([]order.Line, 0, len(diff.New)+len(diff.Changed))
	for _, row := range diff.New {
		lines = append(lines, row.Line)
	}
	for _, c := range diff.Changed {
		if !c.Before.Due.Equal(c.Row.Line.Due) {
			lines = append(lines, c.Row.Line)
		}
	}
	by := map[string][]string{}
	var whys []string
	add := func(why string, l order.Line) {
		if by[why] == nil {
			whys = append(whys, why)
		}
		by[why] = append(by[why], l.Key.String())
	}
	for _, l := range lines {
		if why := clock.ClosedNotice(l.Due); why != "" {
			add(why, l)
		}
		if c, ok := s.Customer(l.Customer); ok && l.DueAt == order.AtDock {
			if _, why := c.Receivable(l.Due, s.zone); why != "" {
				add(string(c.Code)+": "+why+"; planned to be there before", l)
			}
		}
	}
	var out []string
	for _, why := range whys {
		keys, more := by[why], ""
		if n := len(keys); n > 12 {
			keys, more = keys[:12], fmt.Sprintf(" and %d more", n-12)
		}
		out = append(out, strings.Join(keys, ", ")+more+": "+why)
	}
	return out
}

// FoundInStock enters boxes of an item that lie free in the house: a stock
// order that is closed, and the fact that its goods were found, in one
// transaction. id makes a repeat harmless. fault.NotFound for an unknown item.
func (d *Desk) FoundInStock(ctx context.Context, item ident.Item, boxes int, id ident.Fact, who string) error {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return err
	}
	i, ok := s.Item(item)
	if !ok {
		return fmt.Errorf("item %s: %w", item, fault.NotFound)
	}
	known, err := d.Store.Facts(ctx, FactQuery{ID: id, Limit: 1})
	if err != nil || len(known) > 0 {
		return err // sent twice
	}
	key := ident.NewRelease(stock.OrderOf(item), "1", "1")
	if err := d.unused(ctx, &key); err != nil {
		return err
	}
	l := order.Line{
		Key: key, Customer: i.Customer, Item: item, Kind: order.ForStock, Quantity: boxes, Due: d.Clock(), DueAt: order.AtGate,
		State: order.Closed, Note: "found in stock",
	}
	vs := checkLine(l, s)
	if i.Customer == "" {
		vs = fault.Violations{{Field: "customer", Rule: "the item must name whose stock it is", Remedy: "state its customer first"}}
	}
	f := trace.Fact{ID: id, At: d.Clock().UTC().Round(0), Kind: trace.UnitFound, Source: "desk", Who: named(who), Release: key, Good: boxes, Place: "stock"}
	vs = append(vs, trace.Check(f)...)
	if err := vs.Err(); err != nil {
		return err
	}
	c := Change{Who: who, Why: "found in stock", Facts: []trace.Fact{f}}
	puts := putter{change: &c}
	puts.line(s, l, 0)
	if puts.err != nil {
		return puts.err
	}
	return d.apply(ctx, c)
}
