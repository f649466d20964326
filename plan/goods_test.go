package plan_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
)

// small is the demo's plant with a few of its lines.
func small(orders ...string) plant.Book {
	b := demo.Book()
	b.Lines = slices.DeleteFunc(b.Lines, func(l order.Line) bool { return !slices.Contains(orders, l.Key.Order) })
	b.Done = map[ident.Release]trace.Quantities{}
	return b
}

func makeSmall(t *testing.T, b plant.Book) *plan.Plan {
	t.Helper()
	p, err := plan.Make(t.Context(), b, plan.Options{Now: demo.Now, Rounds: 20, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	if err := plan.Check(b, p); err != nil {
		t.Fatal(err)
	}
	return p
}

func demandOf(t *testing.T, p *plan.Plan, key string) plan.Demand {
	t.Helper()
	for _, d := range p.Demands {
		if d.Release.String() == key {
			return d
		}
	}
	t.Fatalf("no demand of %s", key)
	return plan.Demand{}
}

func said(p *plan.Plan, words string) bool {
	return slices.ContainsFunc(p.Notices, func(n plan.Notice) bool { return strings.Contains(n.Text, words) })
}

// By hand: 2,000 boxes in stock go to the order, which then asks for the rest;
// the stock that is left below its least is filled up by an order of its own.
func TestDemandIsNetOfStock(t *testing.T) {
	b := small("J1001")
	l := b.Lines[0]
	for n := range b.Items {
		if b.Items[n].Code == l.Item {
			b.Items[n].StockLeast, b.Items[n].StockMost = 1000, 3000
		}
	}
	kept := l
	kept.Key, kept.Kind, kept.Quantity = ident.NewRelease("STOCK-"+string(l.Item), "1", "1"), order.ForStock, 2000
	kept.State, kept.ToStock = order.Closed, true
	b.Lines = append(b.Lines, kept)
	b.Done[kept.Key] = trace.Quantities{InUnits: 2000}
	p := makeSmall(t, b)
	d := demandOf(t, p, "J1001")
	if d.FromStock != 2000 || d.ToMake != l.Quantity-2000 {
		t.Errorf("%d from stock, %d to make of %d", d.FromStock, d.ToMake, l.Quantity)
	}
	fill := demandOf(t, p, "STOCK-"+string(l.Item)+"/1/2")
	if fill.Kind != order.ForStock || fill.ToMake != 3000 || fill.Wanted < 3000 {
		t.Errorf("%+v", fill)
	}
	if !said(p, "fills up the stock of "+string(l.Item)) {
		t.Errorf("nobody is told: %+v", p.Notices)
	}
}

func TestABlanketOrderAsksForNothing(t *testing.T) {
	b := small("J1001")
	blanket := b.Lines[0]
	blanket.Key, blanket.Kind, blanket.Quantity = ident.NewRelease("J1001", "1", "0"), order.Blanket, 4000
	b.Lines = append(b.Lines, blanket)
	p := makeSmall(t, b)
	if len(p.Demands) != 1 || p.Demands[0].Release != b.Lines[0].Key {
		t.Errorf("%d demands", len(p.Demands))
	}
	if !said(p, "too many") {
		t.Error("called off beyond the total, and nobody is told")
	}
}

// Saturday 8 March 2031, 12:00, where the dock opens on weekdays from 7 to 15.
func TestAPromiseMovesToReceivingHours(t *testing.T) {
	b := small("J1001")
	b.Lines[0].Due, b.Lines[0].DueAt = time.Date(2031, 3, 8, 12, 0, 0, 0, time.UTC), order.AtDock
	for n := range b.Customers {
		if b.Customers[n].Code == b.Lines[0].Customer {
			b.Customers[n].Receives = []order.Receiving{{Days: []string{"Mon", "Tue", "Wed", "Thu", "Fri"}, From: "07:00", Until: "15:00"}}
		}
	}
	p := makeSmall(t, b)
	d := demandOf(t, p, "J1001")
	if want := time.Date(2031, 3, 7, 15, 0, 0, 0, time.UTC); !d.Due.Equal(want) || !d.Stated.Equal(b.Lines[0].Due) || !strings.Contains(d.DueWhy, "Saturday") {
		t.Errorf("due %v stated %v: %s", d.Due, d.Stated, d.DueWhy)
	}
	if !said(p, "takes no deliveries on a Saturday; brought forward: J1001 to Fri 15:00") {
		t.Errorf("%+v", p.Notices)
	}
}

func TestAKitWithoutItsPartIsNamed(t *testing.T) {
	if p := makeSmall(t, small("J1012")); !said(p, "its part FW-1011 is not on order") {
		t.Errorf("%+v", p.Notices)
	}
}

// hand: the box J1012 and its part J1011 are for one customer; due at one hour
// they share a truck, each marked with the kit they are part of.
func TestAKitTravelsTogether(t *testing.T) {
	b := small("J1012", "J1011")
	b.Lines[1].Due, b.Lines[1].DueAt = b.Lines[0].Due, b.Lines[0].DueAt
	p := makeSmall(t, b)
	for _, truck := range p.Trucks.Trucks {
		if len(truck.Parts) != 2 {
			t.Errorf("truck %d carries %+v", truck.Number, truck.Parts)
		}
		for _, part := range truck.Parts {
			if part.Kit != "J1012" {
				t.Errorf("%s is of kit %q", part.Release, part.Kit)
			}
		}
	}
	if len(p.Trucks.Trucks) != 1 || said(p, "does not travel together") {
		t.Errorf("%d trucks: %+v", len(p.Trucks.Trucks), p.Notices)
	}
}
