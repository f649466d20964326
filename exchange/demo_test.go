package exchange_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"flag"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/exchange"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/order"
)

var update = flag.Bool("update", false, "write testdata anew")

// fullColumns is every column of an order file that carries its items.
var fullColumns = strings.Split("order,line,release,customer,item,due,due_at,quantity,under_pct,over_pct,ship_to,price_per_1000,priority,note,"+
	"style,inside_length_mm,inside_width_mm,inside_height_mm,overlap_mm,chop_mm,slit_mm,scores_mm,pieces_per_sheet,grade,adhesive,colours,"+
	"print_side,joint,plate,die,boxes_per_bundle,pallet,bundles_per_layer,kit,description,upgrade_allowed,route,layers_per_unit,"+
	"bundle_length_mm,bundle_width_mm,pieces_per_kit,gross_mass_kg,boxes_high,storage_days,humidity_pct,contents_carry_pct,arrangement,item_note", ",")

// orderRow writes a line and its item as a row of fullColumns.
func orderRow(l order.Line, i order.Item, zone *time.Location) map[string]string {
	num := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	mm := func(v quantity.Length) string {
		if v == 0 {
			return ""
		}
		return num(v.Millimetres())
	}
	n := func(v int) string {
		if v == 0 {
			return ""
		}
		return strconv.Itoa(v)
	}
	row := map[string]string{
		"order": l.Key.Order, "line": l.Key.Line, "release": l.Key.Release, "customer": string(l.Customer), "item": string(l.Item),
		"due": l.Due.In(zone).Format("2006-01-02T15:04"), "due_at": string(l.DueAt), "quantity": strconv.Itoa(l.Quantity),
		"under_pct": num(l.UnderPct), "over_pct": num(l.OverPct), "ship_to": l.ShipTo, "price_per_1000": num(float64(l.PricePer1000)),
		"priority": strconv.Itoa(l.Priority), "note": l.Note,
		"style": string(i.Style), "inside_length_mm": mm(i.Inside.Length), "inside_width_mm": mm(i.Inside.Width), "inside_height_mm": mm(i.Inside.Height),
		"overlap_mm": mm(i.Overlap), "pieces_per_sheet": strconv.Itoa(i.PiecesPerSheet), "grade": string(i.Grade), "adhesive": i.Adhesive,
		"colours": strconv.Itoa(i.Colours), "print_side": i.PrintSide, "joint": i.Joint, "plate": string(i.Plate), "die": string(i.Die),
		"boxes_per_bundle": n(i.BoxesPerBundle), "pallet": string(i.Pallet), "bundles_per_layer": n(i.BundlesPerLayer), "kit": slashed(i.Kit),
		"description": i.Description, "route": slashed(i.Route), "layers_per_unit": n(i.LayersPerUnit), "pieces_per_kit": n(i.PiecesPerKit),
		"item_note": i.Note,
	}
	if i.UpgradeAllowed {
		row["upgrade_allowed"] = "yes"
	}
	if s := i.Sheet; s != nil {
		scores := make([]string, len(s.Scores))
		for n, at := range s.Scores {
			scores[n] = mm(at)
		}
		row["chop_mm"], row["slit_mm"], row["scores_mm"] = mm(s.Chop), mm(s.Slit), strings.Join(scores, "/")
	}
	if b := i.BundleSize; b != nil {
		row["bundle_length_mm"], row["bundle_width_mm"] = mm(b.Length), mm(b.Width)
	}
	if d := i.Stacking; d != nil {
		row["gross_mass_kg"], row["boxes_high"], row["storage_days"] = num(float64(d.GrossMass)), n(d.BoxesHigh), num(d.StorageDays)
		row["humidity_pct"], row["contents_carry_pct"], row["arrangement"] = num(d.HumidityPct), num(d.ContentsCarryPct), d.Arrangement
	}
	return row
}

func slashed[T ~string](codes []T) string {
	parts := make([]string, len(codes))
	for i, c := range codes {
		parts[i] = string(c)
	}
	return strings.Join(parts, "/")
}

// demoOrders is the demo book as an order file that carries its items.
func demoOrders(t *testing.T, b plant.Book) []byte {
	t.Helper()
	zone, err := time.LoadLocation(b.Plant.Calendar.Zone)
	if err != nil {
		t.Fatal(err)
	}
	items := map[ident.Item]order.Item{}
	for _, i := range b.Items {
		items[i.Code] = i
	}
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	w.Write(fullColumns)
	for _, l := range b.Lines {
		row := orderRow(l, items[l.Item], zone)
		record := make([]string, len(fullColumns))
		for i, c := range fullColumns {
			record[i] = row[c]
		}
		w.Write(record)
	}
	w.Flush()
	if err := w.Error(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// The demo book written as an order file comes back as it was, items and all.
func TestDemoOrdersComeBack(t *testing.T) {
	b := demo.Book()
	raw := demoOrders(t, b)
	const name = "testdata/orders.csv"
	if *update {
		if err := os.WriteFile(name, raw, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	kept, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(kept, raw) {
		t.Errorf("%s is not the demo book: run go test -update", name)
	}
	noItems := b
	noItems.Items = nil
	file := read(t, exchange.Orders{}, desk.KnownOf(noItems, demo.Now), string(kept))
	if len(file.Waiting) > 0 || len(file.Rows) != len(b.Lines) {
		t.Fatalf("%d rows, waiting %v", len(file.Rows), faults(file))
	}
	for i, row := range file.Rows {
		same(t, row.Line.Key.String(), row.Line, b.Lines[i])
		for _, want := range b.Items {
			if want.Code == row.Line.Item {
				same(t, string(want.Code), *row.Item, want)
			}
		}
	}
	again := read(t, exchange.Orders{}, desk.KnownOf(b, demo.Now), string(kept))
	for _, row := range again.Rows {
		if row.Item != nil {
			t.Errorf("row %d restates item %s, which it does not change", row.Row, row.Item.Code)
		}
	}
	if d := order.Compare(b.Lines, again); d.Same != len(b.Lines) || len(d.Changed)+len(d.New)+len(d.Gone) > 0 {
		t.Errorf("against its own book: %d same, %d changed", d.Same, len(d.Changed))
	}
}

// same compares as JSON does, so that a nil and an empty list are one, and times by their moment.
func same[T any](t *testing.T, what string, got, want T) {
	t.Helper()
	if l, ok := any(&got).(*order.Line); ok {
		l.Due = l.Due.UTC()
	}
	if l, ok := any(&want).(*order.Line); ok {
		l.Due = l.Due.UTC()
	}
	g, errG := json.Marshal(got)
	w, errW := json.Marshal(want)
	if errG != nil || errW != nil || !bytes.Equal(g, w) {
		t.Errorf("%s:\n got %s\nwant %s", what, g, w)
	}
}

func read(t *testing.T, o exchange.Orders, k desk.Known, text string) order.File {
	t.Helper()
	file, err := o.ReadOrders("orders.csv", strings.NewReader(text), k)
	if err != nil {
		t.Fatal(err)
	}
	return file
}

// faults lists what waits, a line a fault.
func faults(f order.File) []string {
	var out []string
	for _, w := range f.Waiting {
		for _, v := range w.Faults {
			out = append(out, v.String())
		}
	}
	return out
}
