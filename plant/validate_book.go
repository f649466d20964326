package plant

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/roll"
)

func byField(a, b fault.Violation) int { return strings.Compare(a.Field, b.Field) }

// rest judges what belongs to no single station: waiting times, dispatch, prices, tools, stops, tags.
func (c *check) rest(p Plant) {
	for _, v := range []struct {
		field       string
		v, min, max float64
	}{
		{"cure.single_wall_min", float64(p.Cure.SingleWall), 0, 20_160}, {"cure.double_wall_min", float64(p.Cure.DoubleWall), 0, 20_160},
		{"cure.white_min", float64(p.Cure.White), 0, 20_160}, {"cure.floor_max_min", float64(p.Cure.FloorMax), 0, 525_600},
		{"dispatch.load_forming_min", float64(p.Dispatch.LoadForming), 0, 10_080}, {"dispatch.loading_min", float64(p.Dispatch.Loading), 0, 10_080},
		{"dispatch.road_speed_m_min", p.Dispatch.RoadSpeed.MetresPerMinute(), 0, 3000},
		{"prices.waste_credit_per_t", float64(p.Prices.WasteCreditPerTonne), 0, 1e6}, {"prices.late_pct_per_day", p.Prices.LatePctPerDay, 0, 100},
		{"prices.late_each", float64(p.Prices.LateEach), 0, 1e7},
		{"prices.upgrade_extra_pct", p.Prices.UpgradeExtraPct, 0, 1000}, {"prices.default_price_per_1000", float64(p.Prices.DefaultPer1000), 0, 1e7},
	} {
		c.within(v.field, v.v, v.min, v.max)
	}
	c.unique("tools", each(p.Tools, func(t Tool) string { return t.ID }))
	for i, t := range p.Tools {
		at := fmt.Sprintf("tools[%d].", i)
		c.within(at+"hits", float64(t.Hits), 0, 1e9)
		c.within(at+"limit", float64(t.Limit), 0, 1e9)
		c.within(at+"ups", float64(t.Ups), 0, 1000)
		c.within(at+"colours", float64(t.Colours), 0, 12)
	}
	for i, s := range p.Stops {
		at := fmt.Sprintf("stops[%d].", i)
		c.known(at+"machine", string(s.Machine), "machines", c.names.machines)
		c.add(at+"until", s.Until.Format("2006-01-02T15:04"), s.Until.After(s.From), "must be after from")
	}
	c.unique("adhesives", p.Adhesives)
	c.within("tags.extension", float64(p.Tags.Extension), 0, 9)
	c.within("tags.next", float64(p.Tags.Next), 0, 1e15)
	c.add("tags.gs1_prefix", p.Tags.GS1Prefix, p.Tags.GS1Prefix == "" || digits(p.Tags.GS1Prefix) && len(p.Tags.GS1Prefix) >= 4 && len(p.Tags.GS1Prefix) <= 12, "must be 4 to 12 digits")
}

func digits(s string) bool { return strings.Trim(s, "0123456789") == "" }

// Validate returns every broken rule of the book as fault.Violations, or nil:
// those of the plant, of every entry, and every name that leads nowhere.
func (b Book) Validate() error {
	c := check{names: namesOf(b.Plant)}
	c.under("plant", b.Plant.Validate())
	customers := each(b.Customers, func(v order.Customer) ident.Customer { return v.Code })
	items := each(b.Items, func(v order.Item) ident.Item { return v.Code })
	c.unique("customers", customers)
	c.unique("items", items)
	hasCustomer, hasItem := setOf(customers), setOf(items)
	for i, v := range b.Customers {
		at := fmt.Sprintf("customers[%d]", i)
		c.under(at, v.Validate())
		if v.Pallet != "" {
			c.known(at+".pallet", string(v.Pallet), "pallets", c.names.pallets)
		}
	}
	for i, v := range b.Items {
		c.item(fmt.Sprintf("items[%d]", i), v, hasCustomer, hasItem)
	}
	keys := make([]string, len(b.Lines))
	for i, v := range b.Lines {
		at := fmt.Sprintf("lines[%d]", i)
		keys[i] = v.Key.String()
		c.under(at, v.Validate())
		c.add(at+".customer", string(v.Customer), hasCustomer[string(v.Customer)], "is not among the customers of the book")
		c.add(at+".item", string(v.Item), hasItem[string(v.Item)], "is not among the items of the book")
	}
	c.unique("lines", keys)
	c.paper(b.Rolls, b.Inbound)
	start := len(c.v)
	for key, q := range b.Done {
		for name, n := range map[string]int{"sheets_made": q.SheetsMade, "sheets_fed": q.SheetsFed, "boxes_good": q.BoxesGood,
			"boxes_waste": q.BoxesWaste, "in_units": q.InUnits, "shipped": q.Shipped} {
			c.add("done."+key.String()+"."+name, strconv.Itoa(n), n >= 0 && n <= 1e9, "must be from 0 to 1,000,000,000")
		}
	}
	slices.SortFunc(c.v[start:], byField)
	return c.v.Err()
}

func (c *check) item(at string, v order.Item, hasCustomer, hasItem map[string]bool) {
	c.under(at, v.Validate())
	c.known(at+".grade", string(v.Grade), "grades", c.names.grades)
	c.add(at+".customer", string(v.Customer), v.Customer == "" || hasCustomer[string(v.Customer)], "is not among the customers of the book")
	if v.Pallet != "" {
		c.known(at+".pallet", string(v.Pallet), "pallets", c.names.pallets)
	}
	if v.Adhesive != "" {
		c.known(at+".adhesive", v.Adhesive, "adhesives", c.names.adhesives)
	}
	for n, m := range v.Route {
		c.known(fmt.Sprintf("%s.route[%d]", at, n), string(m), "machines", c.names.machines)
	}
	for n, part := range v.Kit {
		c.add(fmt.Sprintf("%s.kit[%d]", at, n), string(part), hasItem[string(part)], "is not among the items of the book")
	}
}

func (c *check) paper(rolls []roll.Roll, inbound []roll.Inbound) {
	c.unique("rolls", each(rolls, func(v roll.Roll) ident.Roll { return v.ID }))
	for i, v := range rolls {
		at := fmt.Sprintf("rolls[%d].", i)
		c.known(at+"paper", string(v.Paper), "papers", c.names.papers)
		c.length(at+"width_mm", v.Width, 200*mm, 6000*mm)
		c.length(at+"diameter_mm", v.Diameter, 0, 2500*mm)
		c.length(at+"core_mm", v.Core, 0, 500*mm)
		c.within(at+"length_m", v.Length.Metres(), 0, 100_000)
		c.within(at+"mass_kg", float64(v.Mass), 0, 20_000)
		c.within(at+"moisture_pct", v.MoisturePct, 0, 50)
	}
	c.unique("inbound", each(inbound, func(v roll.Inbound) string { return v.ID }))
	for i, v := range inbound {
		at := fmt.Sprintf("inbound[%d].", i)
		c.known(at+"paper", string(v.Paper), "papers", c.names.papers)
		c.length(at+"width_mm", v.Width, 200*mm, 6000*mm)
		c.within(at+"rolls", float64(v.Rolls), 1, 10_000)
		c.within(at+"length_each_m", v.LengthEach.Metres(), 1, 100_000)
		c.add(at+"eta", "", !v.ETA.IsZero(), "must be given")
	}
}

func setOf(codes []string) map[string]bool {
	out := make(map[string]bool, len(codes))
	for _, c := range codes {
		out[c] = true
	}
	return out
}
