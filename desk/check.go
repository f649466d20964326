package desk

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/roll"
)

// The checks here add to a value's own rules that what it names is in the book.

func checkLine(l order.Line, s *Snapshot) fault.Violations {
	vs := own(l.Validate())
	if _, ok := s.Customer(l.Customer); !ok {
		vs.Add("customer", string(l.Customer), "is not in the book", "enter the customer first")
	}
	if _, ok := s.Item(l.Item); !ok {
		vs.Add("item", string(l.Item), "is not in the book", "enter the item first")
	}
	return vs
}

func checkItem(i order.Item, s *Snapshot) fault.Violations {
	vs := own(i.Validate())
	if _, ok := s.Customer(i.Customer); i.Customer != "" && !ok {
		vs.Add("customer", string(i.Customer), "is not in the book", "enter the customer first")
	}
	if _, ok := s.Grade(i.Grade); !ok {
		vs.Add("grade", string(i.Grade), "is not a grade of the plant", "")
	}
	if _, ok := s.Pallet(i.Pallet); i.Pallet != "" && !ok {
		vs.Add("pallet", string(i.Pallet), "is not a pallet of the plant", "")
	}
	for _, m := range i.Route {
		if _, ok := s.Machine(m); !ok {
			vs.Add("route", string(m), "is not a machine of the plant", "")
		}
	}
	return vs
}

func checkCustomer(c order.Customer, s *Snapshot) fault.Violations {
	vs := own(c.Validate())
	if _, ok := s.Pallet(c.Pallet); c.Pallet != "" && !ok {
		vs.Add("pallet", string(c.Pallet), "is not a pallet of the plant", "")
	}
	return vs
}

// own returns the violations of a value by itself.
func own(err error) fault.Violations {
	var vs fault.Violations
	if err != nil && !errors.As(err, &vs) {
		vs.Add("value", "", err.Error(), "")
	}
	return slices.Clone(vs)
}

func checkRoll(r roll.Roll, s *Snapshot) fault.Violations {
	var vs fault.Violations
	vs.Require(r.ID != "", "roll", "", "must be given")
	if _, ok := s.Paper(r.Paper); !ok {
		vs.Add("paper", string(r.Paper), "is not a paper of the plant", "enter the paper first")
	}
	vs.Require(r.Width > 0, "width_mm", r.Width.String(), "must be above 0")
	vs.Require(r.Length >= 0 && r.Length.Metres() <= 100_000, "length_m", r.Length.String(), "must be 0 to 100,000 m")
	vs.Require(r.Mass >= 0 && r.Diameter >= 0 && r.Core >= 0, "mass_kg", fmt.Sprint(float64(r.Mass)), "mass, diameter and core must not be negative")
	vs.Require(r.Diameter == 0 || r.Core < r.Diameter, "core_mm", r.Core.String(), "must be less than the diameter "+r.Diameter.String())
	return vs
}

func checkInbound(i roll.Inbound, s *Snapshot) fault.Violations {
	var vs fault.Violations
	vs.Require(i.ID != "", "inbound", "", "must be given")
	if _, ok := s.Paper(i.Paper); !ok {
		vs.Add("paper", string(i.Paper), "is not a paper of the plant", "enter the paper first")
	}
	vs.Require(i.Width > 0, "width_mm", i.Width.String(), "must be above 0")
	vs.Require(i.Rolls >= 1 && i.Rolls <= 10_000, "rolls", strconv.Itoa(i.Rolls), "must be 1 to 10,000")
	vs.Require(i.LengthEach > 0 && i.LengthEach.Metres() <= 100_000, "length_each_m", i.LengthEach.String(), "must be above 0 and at most 100,000 m")
	vs.Require(!i.ETA.IsZero(), "eta", "", "must be given")
	vs.Require(i.State.Known(), "state", string(i.State), "must be called, confirmed or cancelled")
	return vs
}

// checkRemove refuses what others still name.
func (d *Desk) checkRemove(ctx context.Context, kind Kind, key string) error {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return err
	}
	switch kind {
	case KindPlant:
		return fmt.Errorf("the plant cannot be removed: %w", fault.Refused)
	case KindLine:
		return fmt.Errorf("line %s cannot be removed, close it instead: %w", key, fault.Refused)
	}
	if named := s.naming(kind, key); named != "" {
		return fmt.Errorf("%s %s cannot be removed, it is named by %s; close or change what names it first: %w", kind, key, named, fault.Refused)
	}
	for _, i := range s.Items {
		switch {
		case kind == KindCustomer && string(i.Customer) == key:
			return fmt.Errorf("customer %s cannot be removed, it is named by item %s: %w", key, i.Code, fault.Refused)
		case kind == KindItem && slices.Contains(i.Kit, ident.Item(key)):
			return fmt.Errorf("item %s cannot be removed, it is a part of the kit of item %s: %w", key, i.Code, fault.Refused)
		}
	}
	return nil
}

// naming lists the lines that name an item or a customer, the open ones first; "" if none does.
func (s *Snapshot) naming(kind Kind, key string) string {
	var open, closed []string
	for _, l := range s.Lines {
		switch {
		case (kind != KindItem || string(l.Item) != key) && (kind != KindCustomer || string(l.Customer) != key):
		case l.State == order.Closed:
			closed = append(closed, l.Key.String())
		default:
			open = append(open, l.Key.String())
		}
	}
	var parts []string
	for _, list := range []struct {
		words string
		keys  []string
	}{{"open", open}, {"lately closed", closed}} {
		if n := len(list.keys); n > 0 {
			more := ""
			if n > 12 {
				list.keys, more = list.keys[:12], fmt.Sprintf(" and %d more", n-12)
			}
			noun := "lines"
			if n == 1 {
				noun = "line"
			}
			parts = append(parts, list.words+" "+noun+" "+strings.Join(list.keys, ", ")+more)
		}
	}
	return strings.Join(parts, " and ")
}
