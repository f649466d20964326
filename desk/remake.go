package desk

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/convert"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
)

// ShipShort lets a line be complete with fewer boxes than its customer agreed
// to take, decided by a named person: its tolerance is widened so far, and the
// history says by whom and why. *Stale if somebody saved first,
// fault.Violations without a name or where boxes is not below what is agreed.
func (d *Desk) ShipShort(ctx context.Context, key ident.Release, version, boxes int, by, why string) error {
	l, _, err := d.Line(ctx, key)
	if err != nil {
		return err
	}
	var vs fault.Violations
	decided(&vs, by)
	vs.Require(boxes >= 1 && boxes < l.Least(), "boxes", strconv.Itoa(boxes),
		fmt.Sprintf("must be from 1 to %s: with more the line is not short", order.Thousands(l.Least()-1)))
	if err := vs.Err(); err != nil {
		return err
	}
	l.UnderPct = underFor(l, boxes)
	return d.SaveLine(ctx, l, version, by, "shipped short with "+order.Thousands(boxes)+" boxes: "+why)
}

func decided(vs *fault.Violations, by string) {
	vs.Require(strings.TrimSpace(by) != "" && by != named(""), "by", by, "must be the name of who decides")
}

// underFor is the tolerance at which the line's least is boxes.
func underFor(l order.Line, boxes int) float64 {
	return 100 * float64(l.Quantity-boxes) / float64(l.Quantity)
}

// Remake is a part of a line that is made again.
type Remake struct {
	Of      ident.Release
	Version int // of the parent that was seen
	Boxes   int
	Cause   string
	By      string
}

// MakeAgain enters a child line for boxes that its parent falls short of. The
// child has its parent's customer, item, due time and ship-to, so that it takes
// the parent's truck; it carries the cause and what making it again costs. The
// parent is complete with what it has from then on: its tolerance is widened by
// the child's boxes. Both change in one transaction. It returns the child's key.
func (d *Desk) MakeAgain(ctx context.Context, r Remake) (ident.Release, error) {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return ident.Release{}, err
	}
	parent, _, err := d.Line(ctx, r.Of)
	if err != nil {
		return ident.Release{}, err
	}
	var vs fault.Violations
	decided(&vs, r.By)
	vs.Require(r.Boxes >= 1 && r.Boxes <= parent.Quantity, "boxes", strconv.Itoa(r.Boxes), fmt.Sprintf("must be from 1 to %s", order.Thousands(parent.Quantity)))
	vs.Require(strings.TrimSpace(r.Cause) != "", "cause", "", "must say why it is made again")
	vs.Require(parent.Kind != order.Blanket, "order", r.Of.String(), "a blanket order is never made itself: name its call-off")
	if err := vs.Err(); err != nil {
		return ident.Release{}, err
	}
	child := parent
	child.Quantity, child.Parent, child.Cause, child.State = r.Boxes, parent.Key.String(), r.Cause, order.Open
	child.Taken, child.Given, child.Closes, child.ToStock, child.UnderPct = nil, nil, false, false, 0
	child.Cost = s.CostOf(child)
	if child.Key, err = d.childKey(ctx, parent.Key); err != nil {
		return ident.Release{}, err
	}
	parent.UnderPct = max(parent.UnderPct, underFor(parent, max(0, parent.Least()-r.Boxes)))
	c := Change{Who: r.By, Why: fmt.Sprintf("%s boxes made again as %s: %s", order.Thousands(r.Boxes), child.Key, r.Cause)}
	puts := putter{change: &c}
	puts.line(s, child, 0)
	puts.line(s, parent, r.Version)
	if puts.err != nil {
		return ident.Release{}, puts.err
	}
	if err := checkLine(child, s).Err(); err != nil {
		return ident.Release{}, err
	}
	return child.Key, d.apply(ctx, c)
}

// childKey is the first free release after the parent's: R1, R2 …
func (d *Desk) childKey(ctx context.Context, parent ident.Release) (ident.Release, error) {
	for n := 1; n < 100; n++ {
		key := parent
		key.Release = fmt.Sprintf("%sR%d", parent.Release, n)
		if _, err := d.Store.Entry(ctx, KindLine, key.String()); errors.Is(err, fault.NotFound) {
			return key, nil
		} else if err != nil {
			return key, err
		}
	}
	return parent, fault.Violations{{Field: "order", Value: parent.String(), Rule: "has been made again 99 times"}}
}

// CostOf is what making a line costs by itself: its paper, and the machines
// with their set-ups. The corrugator's share depends on the run it finds and is left out.
func (s *Snapshot) CostOf(l order.Line) quantity.Money {
	item, _ := s.Item(l.Item)
	grade, _ := s.Grade(item.Grade)
	steps := s.stepsOf(item, &trace.Account{})
	sheets, fed := convert.Fed(l.Quantity, item.PiecesPerSheet, steps, item.Colours)
	cost := grade.PaperPrice(board.NewCatalogue(s.Plant.Papers, s.Plant.Flutes)) * quantity.Money(s.sheetOfItem(item).Area()) * quantity.Money(sheets)
	spec := convert.Spec{Style: item.Style, Colours: item.Colours, Plate: item.Plate, Die: item.Die, Flute: grade.Flute}
	for i, m := range steps {
		cost += convert.Cost(m, convert.SetUpMinutes(m, spec, nil), convert.RunMinutes(m, fed[i]), 0, 0)
	}
	return cost
}
