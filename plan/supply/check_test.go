package supply_test

import (
	"fmt"
	"testing"
	"time"

	"pgregory.net/rapid"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/supply"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/roll"
)

// drawn is a problem of a few papers and widths with rolls, trucks, draws and suppliers.
func drawn(t *rapid.T) supply.Problem {
	p := problem()
	p.Draws, p.Rolls, p.Inbound, p.Supplies = nil, nil, nil, nil
	paper := func() ident.Paper { return rapid.SampledFrom([]ident.Paper{"TL140", "RM110"}).Draw(t, "paper") }
	web := func() int { return rapid.SampledFrom([]int{2200, 2350, 2500}).Draw(t, "web") }
	length := func() int { return rapid.IntRange(100, 6000).Draw(t, "metres") }
	hour := func() time.Time { return p.Now.Add(time.Duration(rapid.IntRange(1, 99).Draw(t, "hour")) * time.Hour) }
	for i := range rapid.IntRange(0, 6).Draw(t, "rolls") {
		p.Rolls = append(p.Rolls, roll.Roll{ID: ident.Roll(fmt.Sprint("R", i)), Paper: paper(), Width: mm(web()), Length: metres(length()), Hold: rapid.IntRange(0, 4).Draw(t, "hold") == 0})
	}
	for i := range rapid.IntRange(0, 3).Draw(t, "trucks") {
		p.Inbound = append(p.Inbound, roll.Inbound{ID: fmt.Sprint("T", i), ETA: hour(), Paper: paper(), Width: mm(web()), Rolls: rapid.IntRange(1, 4).Draw(t, "n"), LengthEach: metres(length())})
	}
	for i := range rapid.IntRange(0, 8).Draw(t, "draws") {
		p.Draws = append(p.Draws, supply.Draw{Run: i/2 + 1, Paper: paper(), Web: mm(web()), Metres: metres(length()), At: hour()})
	}
	for i := range rapid.IntRange(0, 3).Draw(t, "suppliers") {
		s := plant.Supply{Paper: paper(), Supplier: fmt.Sprint("Mill ", i), Truckload: 9000, CoverDays: float64(rapid.IntRange(0, 2).Draw(t, "cover"))}
		s.Lead = quantity.Minutes(60 * rapid.IntRange(1, 60).Draw(t, "lead"))
		p.Supplies = append(p.Supplies, s)
	}
	return p
}

// TestCheckPassesEveryList: whatever is drawn, stocked, coming and stated.
func TestCheckPassesEveryList(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		if err := supply.Check(p, supply.Levels(p), supply.Calls(p)); err != nil {
			t.Fatal(err)
		}
	})
}

// TestCheckFinds what is wrong with a list.
func TestCheckFinds(t *testing.T) {
	for name, spoil := range map[string]func(l []supply.Level, c *supply.CallOff){
		"a shortage passed over": func(l []supply.Level, c *supply.CallOff) { c.Calls = nil },
		"too few rolls":          func(l []supply.Level, c *supply.CallOff) { c.Calls[0].Metres = metres(1) },
		"too late":               func(l []supply.Level, c *supply.CallOff) { c.Calls[0].By = c.Calls[0].NeededAt },
		"a row twice":            func(l []supply.Level, c *supply.CallOff) { c.Calls = append(c.Calls, c.Calls[0]) },
		"a shortage made small": func(l []supply.Level, c *supply.CallOff) {
			for i := range l {
				l[i].Short /= 2
			}
		},
		"free that is not": func(l []supply.Level, c *supply.CallOff) {
			for i := range l {
				l[i].Free += metres(3000)
			}
		},
	} {
		p := problem()
		l, c := supply.Levels(p), supply.Calls(p)
		if err := supply.Check(p, l, c); err != nil {
			t.Fatal(err)
		}
		if spoil(l, &c); supply.Check(p, l, c) == nil {
			t.Errorf("%s is not found", name)
		}
	}
}
