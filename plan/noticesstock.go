package plan

import (
	"fmt"
	"slices"
	"strings"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan/stock"
	"github.com/flutewright/flutewright/plant/order"
)

// goodsNotices tell of stock that is filled up, blanket orders called beyond
// their total, and kits whose parts do not go together.
func (m *maker) goodsNotices(p *Plan) {
	s := stock.Of(m.ix.book, p.Now)
	for _, d := range p.Demands {
		if d.Kind != order.ForStock || d.ToMake == 0 {
			continue
		}
		it := s.Items[d.Item]
		p.Notices = append(p.Notices, Notice{Kind: "stock", Release: d.Release, Text: fmt.Sprintf(
			"%s fills up the stock of %s (%s) by %d: %d boxes stay free of the %d in the house, at least %d are kept",
			d.Release, d.Item, m.item(d.Release), d.ToMake, it.Left(), it.Free, it.Least)})
	}
	for _, b := range s.Blankets {
		if b.Over > 0 {
			p.Notices = append(p.Notices, Notice{Kind: "stock", Release: b.Calls[len(b.Calls)-1], Text: fmt.Sprintf(
				"%s: %d boxes are called off the blanket order of %d, %d too many", b.Key, b.Called, b.Total, b.Over)})
		}
	}
	on := trucksOf(p)
	for _, k := range s.Kits {
		m.kitNotice(p, k, on)
	}
}

// trucksOf names the trucks that carry units of each release.
func trucksOf(p *Plan) map[ident.Release][]int {
	out := map[ident.Release][]int{}
	for _, t := range p.Trucks.Trucks {
		for _, part := range t.Parts {
			if list := out[part.Release]; !slices.Contains(list, t.Number) {
				out[part.Release] = append(list, t.Number)
			}
		}
	}
	return out
}

// kitNotice tells of a kit that lacks a part, or whose parts leave on other trucks.
func (m *maker) kitNotice(p *Plan, k stock.Kit, on map[ident.Release][]int) {
	var names []string
	apart := false
	for _, part := range k.Parts {
		trucks := on[part.Release]
		names = append(names, part.Release.String())
		apart = apart || len(trucks) > 0 && !slices.Equal(trucks, on[k.Key])
	}
	kit := strings.Join(names, " + ")
	switch {
	case len(k.Missing) > 0:
		p.Notices = append(p.Notices, Notice{Kind: "kit", Release: k.Key, Text: fmt.Sprintf(
			"kit %s: its part %s is not on order for the customer; no whole kit can go", kit, k.Missing[0])})
	case apart && len(on[k.Key]) > 0:
		var each []string
		for _, part := range k.Parts {
			each = append(each, fmt.Sprintf("%s on %s", part.Release, truckNames(on[part.Release])))
		}
		p.Notices = append(p.Notices, Notice{Kind: "kit", Release: k.Key, Text: fmt.Sprintf(
			"kit %s does not travel together: %s; load the parts of each truck in equal kits, or hold the first back", kit, strings.Join(each, ", "))})
	}
}

func truckNames(list []int) string {
	if len(list) == 0 {
		return "no truck"
	}
	words := make([]string, len(list))
	for i, n := range list {
		words[i] = fmt.Sprint(n)
	}
	return "truck " + strings.Join(words, ", ")
}

// receivingNotices list the releases that customers cannot take when they are due, by reason.
func (m *maker) receivingNotices(p *Plan) {
	type day struct {
		customer ident.Customer
		why      string
	}
	by := map[day][]string{}
	var days []day
	for _, w := range m.all {
		if w.DueWhy == "" {
			continue
		}
		k := day{w.Customer, w.DueWhy}
		if by[k] == nil {
			days = append(days, k)
		}
		by[k] = append(by[k], fmt.Sprintf("%s to %s", w.Release, m.clockTime(w.Due)))
	}
	for _, k := range days {
		list, more := by[k], ""
		if len(list) > 8 {
			more = fmt.Sprintf(" and %d more", len(list)-8)
			list = list[:8]
		}
		p.Notices = append(p.Notices, Notice{Kind: "calendar", Rank: 1, Text: fmt.Sprintf(
			"%s: %s; brought forward: %s%s", houseName(m.ix.customers[k.customer]), k.why, strings.Join(list, ", "), more)})
	}
}

func houseName(c order.Customer) string {
	if c.Name != "" {
		return c.Name
	}
	return string(c.Code)
}
