package order_test

import (
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/box"
	"github.com/flutewright/flutewright/plant/order"
)

const mm = quantity.Millimetre

func line(number string) order.Line {
	return order.Line{
		Key: ident.NewRelease(number, "", ""), Customer: "C01", Item: "FW-1001", Quantity: 5000,
		UnderPct: 5, OverPct: 5, Due: time.Date(2031, 3, 4, 14, 0, 0, 0, time.UTC), DueAt: order.AtDock,
		PricePer1000: 279, Priority: 1, State: order.Open,
	}
}

func item() order.Item {
	return order.Item{
		Code: "FW-1001", Revision: 1, Style: "0201", Inside: box.Inside{Length: 398 * mm, Width: 299 * mm, Height: 135 * mm},
		PiecesPerSheet: 1, Grade: "B-ST", Colours: 2, PrintSide: "outside", Joint: "glued", BoxesPerBundle: 25,
	}
}

func fields(err error) string {
	var v fault.Violations
	if !errors.As(err, &v) {
		return ""
	}
	names := make([]string, len(v))
	for i := range v {
		names[i] = v[i].Field
	}
	return strings.Join(names, " ")
}

// Limits: the bad-input list; the figures are common practice, no published source.
func TestLineValidate(t *testing.T) {
	tests := []struct {
		source string
		change func(*order.Line)
		want   string // fields at fault
	}{
		{"good", func(*order.Line) {}, ""},
		{"most boxes", func(l *order.Line) { l.Quantity = 10_000_000 }, ""},
		{"overdue is normal", func(l *order.Line) { l.Due = time.Date(2001, 1, 1, 0, 0, 0, 0, time.UTC) }, ""},
		{"negative", func(l *order.Line) { l.Quantity = -5 }, "quantity"},
		{"huge", func(l *order.Line) { l.Quantity = 10_000_001 }, "quantity"},
		{"percent", func(l *order.Line) { l.UnderPct, l.OverPct = -1, 101 }, "under_pct over_pct"},
		{"not a number", func(l *order.Line) { l.UnderPct, l.PricePer1000 = math.NaN(), quantity.Money(math.NaN()) }, "under_pct price_per_1000"},
		{"year", func(l *order.Line) { l.Due = l.Due.AddDate(200, 0, 0) }, "due"},
		{"no due", func(l *order.Line) { l.Due = time.Time{} }, "due"},
		{"slash in a key", func(l *order.Line) { l.Key.Order = "2031/04" }, "order"},
		{"control character", func(l *order.Line) { l.Customer = "C\x00" }, "customer"},
		{"all at once", func(l *order.Line) { *l = order.Line{} }, "order line release customer item quantity due due_at state"},
	}
	for _, tt := range tests {
		l := line("J1001")
		tt.change(&l)
		if got := fields(l.Validate()); got != tt.want {
			t.Errorf("%s: faults in %q, want %q", tt.source, got, tt.want)
		}
	}
}

func TestItemValidate(t *testing.T) {
	tests := []struct {
		source string
		change func(*order.Item)
		want   string
	}{
		{"good", func(*order.Item) {}, ""},
		{"approved sheet needs no inside size", func(i *order.Item) {
			i.Style, i.Inside, i.Sheet = "0427", box.Inside{}, &box.Sheet{Chop: 1450 * mm, Slit: 1052 * mm}
		}, ""},
		{"flat sheet needs no height", func(i *order.Item) { i.Style, i.Inside.Height = "0110", 0 }, ""},
		{"impossible sizes", func(i *order.Item) { i.Inside = box.Inside{Length: 7000 * mm, Width: -5 * mm, Height: 0} },
			"inside.length_mm inside.width_mm inside.height_mm"},
		{"scores must rise inside the slit", func(i *order.Item) {
			i.Sheet = &box.Sheet{Chop: 1439 * mm, Slit: 443 * mm, Scores: []quantity.Length{292 * mm, 151 * mm, 443 * mm}}
		}, "sheet.scores_mm sheet.scores_mm"},
		{"words", func(i *order.Item) { i.PrintSide, i.Joint = "top", "welded" }, "print_side joint"},
		{"its own part", func(i *order.Item) { i.Kit = []ident.Item{"FW-1001"} }, "kit.1"},
		{"stacking", func(i *order.Item) { i.Stacking = &order.StackingDuty{HumidityPct: 130} },
			"stacking.gross_mass_kg stacking.boxes_high stacking.humidity_pct"},
	}
	for _, tt := range tests {
		i := item()
		tt.change(&i)
		if got := fields(i.Validate()); got != tt.want {
			t.Errorf("%s: faults in %q, want %q", tt.source, got, tt.want)
		}
	}
}

func TestCustomerValidate(t *testing.T) {
	good := order.Customer{Code: "C01", Road: quantity.FromMetres(38000), OverPct: 5}
	if err := good.Validate(); err != nil {
		t.Error(err)
	}
	bad := order.Customer{Code: " C01", Road: -1, UnderPct: 200, UnitMaxHeight: 5 * mm}
	if got, want := fields(bad.Validate()), "customer road_m under_pct unit_max_height_mm"; got != want {
		t.Errorf("faults in %q, want %q", got, want)
	}
}

// hand: the same file again is a difference.
func TestCompare(t *testing.T) {
	a, b, c, d, e := line("J1"), line("J2"), line("J3"), line("J4"), line("J5")
	e.State = order.Closed
	held := b
	held.State, held.Parent, held.Priority = order.OnHold, "J1", 7
	changed := b
	changed.Quantity, changed.Due = 6000, b.Due.Add(2*time.Hour)
	f := order.File{
		Columns: []string{"order", "customer", "item", "due", "quantity", "under_pct", "over_pct", "price_per_1000"},
		Rows:    []order.FileRow{{Row: 2, Line: a}, {Row: 3, Line: changed}, {Row: 4, Line: line("J9")}},
		Waiting: []order.Waiting{{Row: 5, Cells: map[string]string{"order": "J3", "quantity": "x"}}},
	}
	got := order.Compare([]order.Line{a, held, c, d, e}, f)
	if got.Same != 1 || len(got.New) != 1 || len(got.Changed) != 1 || len(got.Gone) != 1 {
		t.Fatalf("same %d, new %d, changed %d, gone %d", got.Same, len(got.New), len(got.Changed), len(got.Gone))
	}
	if got.New[0].Line.Key.Order != "J9" || got.Gone[0].Key.Order != "J4" {
		t.Errorf("new %v, gone %v", got.New[0].Line.Key, got.Gone[0].Key)
	}
	want := []string{"quantity 5,000 → 6,000", "due 2031-03-04 14:00 → 2031-03-04 16:00 UTC"}
	if !reflect.DeepEqual(got.Changed[0].Fields, want) {
		t.Errorf("fields %q, want %q", got.Changed[0].Fields, want)
	}
	if l := got.Changed[0].Row.Line; l.State != order.OnHold || l.Parent != "J1" || l.Priority != 7 {
		t.Errorf("what the file does not state was lost: %+v", l)
	}
}

func TestCompareSameFileTwice(t *testing.T) {
	f := order.File{Rows: []order.FileRow{{Line: line("J1")}, {Line: line("J2")}}}
	got := order.Compare([]order.Line{line("J1"), line("J2")}, f)
	if got.Same != 2 || len(got.New)+len(got.Changed)+len(got.Gone) != 0 {
		t.Errorf("%+v", got)
	}
}
