package desk

import (
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/convert"
	"github.com/flutewright/flutewright/plant/load"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/roll"
)

// Item returns an item by code.
func (s *Snapshot) Item(code ident.Item) (order.Item, bool) { return s.books.items.get(string(code)) }

// Customer returns a customer by code.
func (s *Snapshot) Customer(code ident.Customer) (order.Customer, bool) {
	return s.books.customers.get(string(code))
}

// Line returns a line by its key; lines closed long ago are found by Desk.Line only.
func (s *Snapshot) Line(r ident.Release) (order.Line, bool) { return s.books.lines.get(r.String()) }

// Roll returns a roll in the house.
func (s *Snapshot) Roll(id ident.Roll) (roll.Roll, bool) { return s.books.rolls.get(string(id)) }

// InboundOf returns an expected delivery.
func (s *Snapshot) InboundOf(id string) (roll.Inbound, bool) { return s.books.inbound.get(id) }

// Grade returns a board grade of the plant.
func (s *Snapshot) Grade(code ident.Grade) (board.Grade, bool) {
	g, ok := s.plant.grades[code]
	return g, ok
}

// Paper returns a paper of the plant.
func (s *Snapshot) Paper(code ident.Paper) (board.Paper, bool) {
	p, ok := s.plant.papers[code]
	return p, ok
}

// Flute returns a flute of the plant.
func (s *Snapshot) Flute(code ident.Flute) (board.Flute, bool) {
	f, ok := s.plant.flutes[code]
	return f, ok
}

// Machine returns a converting machine of the plant.
func (s *Snapshot) Machine(code ident.Machine) (convert.Machine, bool) {
	m, ok := s.plant.machines[code]
	return m, ok
}

// Pallet returns a pallet of the plant.
func (s *Snapshot) Pallet(code ident.Pallet) (load.Pallet, bool) {
	p, ok := s.plant.pallets[code]
	return p, ok
}

// machineCodes lists the codes of all machines, the corrugator's first.
func (s *Snapshot) machineCodes() string {
	codes := []string{string(s.Plant.Corrugator.Code)}
	for _, m := range s.Plant.Machines {
		codes = append(codes, string(m.Code))
	}
	return strings.Join(codes, ", ")
}

// Zone returns the plant's time zone, UTC where none is stated.
func (s *Snapshot) Zone() *time.Location { return s.zone }

// Version returns the version of an entry for an optimistic edit, 0 if there is none.
func (s *Snapshot) Version(kind Kind, key string) int {
	switch kind {
	case KindPlant:
		return s.books.plants.versions[key]
	case KindCustomer:
		return s.books.customers.versions[key]
	case KindItem:
		return s.books.items.versions[key]
	case KindLine:
		return s.books.lines.versions[key]
	case KindRoll:
		return s.books.rolls.versions[key]
	case KindInbound:
		return s.books.inbound.versions[key]
	}
	return 0
}

// Changed returns when an entry was last changed; while its version is 1, that is when it came in.
func (s *Snapshot) Changed(kind Kind, key string) time.Time {
	switch kind {
	case KindLine:
		return s.books.lines.changed[key]
	case KindRoll:
		return s.books.rolls.changed[key]
	case KindInbound:
		return s.books.inbound.changed[key]
	case KindItem:
		return s.books.items.changed[key]
	case KindPlant:
		return s.books.plants.changed[key]
	}
	return time.Time{}
}
