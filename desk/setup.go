package desk

import (
	"context"

	"github.com/flutewright/flutewright/plant"
)

// Empty reports whether no plant has been stated yet.
func (d *Desk) Empty(ctx context.Context) (bool, error) {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return false, err
	}
	return !s.Stated, nil
}

// SetUp takes a whole book from a template in one transaction, only into an
// empty book: fault.Conflict otherwise. The book's Done is not taken: progress
// comes from facts.
func (d *Desk) SetUp(ctx context.Context, b plant.Book, who string) error {
	if err := b.Validate(); err != nil {
		return err
	}
	c := Change{Who: who, Why: "first set-up"}
	puts := putter{change: &c}
	puts.add(KindPlant, PlantKey, b.Plant, 0)
	for _, v := range b.Customers {
		puts.add(KindCustomer, string(v.Code), v, 0)
	}
	for _, v := range b.Items {
		puts.add(KindItem, string(v.Code), v, 0)
	}
	for _, v := range b.Lines {
		puts.add(KindLine, v.Key.String(), v, 0)
	}
	for _, v := range b.Rolls {
		puts.add(KindRoll, string(v.ID), v, 0)
	}
	for _, v := range b.Inbound {
		puts.add(KindInbound, v.ID, v, 0)
	}
	if puts.err != nil {
		return puts.err
	}
	return d.apply(ctx, c)
}

// putter adds puts to a change and keeps the first error.
type putter struct {
	change *Change
	err    error
}

func (p *putter) add(kind Kind, key string, v any, version int) {
	one, err := put(kind, key, v, version)
	if err != nil && p.err == nil {
		p.err = err
	}
	p.change.Puts = append(p.change.Puts, one)
}

// snapshotOf builds a snapshot of a book that is not stored.
func snapshotOf(b plant.Book) *Snapshot {
	s := &Snapshot{Book: b, Stated: true, plant: indexPlant(b.Plant), zone: zoneOf(b.Plant.Calendar.Zone)}
	s.books = shelve(b)
	return s
}
