package exchange

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/exchange/cells"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/roll"
	"github.com/flutewright/flutewright/plant/trace"
)

var rollColumns = []string{
	"roll!", "paper!", "width_mm!", "diameter_mm", "core_mm", "length_m", "mass_kg", "butt", "moisture_pct", "received", "location",
	"stand", "hold", "hold_reason",
}

func (in *tableFile) roll(r *cells.Record) {
	r.Needs("paper", "width_mm")
	v := roll.Roll{
		ID: ident.Roll(r.Text("roll")), Paper: ident.Paper(r.Code("paper")), Width: r.Length("width_mm"), Diameter: r.Length("diameter_mm"),
		Core: r.Length("core_mm"), Length: r.Distance("length_m"), Mass: r.Mass("mass_kg"), Butt: r.YesNo("butt"),
		MoisturePct: r.Percent("moisture_pct"), Received: r.Moment("received"), Location: r.Text("location"), Stand: r.Text("stand"),
		Hold: r.YesNo("hold"), HoldReason: r.Text("hold_reason"),
	}
	in.knownPaper(r, v.Paper)
	ranges(r, []limit{
		{"width_mm", v.Width.Millimetres(), 200, 6000}, {"diameter_mm", v.Diameter.Millimetres(), 50, 2500}, {"core_mm", v.Core.Millimetres(), 0, 500},
		{"length_m", v.Length.Metres(), 0, 50_000}, {"mass_kg", float64(v.Mass), 0, 10_000}, {"moisture_pct", v.MoisturePct, 0, 30},
	})
	if v.Diameter != 0 && v.Core >= v.Diameter {
		r.Add("core_mm", "must be less than the diameter", "")
	}
	if r.Empty("length_m") {
		v.Length = in.lengthOf(r, v)
	}
	in.weigh(r, &v)
	take(in, r, &in.table.Rolls, v)
}

// weigh works out a mass that is not stated, and tells of a roll whose figures
// do not agree; it is taken all the same.
func (in *tableFile) weigh(r *cells.Record, v *roll.Roll) {
	for _, p := range in.book.Plant.Papers {
		if p.Code != v.Paper || len(r.Faults) > 0 {
			continue
		}
		for _, why := range roll.CrossCheck(*v, p.Caliper, p.Grammage) {
			in.table.Notes = append(in.table.Notes, fmt.Sprintf("row %d: roll %s %s", r.Row, v.ID, why))
		}
		if v.Mass == 0 && p.Grammage > 0 {
			v.Mass = roll.MassOf(v.Length, v.Width, p.Grammage)
		}
	}
}

// lengthOf works out what is left on a roll whose length is not stated: from
// its diameter and core with the paper's caliper, else from its mass.
func (in *tableFile) lengthOf(r *cells.Record, v roll.Roll) quantity.Distance {
	for _, p := range in.book.Plant.Papers {
		if p.Code != v.Paper {
			continue
		}
		if v.Diameter > v.Core && p.Caliper > 0 {
			return roll.LengthFromDiameter(v.Diameter, v.Core, p.Caliper)
		}
		if v.Mass > 0 && p.Grammage > 0 && v.Width > 0 {
			return roll.LengthFromMass(v.Mass, v.Width, p.Grammage)
		}
		r.Add("length_m", "must be stated, or diameter_mm and core_mm where the paper has a caliper, or mass_kg", "")
	}
	return 0
}

func (in *tableFile) knownPaper(r *cells.Record, code ident.Paper) {
	var known []string
	for _, p := range in.book.Plant.Papers {
		if p.Code == code {
			return
		}
		known = append(known, string(p.Code))
	}
	if code != "" {
		unknown(r, "paper", string(code), "papers", known)
	}
}

var inboundColumns = []string{"inbound!", "eta!", "paper!", "width_mm!", "rolls!", "length_each_m!", "supplier", "state", "order_number"}

func (in *tableFile) inbound(r *cells.Record) {
	r.Needs("eta", "paper", "width_mm", "rolls", "length_each_m")
	v := roll.Inbound{
		ID: r.Text("inbound"), ETA: r.Moment("eta"), Paper: ident.Paper(r.Code("paper")), Width: r.Length("width_mm"),
		Rolls: r.Whole("rolls"), LengthEach: r.Distance("length_each_m"), Supplier: r.Text("supplier"),
		State: roll.Purchase(r.Code("state")), Number: r.Text("order_number"),
	}
	if v.State = roll.Purchase(strings.ToLower(string(v.State))); !v.State.Known() {
		r.Add("state", "must be called, confirmed or cancelled", "")
	}
	in.knownPaper(r, v.Paper)
	ranges(r, []limit{
		{"width_mm", v.Width.Millimetres(), 200, 6000}, {"rolls", float64(v.Rolls), 1, 10_000}, {"length_each_m", v.LengthEach.Metres(), 1, 50_000},
	})
	take(in, r, &in.table.Inbound, v)
}

var (
	stackColumns = []string{"stack!", "order!", "line", "release", "sheets!", "place", "found"}
	unitColumns  = []string{"unit!", "order!", "line", "release", "boxes!", "place", "found"}
)

func (in *tableFile) stack(r *cells.Record) {
	f := in.found(r, "sheets")
	f.Kind, f.Stack = trace.StackFound, ident.Stack(r.Text("stack"))
	f.ID = ident.Fact("stack " + string(f.Stack) + " found")
	take(in, r, &in.table.Facts, f)
}

func (in *tableFile) unit(r *cells.Record) {
	f := in.found(r, "boxes")
	f.Kind, f.Unit = trace.UnitFound, ident.Unit(r.Text("unit"))
	f.ID = ident.Fact("unit " + string(f.Unit) + " found")
	take(in, r, &in.table.Facts, f)
}

// found reads what stands on the floor for a release. The fact's id follows
// from the stack or unit alone, so that a file imported twice counts once.
func (in *tableFile) found(r *cells.Record, count string) trace.Fact {
	r.Needs("order", count)
	f := trace.Fact{
		At: in.book.Now, Source: "import", Release: ident.NewRelease(r.Code("order"), r.Code("line"), r.Code("release")),
		Good: r.Whole(count), Place: r.Text("place"),
	}
	if !r.Empty("found") {
		f.At = r.Moment("found")
		if f.At.After(in.book.Now) && !in.book.Now.IsZero() {
			r.Add("found", "lies in the future", "")
		}
	}
	if _, err := ident.ParseRelease(f.Release.String()); err != nil && f.Release.Order != "" {
		r.Add("order", "must not hold a slash, which parts order, line and release", "write a hyphen instead")
	}
	if !r.Empty(count) && (f.Good < 1 || f.Good > order.MostBoxes) {
		r.Add(count, "must be a whole number from 1 to "+strconv.Itoa(order.MostBoxes), "")
	}
	return f
}
