package oracle

import (
	"fmt"
	"math/rand/v2"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/runs"
)

func mm(v int) quantity.Length  { return quantity.Length(v) * quantity.Millimetre }
func m(v int) quantity.Distance { return quantity.FromMetres(float64(v)) }
func pointer[T any](v T) *T     { return &v }

// draw makes up the problem of a seed, of up to most orders. Every limit of the
// interchange document may be in play, and no change between neighbours has a
// price: sequences are checked by themselves. Numbers of sheets are small, which
// makes whole cuts matter most and proofs possible.
func draw(seed uint64, most int) runs.Problem {
	r := rand.New(rand.NewPCG(seed, 77))
	of := func(list ...int) int { return list[r.IntN(len(list))] }
	in10 := func(n int) bool { return r.IntN(10) < n }
	var p runs.Problem
	c := &p.Corrugator
	for k := 1 + r.IntN(3); k > 0; k-- {
		c.Webs = append(c.Webs, mm(1400+50*r.IntN(20)))
	}
	c.SideTrimMin, c.SideTrimMax = mm(of(0, 10, 15)), pointer(mm(of(100, 150, 250, 400)))
	c.MaxOuts, c.Scorers = pointer(of(3, 4, 5)), pointer(of(6, 8, 12))
	c.KnifeLevels, c.MaxOrdersPerRun = of(1, 2, 2, 2, 3), pointer(of(1, 2, 2, 2, 3))
	c.MinSlit, c.MinScoreToScore, c.MinScoreToSlit, c.MinChop, c.MaxChop = mm(180), mm(45), mm(30), mm(500), pointer(mm(3000))
	c.MinRun, c.RunChangeLoss, c.RejectCutsPerLane = m(of(0, 0, 20, 50)), m(of(0, 2, 5, 10)), of(0, 0, 1, 2)
	switch r.IntN(4) {
	case 0:
		c.MaxOutsPerLevel = pointer(of(2, 3))
	case 1:
		c.OutsByLevel = []int{3, 2}
	}
	if in10(4) {
		c.Speed, c.SectionSetup, c.MinuteCost = 200*quantity.MetrePerMinute, 20, quantity.Money(of(2, 8))
		if in10(3) {
			p.Minute, p.IdleMinuteCost = runs.Idle, 1
		}
	}
	p.Grades = []runs.Grade{
		{Grade: "K", PricePerM2: pointer(quantity.Money(.25)), Plies: []runs.Ply{{Paper: "P"}, {Paper: "M", TakeUp: 1.4}, {Paper: "P", TakeUp: 1}}},
		{Grade: "L", PricePerM2: pointer(quantity.Money(.4)), Plies: []runs.Ply{{Paper: "P"}, {Paper: "M", TakeUp: 1.4}}},
	}
	if in10(5) {
		p.Grades[0].MayUpgradeTo = []ident.Grade{"L"}
	}
	if in10(3) {
		p.Grades[0].WasteCredit, p.Grades[1].WasteCredit = .05, .03
	}
	if in10(2) {
		p.Papers = []runs.Stock{{Paper: "P", Metres: map[quantity.Length]quantity.Distance{c.Webs[0]: m(of(0, 200, 900))}}}
	}
	for i := range 1 + r.IntN(most) {
		p.Orders = append(p.Orders, drawOrder(r, i))
	}
	if n := len(p.Orders); n > 1 && in10(2) {
		p.Apart = [][2]string{{p.Orders[0].Order, p.Orders[1].Order}}
	}
	if len(c.Webs) > 1 && in10(1) {
		p.BarredWebs = c.Webs[:1]
	}
	return p
}

func drawOrder(r *rand.Rand, i int) runs.Order {
	of := func(list ...int) int { return list[r.IntN(len(list))] }
	slit := 300 + r.IntN(700)
	o := runs.Order{
		Order: fmt.Sprintf("A%d", i), Grade: []ident.Grade{"K", "K", "L"}[r.IntN(3)], Slit: mm(slit), Chop: mm(of(600, 900, 1200, 520+r.IntN(2000))),
		Sheets: 20 + r.IntN(380), UnderPct: float64(of(0, 3, 10)), OverPct: float64(of(3, 5, 10, 20)), MaxParts: of(1, 1, 2),
		UpgradeBarred: r.IntN(3) == 0, SplitCost: quantity.Money(of(0, 0, 3)), Adhesive: []string{"", "", "dry", "wet"}[r.IntN(4)],
	}
	if r.IntN(2) == 0 {
		o.Scores = []quantity.Length{mm(slit / 3), mm(slit - slit/3)}
	}
	if r.IntN(2) == 0 {
		o.ShortCost, o.OverCost = quantity.Money(of(0, 1))*.3, quantity.Money(of(0, 1))*.05
	}
	if r.IntN(8) == 0 {
		o.BarredWebs = []quantity.Length{mm(1400 + 50*r.IntN(20))}
	}
	return o
}
