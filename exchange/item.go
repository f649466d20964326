package exchange

import (
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strings"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/exchange/cells"
	"github.com/flutewright/flutewright/plant/box"
	"github.com/flutewright/flutewright/plant/order"
)

// itemColumns are the columns of an item's own, in an order file or in ITEMS.csv.
var itemColumns = []string{
	"style", "inside_length_mm", "inside_width_mm", "inside_height_mm", "overlap_mm", "chop_mm", "slit_mm", "scores_mm",
	"pieces_per_sheet", "grade", "adhesive", "colours", "print_side", "joint", "plate", "die", "boxes_per_bundle", "pallet",
	"bundles_per_layer", "piece_area_m2", "kit", "description", "upgrade_allowed", "route", "layers_per_unit", "bundle_length_mm", "bundle_width_mm",
	"pieces_per_kit", "gross_mass_kg", "boxes_high", "storage_days", "humidity_pct", "contents_carry_pct", "arrangement", "item_note",
	"stock_least", "stock_most", "stock_days",
}

// itemFields leads from the fields of order.Item to the columns.
var itemFields = map[string]string{
	"inside.length_mm": "inside_length_mm", "inside.width_mm": "inside_width_mm", "inside.height_mm": "inside_height_mm",
	"sheet.chop_mm": "chop_mm", "sheet.slit_mm": "slit_mm", "sheet.scores_mm": "scores_mm",
	"bundle_size.length_mm": "bundle_length_mm", "bundle_size.width_mm": "bundle_width_mm",
	"stacking.gross_mass_kg": "gross_mass_kg", "stacking.boxes_high": "boxes_high", "stacking.storage_days": "storage_days",
	"stacking.humidity_pct": "humidity_pct", "stacking.contents_carry_pct": "contents_carry_pct", "stacking.arrangement": "arrangement",
	"note": "item_note",
}

// ComputedStyles are the styles whose blank follows from the inside size; every
// other needs a stated sheet.
var ComputedStyles = []box.Style{"0110", "0200", "0201", "0202", "0203", "0204", "0501"}

var (
	styleCode  = regexp.MustCompile(`^\d{4}([-/. ]?[A-Za-z0-9]{1,6})?$`)
	styleShort = regexp.MustCompile(`^\d{3}$`)
)

// itemOf sets the line's item: one that is known, or one that the row's own
// columns make, which is returned. Own columns beside a known item are laid
// over it; where they change nothing, nil is returned.
func (b *book) itemOf(r *cells.Record, line *order.Line) *order.Item {
	code := line.Item
	if r.Empty(itemColumns...) {
		if _, ok := b.item(code); !ok && code != "" {
			r.Add("item", "is neither in the book nor in the file", "enter the item first, or give its columns in the row")
		} else if code == "" && r.Empty("item") {
			r.Add("item", "must name an item, or the row must carry style, sizes and grade", "")
		}
		return nil
	}
	if code == "" {
		code = ident.Item(fmt.Sprintf("%s-%s-%s", line.Customer, line.Key.Order, line.Key.Line))
	}
	base, known := b.item(code)
	if !known {
		base = order.Item{Code: code, Revision: 1, Customer: line.Customer, PiecesPerSheet: 1}
	}
	made := b.overlay(r, base)
	line.Item = code
	if s, before := b.items[code]; before && !reflect.DeepEqual(s.item, made) {
		r.Add("item", fmt.Sprintf("%s is stated otherwise in row %d", code, s.row), "give it a code of its own")
	}
	if known {
		if reflect.DeepEqual(base, made) {
			return nil
		}
		made.Revision = base.Revision + 1
	}
	return &made
}

// overlay returns base with what the row states laid over it, and judges every
// code that it names against the plant.
func (b *book) overlay(r *cells.Record, i order.Item) order.Item {
	i.Style = b.style(r, i)
	set(&i.Description, r.Text("description"))
	setLength(r, &i.Inside.Length, "inside_length_mm")
	setLength(r, &i.Inside.Width, "inside_width_mm")
	setLength(r, &i.Inside.Height, "inside_height_mm")
	setLength(r, &i.Overlap, "overlap_mm")
	i.Sheet = sheetOf(r, i.Sheet)
	setWhole(r, &i.PiecesPerSheet, "pieces_per_sheet")
	setNumber(r, (*float64)(&i.PieceArea), "piece_area_m2")
	set(&i.Grade, ident.Grade(r.Code("grade")))
	set(&i.Adhesive, r.Word("adhesive"))
	setWhole(r, &i.Colours, "colours")
	set(&i.Plate, ident.Plate(r.Code("plate")))
	set(&i.Die, ident.Die(r.Code("die")))
	setWhole(r, &i.BoxesPerBundle, "boxes_per_bundle")
	set(&i.Pallet, ident.Pallet(r.Code("pallet")))
	setWhole(r, &i.BundlesPerLayer, "bundles_per_layer")
	setWhole(r, &i.LayersPerUnit, "layers_per_unit")
	setWhole(r, &i.PiecesPerKit, "pieces_per_kit")
	setWhole(r, &i.StockLeast, "stock_least")
	setWhole(r, &i.StockMost, "stock_most")
	setWhole(r, &i.StockDays, "stock_days")
	set(&i.Note, r.Text("item_note"))
	if !r.Empty("upgrade_allowed") {
		i.UpgradeAllowed = r.YesNo("upgrade_allowed")
	}
	if kit := r.List("kit"); kit != nil {
		i.Kit = codes[ident.Item](kit)
	}
	if route := r.List("route"); route != nil {
		i.Route = codes[ident.Machine](route)
	}
	if !r.Empty("bundle_length_mm", "bundle_width_mm") {
		i.BundleSize = &box.FoldedFlat{Length: r.Length("bundle_length_mm"), Width: r.Length("bundle_width_mm")}
	}
	i.Stacking = stackingOf(r, i.Stacking)
	set(&i.PrintSide, r.Word("print_side"))
	set(&i.Joint, r.Word("joint"))
	byRule(&i)
	b.judge(r, i)
	return i
}

// byRule fills what a box plant takes for granted where nothing is stated.
func byRule(i *order.Item) {
	if i.PrintSide == "" {
		i.PrintSide = "none"
		if i.Colours > 0 {
			i.PrintSide = "outside"
		}
	}
	if i.Joint == "" && i.Style == "0110" {
		i.Joint = "none"
	} else if i.Joint == "" && slices.Contains(ComputedStyles, i.Style) {
		i.Joint = "glued"
	}
}

// style reads a style's code; a spreadsheet may have taken its leading zero.
func (b *book) style(r *cells.Record, i order.Item) box.Style {
	s := r.Code("style")
	switch {
	case s == "" && i.Style != "":
		return i.Style
	case s == "":
		r.Needs("style")
	case styleShort.MatchString(s):
		return box.Style("0" + s)
	case !styleCode.MatchString(s):
		r.Add("style", "is no style code, which has four digits", cells.Known(s, "styles", codes[string](ComputedStyles)))
	}
	return box.Style(s)
}

func sheetOf(r *cells.Record, base *box.Sheet) *box.Sheet {
	if r.Empty("chop_mm", "slit_mm", "scores_mm") {
		return base
	}
	s := box.Sheet{}
	if base != nil {
		s = *base
	} else {
		r.Needs("chop_mm", "slit_mm")
	}
	setLength(r, &s.Chop, "chop_mm")
	setLength(r, &s.Slit, "slit_mm")
	if !r.Empty("scores_mm") {
		s.Scores = r.Lengths("scores_mm")
	}
	return &s
}

func stackingOf(r *cells.Record, base *order.StackingDuty) *order.StackingDuty {
	columns := []string{"gross_mass_kg", "boxes_high", "storage_days", "humidity_pct", "contents_carry_pct", "arrangement"}
	if r.Empty(columns...) {
		return base
	}
	d := order.StackingDuty{Arrangement: "column"}
	if base != nil {
		d = *base
	}
	if !r.Empty("gross_mass_kg") {
		d.GrossMass = r.Mass("gross_mass_kg")
	}
	setWhole(r, &d.BoxesHigh, "boxes_high")
	setNumber(r, &d.StorageDays, "storage_days")
	setNumber(r, &d.HumidityPct, "humidity_pct")
	setNumber(r, &d.ContentsCarryPct, "contents_carry_pct")
	set(&d.Arrangement, r.Word("arrangement"))
	return &d
}

// judge records every code that the plant does not have, with what it has.
func (b *book) judge(r *cells.Record, i order.Item) {
	p := b.Plant
	grades := map[string]ident.Flute{}
	for _, g := range p.Grades {
		grades[string(g.Code)] = g.Flute
	}
	flute, ok := grades[string(i.Grade)]
	switch {
	case i.Grade == "":
		r.Needs("grade")
	case !ok:
		unknown(r, "grade", string(i.Grade), "grades", keys(grades))
	}
	if i.Sheet == nil && i.Style != "" {
		b.judgeComputed(r, i, flute, ok)
	}
	if i.Adhesive != "" && !slices.Contains(p.Adhesives, i.Adhesive) {
		unknown(r, "adhesive", i.Adhesive, "recipes", p.Adhesives)
	}
	var pallets, machines []string
	for _, v := range p.Pallets {
		pallets = append(pallets, string(v.Code))
	}
	for _, v := range p.Machines {
		machines = append(machines, string(v.Code))
	}
	if i.Pallet != "" && !slices.Contains(pallets, string(i.Pallet)) {
		unknown(r, "pallet", string(i.Pallet), "pallets", pallets)
	}
	for _, m := range i.Route {
		if !slices.Contains(machines, string(m)) {
			unknown(r, "route", string(m), "machines", machines)
		}
	}
}

// judgeComputed judges an item whose blank follows from a formula.
func (b *book) judgeComputed(r *cells.Record, i order.Item, flute ident.Flute, graded bool) {
	if !slices.Contains(ComputedStyles, i.Style) {
		if styleCode.MatchString(string(i.Style)) {
			r.Add("style", "is not computed here, its sheet must be stated", "give chop_mm and slit_mm, or one of the styles "+strings.Join(codes[string](ComputedStyles), ", "))
		}
		return
	}
	if i.Inside == (box.Inside{}) {
		r.Needs("inside_length_mm", "inside_width_mm")
	}
	if i.Style == "0110" {
		return
	}
	if i.Inside.Height == 0 {
		r.Needs("inside_height_mm")
	}
	has := slices.ContainsFunc(b.Plant.Allowances, func(a box.Allowance) bool { return a.Flute == flute })
	if graded && !has {
		r.Add("grade", fmt.Sprintf("the plant has no allowances for flute %s", flute), "state chop_mm and slit_mm, or enter the allowances")
	}
}

func unknown(r *cells.Record, column, given, plural string, known []string) {
	r.Add(column, fmt.Sprintf("%s is not known at the plant", given), cells.Known(given, plural, known))
}

func set[T ~string](to *T, v T) {
	if v != "" {
		*to = v
	}
}

func setLength(r *cells.Record, to *quantity.Length, column string) {
	if !r.Empty(column) {
		*to = r.Length(column)
	}
}

func setWhole(r *cells.Record, to *int, column string) {
	if !r.Empty(column) {
		*to = r.Whole(column)
	}
}

func setNumber(r *cells.Record, to *float64, column string) {
	if !r.Empty(column) {
		*to = r.Percent(column)
	}
}

func codes[T, S ~string](in []S) []T {
	out := make([]T, len(in))
	for i, s := range in {
		out[i] = T(s)
	}
	return out
}

func keys[V any](m map[string]V) []string {
	out := make([]string, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}
