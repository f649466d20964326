package desk

import (
	"context"
	"fmt"
	"strconv"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/roll"
)

// mostBoxes is the greatest quantity of one line: a typing error above it.
const mostBoxes = 50_000_000

func checkLine(l order.Line, s *Snapshot) fault.Violations {
	var vs fault.Violations
	vs.Require(l.Key.Order != "" && l.Key.Line != "" && l.Key.Release != "", "order", l.Key.String(), "order, line and release must be given")
	if _, err := ident.ParseRelease(l.Key.String()); err != nil && l.Key.Order != "" {
		vs.Add("order", l.Key.Order, "must not contain /", "")
	}
	if _, ok := s.Customer(l.Customer); !ok {
		vs.Add("customer", string(l.Customer), "is not in the book", "enter the customer first")
	}
	if _, ok := s.Item(l.Item); !ok {
		vs.Add("item", string(l.Item), "is not in the book", "enter the item first")
	}
	vs.Require(l.Quantity >= 1 && l.Quantity <= mostBoxes, "quantity", strconv.Itoa(l.Quantity), fmt.Sprintf("must be 1 to %d", mostBoxes))
	percent(&vs, "under_pct", l.UnderPct)
	percent(&vs, "over_pct", l.OverPct)
	year := l.Due.Year()
	vs.Require(year >= 2000 && year < 2100, "due", l.Due.Format(time.RFC3339), "must lie in the years 2000 to 2099")
	vs.Require(l.DueAt == order.AtGate || l.DueAt == order.AtDock, "due_at", string(l.DueAt), "must be gate or dock")
	vs.Require(l.PricePer1000 >= 0, "price_per_1000", fmt.Sprint(float64(l.PricePer1000)), "must not be negative")
	vs.Require(l.State == order.Open || l.State == order.OnHold || l.State == order.Closed, "state", string(l.State), "must be open, on hold or closed")
	return vs
}

func checkItem(i order.Item, s *Snapshot) fault.Violations {
	var vs fault.Violations
	vs.Require(i.Code != "", "item", "", "must be given")
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
	vs.Require(i.PiecesPerSheet >= 1 && i.PiecesPerSheet <= 1000, "pieces_per_sheet", strconv.Itoa(i.PiecesPerSheet), "must be 1 to 1000")
	vs.Require(i.Colours >= 0 && i.Colours <= 12, "colours", strconv.Itoa(i.Colours), "must be 0 to 12")
	if i.Sheet != nil {
		vs.Require(i.Sheet.Chop > 0 && i.Sheet.Slit > 0, "sheet", i.Sheet.Chop.String()+" × "+i.Sheet.Slit.String(), "both sides must be above 0")
	} else {
		vs.Require(i.Inside.Length > 0 && i.Inside.Width > 0 && i.Inside.Height >= 0, "inside",
			fmt.Sprintf("%v × %v × %v", i.Inside.Length, i.Inside.Width, i.Inside.Height), "sizes must be above 0, or a sheet stated")
	}
	vs.Require(i.BoxesPerBundle >= 0 && i.BundlesPerLayer >= 0 && i.LayersPerUnit >= 0, "boxes_per_bundle", "", "counts must not be negative")
	return vs
}

func checkCustomer(c order.Customer, s *Snapshot) fault.Violations {
	var vs fault.Violations
	vs.Require(c.Code != "", "customer", "", "must be given")
	vs.Require(c.Road >= 0 && c.Road.Metres() <= 20_000_000, "road_m", c.Road.String(), "must be 0 to 20,000 km")
	percent(&vs, "under_pct", c.UnderPct)
	percent(&vs, "over_pct", c.OverPct)
	if _, ok := s.Pallet(c.Pallet); c.Pallet != "" && !ok {
		vs.Add("pallet", string(c.Pallet), "is not a pallet of the plant", "")
	}
	vs.Require(c.UnitMaxHeight >= 0 && c.Overhang >= 0, "unit_max_height_mm", c.UnitMaxHeight.String(), "height and overhang must not be negative")
	return vs
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
	return vs
}

func percent(vs *fault.Violations, field string, v float64) {
	vs.Require(v >= 0 && v <= 100, field, strconv.FormatFloat(v, 'f', -1, 64), "must be 0 to 100")
}

// checkBook checks a whole book; each violation names the entry it is in.
func checkBook(vs *fault.Violations, b plant.Book, s *Snapshot) {
	vs.Under("plant", checkPlant(b.Plant).Err())
	for _, v := range b.Customers {
		vs.Under("customer "+string(v.Code), checkCustomer(v, s).Err())
	}
	for _, v := range b.Items {
		vs.Under("item "+string(v.Code), checkItem(v, s).Err())
	}
	for _, v := range b.Lines {
		vs.Under("line "+v.Key.String(), checkLine(v, s).Err())
	}
	for _, v := range b.Rolls {
		vs.Under("roll "+string(v.ID), checkRoll(v, s).Err())
	}
	for _, v := range b.Inbound {
		vs.Under("inbound "+v.ID, checkInbound(v, s).Err())
	}
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
	for _, l := range s.Lines {
		if kind == KindItem && string(l.Item) == key || kind == KindCustomer && string(l.Customer) == key {
			return fmt.Errorf("%s %s is named by line %s: %w", kind, key, l.Key, fault.Refused)
		}
	}
	for _, i := range s.Items {
		if kind == KindCustomer && string(i.Customer) == key {
			return fmt.Errorf("customer %s is named by item %s: %w", key, i.Code, fault.Refused)
		}
	}
	return nil
}
