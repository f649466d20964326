package desk

import (
	"cmp"
	"encoding/json"
	"fmt"
	"maps"
	"slices"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/convert"
	"github.com/flutewright/flutewright/plant/load"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/roll"
)

// shelf holds the decoded entries of one kind, in the order of their keys. It
// is not changed once it stands in a snapshot.
type shelf[T any] struct {
	list     []T
	keys     []string
	index    map[string]int
	versions map[string]int
}

func newShelf[T any]() *shelf[T] {
	return &shelf[T]{index: map[string]int{}, versions: map[string]int{}}
}

func (s *shelf[T]) get(key string) (T, bool) {
	i, ok := s.index[key]
	if !ok {
		var none T
		return none, false
	}
	return s.list[i], true
}

// shelfEdit collects the changes of one shelf.
type shelfEdit[T any] struct {
	from     *shelf[T]
	put      map[string]T
	versions map[string]int
	gone     map[string]bool
}

func (e *shelfEdit[T]) take(n Entry) error {
	if e.put == nil {
		e.put, e.versions, e.gone = map[string]T{}, map[string]int{}, map[string]bool{}
	}
	if n.Body == nil {
		e.gone[n.Key] = true
		return nil
	}
	var v T
	if err := json.Unmarshal(n.Body, &v); err != nil {
		return fmt.Errorf("%s %s: %w", n.Kind, n.Key, err)
	}
	e.put[n.Key], e.versions[n.Key] = v, n.Version
	return nil
}

// finish returns the shelf with the changes in it: the old one if there are none.
func (e *shelfEdit[T]) finish() *shelf[T] {
	if e.put == nil {
		return e.from
	}
	keys := make([]string, 0, len(e.from.keys)+len(e.put))
	for _, k := range e.from.keys {
		if _, changed := e.put[k]; !changed && !e.gone[k] {
			keys = append(keys, k)
		}
	}
	keys = slices.AppendSeq(keys, maps.Keys(e.put))
	slices.Sort(keys)
	s := &shelf[T]{
		list: make([]T, len(keys)), keys: keys,
		index: make(map[string]int, len(keys)), versions: make(map[string]int, len(keys)),
	}
	for i, k := range keys {
		s.index[k] = i
		if v, changed := e.put[k]; changed {
			s.list[i], s.versions[k] = v, e.versions[k]
			continue
		}
		s.list[i], s.versions[k] = e.from.list[e.from.index[k]], e.from.versions[k]
	}
	return s
}

// books are the shelves of all kinds.
type books struct {
	plants    *shelf[plant.Plant]
	customers *shelf[order.Customer]
	items     *shelf[order.Item]
	lines     *shelf[order.Line]
	rolls     *shelf[roll.Roll]
	inbound   *shelf[roll.Inbound]
}

func newBooks() books {
	return books{
		newShelf[plant.Plant](), newShelf[order.Customer](), newShelf[order.Item](),
		newShelf[order.Line](), newShelf[roll.Roll](), newShelf[roll.Inbound](),
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
}

func (b books) edit() *booksEdit {
	return &booksEdit{
		plants:    shelfEdit[plant.Plant]{from: b.plants},
		customers: shelfEdit[order.Customer]{from: b.customers},
		items:     shelfEdit[order.Item]{from: b.items},
		lines:     shelfEdit[order.Line]{from: b.lines},
		rolls:     shelfEdit[roll.Roll]{from: b.rolls},
		inbound:   shelfEdit[roll.Inbound]{from: b.inbound},
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
	}
	return fmt.Errorf("book entry of unknown kind %q", n.Kind)
}

func (e *booksEdit) finish() books {
	return books{
		e.plants.finish(), e.customers.finish(), e.items.finish(),
		e.lines.finish(), e.rolls.finish(), e.inbound.finish(),
	}
}

// plantIndex finds the parts of the plant by code.
type plantIndex struct {
	papers   map[ident.Paper]board.Paper
	flutes   map[ident.Flute]board.Flute
	grades   map[ident.Grade]board.Grade
	machines map[ident.Machine]convert.Machine
	pallets  map[ident.Pallet]load.Pallet
}

func indexPlant(p plant.Plant) plantIndex {
	return plantIndex{
		papers:   byCode(p.Papers, func(v board.Paper) ident.Paper { return v.Code }),
		flutes:   byCode(p.Flutes, func(v board.Flute) ident.Flute { return v.Code }),
		grades:   byCode(p.Grades, func(v board.Grade) ident.Grade { return v.Code }),
		machines: byCode(p.Machines, func(v convert.Machine) ident.Machine { return v.Code }),
		pallets:  byCode(p.Pallets, func(v load.Pallet) ident.Pallet { return v.Code }),
	}
}

func byCode[K cmp.Ordered, V any](list []V, code func(V) K) map[K]V {
	m := make(map[K]V, len(list))
	for _, v := range list {
		m[code(v)] = v
	}
	return m
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
	}
}

func shelfOf[T any](list []T, key func(T) string) *shelf[T] {
	s := newShelf[T]()
	s.list = list
	for i, v := range list {
		s.index[key(v)] = i
		s.keys = append(s.keys, key(v))
	}
	return s
}
