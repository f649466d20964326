package desk

import (
	"context"
	"encoding/json"
	"fmt"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/roll"
)

// Edit is one change of one entry.
type Edit struct {
	At      time.Time       `json:"at"`
	Who     string          `json:"who"`
	Why     string          `json:"why,omitempty"`
	Version int             `json:"version"`          // after the change
	Before  json.RawMessage `json:"before,omitempty"` // nil: it was new
	After   json.RawMessage `json:"after,omitempty"`  // nil: it was removed
}

// SaveLine saves a line on the version that was seen, 0 for a new line.
// *Stale (fault.Conflict) if somebody saved first, fault.Violations if it breaks a rule.
func (d *Desk) SaveLine(ctx context.Context, l order.Line, version int, who, why string) error {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return err
	}
	if err := checkLine(l, s).Err(); err != nil {
		return err
	}
	p, err := put(KindLine, l.Key.String(), l, version)
	if err != nil {
		return err
	}
	p.Asleep = s.sleeps(l)
	return d.apply(ctx, Change{Who: who, Why: why, Puts: []Put{p}})
}

// SaveItem saves an item; see SaveLine.
func (d *Desk) SaveItem(ctx context.Context, i order.Item, version int, who, why string) error {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return err
	}
	if err := checkItem(i, s).Err(); err != nil {
		return err
	}
	return d.save(ctx, KindItem, string(i.Code), i, version, who, why)
}

// SaveCustomer saves a customer; see SaveLine.
func (d *Desk) SaveCustomer(ctx context.Context, c order.Customer, version int, who, why string) error {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return err
	}
	if err := checkCustomer(c, s).Err(); err != nil {
		return err
	}
	return d.save(ctx, KindCustomer, string(c.Code), c, version, who, why)
}

// SaveRoll saves a roll in the house; see SaveLine. Another length or place is
// a count, newer than the facts told before.
func (d *Desk) SaveRoll(ctx context.Context, r roll.Roll, version int, who, why string) error {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return err
	}
	if err := checkRoll(r, s).Err(); err != nil {
		return err
	}
	p, err := put(KindRoll, string(r.ID), r, version)
	if err != nil {
		return err
	}
	c := Change{Who: who, Why: why, Puts: []Put{p}}
	if before, known := s.Roll(r.ID); known {
		if f, counted := s.countOf(before, r, version, d.Clock(), who); counted {
			c.Facts = append(c.Facts, f)
		}
	}
	return d.apply(ctx, c)
}

// SaveInbound saves an expected delivery; see SaveLine.
func (d *Desk) SaveInbound(ctx context.Context, i roll.Inbound, version int, who, why string) error {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return err
	}
	if err := checkInbound(i, s).Err(); err != nil {
		return err
	}
	return d.save(ctx, KindInbound, i.ID, i, version, who, why)
}

// SavePlant saves the plant's fixed data; see SaveLine. It is refused where
// the book names something that the plant would no longer have.
func (d *Desk) SavePlant(ctx context.Context, p plant.Plant, version int, who, why string) error {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return err
	}
	b := s.Book
	b.Plant, b.Done = p, nil
	if err := b.Validate(); err != nil {
		return err
	}
	return d.save(ctx, KindPlant, PlantKey, p, version, who, why)
}

// Remove takes an entry out of the book; its history stays. Lines are closed, not removed.
func (d *Desk) Remove(ctx context.Context, kind Kind, key string, version int, who, why string) error {
	if err := d.checkRemove(ctx, kind, key); err != nil {
		return err
	}
	return d.apply(ctx, Change{Who: who, Why: why, Puts: []Put{{Kind: kind, Key: key, Version: version}}})
}

// Line returns a line and its version, also one closed long ago. fault.NotFound.
func (d *Desk) Line(ctx context.Context, r ident.Release) (order.Line, int, error) {
	e, err := d.Store.Entry(ctx, KindLine, r.String())
	if err != nil {
		return order.Line{}, 0, err
	}
	var l order.Line
	if err := json.Unmarshal(e.Body, &l); err != nil {
		return l, 0, fmt.Errorf("line %s: %w", r, err)
	}
	return l, e.Version, nil
}

// History returns the edits of one entry, newest first.
func (d *Desk) History(ctx context.Context, kind Kind, key string) ([]Edit, error) {
	return d.Store.History(ctx, kind, key)
}

func (d *Desk) save(ctx context.Context, kind Kind, key string, v any, version int, who, why string) error {
	p, err := put(kind, key, v, version)
	if err != nil {
		return err
	}
	return d.apply(ctx, Change{Who: who, Why: why, Puts: []Put{p}})
}

// apply takes a change now, in the name of who.
func (d *Desk) apply(ctx context.Context, c Change) error {
	c.At, c.Who = d.Clock(), named(c.Who)
	_, err := d.Store.Apply(ctx, c)
	return err
}

// named is who did it; a desk that asks no names signs as the desk.
func named(who string) string {
	if who == "" {
		return "desk"
	}
	return who
}

func put(kind Kind, key string, v any, version int) (Put, error) {
	body, err := json.Marshal(v)
	if err != nil {
		return Put{}, fmt.Errorf("%s %s: %w", kind, key, err)
	}
	l, isLine := v.(order.Line)
	return Put{Kind: kind, Key: key, Version: version, Body: body, Asleep: isLine && l.State == order.Closed}, nil
}
