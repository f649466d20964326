package desk

import (
	"fmt"

	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/roll"
)

// books are the shelves of all kinds.
type books struct {
	plants    *shelf[plant.Plant]
	customers *shelf[order.Customer]
	items     *shelf[order.Item]
	lines     *shelf[order.Line]
	rolls     *shelf[roll.Roll]
	inbound   *shelf[roll.Inbound]
	numbers   *shelf[UnitNumbers] // not of the book: units that have a number, by release
}

func newBooks() books {
	return books{
		newShelf[plant.Plant](), newShelf[order.Customer](), newShelf[order.Item](),
		newShelf[order.Line](), newShelf[roll.Roll](), newShelf[roll.Inbound](), newShelf[UnitNumbers](),
	}
}

func (b books) book() plant.Book {
	p, _ := b.plants.get(PlantKey)
	return plant.Book{
		Plant: p, Customers: b.customers.list, Items: b.items.list,
		Lines: b.lines.list, Rolls: b.rolls.list, Inbound: b.inbound.list,
	}
}

// booksEdit collects the changes of all shelves.
type booksEdit struct {
	plants    shelfEdit[plant.Plant]
	customers shelfEdit[order.Customer]
	items     shelfEdit[order.Item]
	lines     shelfEdit[order.Line]
	rolls     shelfEdit[roll.Roll]
	inbound   shelfEdit[roll.Inbound]
	numbers   shelfEdit[UnitNumbers]
}

func (b books) edit() *booksEdit {
	return &booksEdit{
		plants:    shelfEdit[plant.Plant]{from: b.plants},
		customers: shelfEdit[order.Customer]{from: b.customers},
		items:     shelfEdit[order.Item]{from: b.items},
		lines:     shelfEdit[order.Line]{from: b.lines},
		rolls:     shelfEdit[roll.Roll]{from: b.rolls},
		inbound:   shelfEdit[roll.Inbound]{from: b.inbound},
		numbers:   shelfEdit[UnitNumbers]{from: b.numbers},
	}
}

func (e *booksEdit) take(n Entry) error {
	switch n.Kind {
	case KindPlant:
		return e.plants.take(n)
	case KindCustomer:
		return e.customers.take(n)
	case KindItem:
		return e.items.take(n)
	case KindLine:
		return e.lines.take(n)
	case KindRoll:
		return e.rolls.take(n)
	case KindInbound:
		return e.inbound.take(n)
	case KindNumbers:
		return e.numbers.take(n)
	}
	return fmt.Errorf("book entry of unknown kind %q", n.Kind)
}

func (e *booksEdit) finish() books {
	return books{
		e.plants.finish(), e.customers.finish(), e.items.finish(),
		e.lines.finish(), e.rolls.finish(), e.inbound.finish(), e.numbers.finish(),
	}
}

// shelve puts a book that is not stored on shelves; versions are 0.
func shelve(b plant.Book) books {
	return books{
		plants:    shelfOf([]plant.Plant{b.Plant}, func(plant.Plant) string { return PlantKey }),
		customers: shelfOf(b.Customers, func(v order.Customer) string { return string(v.Code) }),
		items:     shelfOf(b.Items, func(v order.Item) string { return string(v.Code) }),
		lines:     shelfOf(b.Lines, func(v order.Line) string { return v.Key.String() }),
		rolls:     shelfOf(b.Rolls, func(v roll.Roll) string { return string(v.ID) }),
		inbound:   shelfOf(b.Inbound, func(v roll.Inbound) string { return v.ID }),
		numbers:   newShelf[UnitNumbers](),
	}
}
