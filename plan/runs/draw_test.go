package runs

import (
	"fmt"
	"math"
	"time"

	"pgregory.net/rapid"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

func mm(v int) quantity.Length           { return quantity.Length(v) * quantity.Millimetre }
func metres(v float64) quantity.Distance { return quantity.FromMetres(v) }
func pointer[T any](v T) *T              { return &v }

// drawn makes a problem up in which every limit and price may be in play.
func drawn(t *rapid.T, most int) Problem {
	pick := func(name string, of ...int) int { return rapid.SampledFrom(of).Draw(t, name) }
	chance := func(name string, of10 int) bool { return rapid.IntRange(1, 10).Draw(t, name) <= of10 }
	var p Problem
	c := &p.Corrugator
	for range rapid.IntRange(1, 5).Draw(t, "webs") {
		c.Webs = append(c.Webs, mm(50*rapid.IntRange(30, 50).Draw(t, "web")))
	}
	c.SideTrimMin = mm(pick("trim min", 0, 10, 15, 20))
	c.SideTrimMax = pointer(mm(pick("trim max", 125, 200, 400)))
	c.MaxOuts, c.Scorers = pointer(pick("outs", 4, 5, 7, 8)), pointer(pick("scorers", 8, 12, 16, 24))
	c.KnifeLevels, c.MaxOrdersPerRun = pick("levels", 0, 1, 2, 2, 3), pointer(pick("orders", 1, 2, 2, 3))
	c.MinSlit, c.MinScoreToScore, c.MinScoreToSlit = mm(180), mm(45), mm(30)
	c.MinChop, c.MaxChop = mm(500), pointer(mm(4500))
	c.MinRun = metres(float64(pick("min run", 0, 60, 120)))
	c.RunChangeLoss, c.WebChangeLoss, c.GradeChangeLoss = metres(float64(pick("run loss", 0, 2, 30))), metres(float64(pick("web loss", 0, 18))), metres(float64(pick("grade loss", 0, 12)))
	if chance("per level", 4) {
		c.MaxOutsPerLevel = pointer(pick("level outs", 3, 4, 5))
	} else if chance("by level", 4) {
		c.OutsByLevel = []int{7, 3}
	}
	c.RejectCutsPerLane = pick("rejects", 0, 0, 1, 3)
	if chance("minutes", 4) {
		c.Speed, c.SectionSetup, c.MinuteCost = 200*quantity.MetrePerMinute, 25, quantity.Money(pick("minute", 5, 25))
	}
	p.Grades = []Grade{
		{Grade: "K1", PricePerM2: pointer(quantity.Money(.20)), Plies: []Ply{{"P1", 0}, {"M1", 1.33}, {"P1", 1}}},
		{Grade: "K2", PricePerM2: pointer(quantity.Money(.31)), Plies: []Ply{{"P2", 0}, {"M1", 1.33}, {"P1", 1}}},
	}
	if chance("upgrade", 5) {
		p.Grades[0].MayUpgradeTo = []ident.Grade{"K2"}
	}
	if chance("credit", 4) {
		p.Grades[0].WasteCredit, p.Grades[1].WasteCredit = .04, .04
	}
	if chance("stock", 3) {
		p.Papers = []Stock{{"P1", map[quantity.Length]quantity.Distance{c.Webs[0]: metres(float64(pick("metres", 0, 4000, 20000)))}}}
	}
	if chance("more changes", 3) {
		p.Grades[0].Flute, p.Grades[1].Flute, p.Grades[1].Wall = "B", "BC", 2
		p.Changes = Changes{FluteLoss: metres(20), WallLoss: metres(30), AdhesiveLoss: metres(40)}
	}
	if chance("idle", 2) {
		p.Minute, p.IdleMinuteCost = Idle, 1
	}
	if len(c.Webs) > 1 && chance("barred web", 2) {
		p.BarredWebs = c.Webs[:1]
	}
	if chance("late", 3) {
		p.Begins = time.Date(2031, 3, 3, 6, 0, 0, 0, time.UTC)
	}
	for i := range rapid.IntRange(1, most).Draw(t, "n") {
		p.Orders = append(p.Orders, drawnOrder(t, i))
		if o := &p.Orders[i]; !p.Begins.IsZero() {
			o.Due, o.LateCost, o.Behind = p.Begins.Add(time.Duration(pick("due", 1, 20, 200))*time.Minute), 50, 30
		}
	}
	if n := len(p.Orders); n > 1 && chance("apart", 2) {
		p.Apart = [][2]string{{p.Orders[0].Order, p.Orders[n-1].Order}}
	}
	return p
}

func drawnOrder(t *rapid.T, i int) Order {
	pick := func(name string, of ...int) int { return rapid.SampledFrom(of).Draw(t, name) }
	slit := rapid.IntRange(180, 1200).Draw(t, "slit")
	o := Order{
		Order: fmt.Sprintf("A%02d", i), Grade: rapid.SampledFrom([]ident.Grade{"K1", "K1", "K2"}).Draw(t, "grade"),
		Slit: mm(slit), Chop: mm(rapid.IntRange(480, 3200).Draw(t, "chop")),
		Sheets:   int(math.Exp(rapid.Float64Range(math.Log(300), math.Log(30000)).Draw(t, "sheets"))),
		UnderPct: float64(pick("under", 0, 3, 10)), OverPct: float64(pick("over", 0, 3, 10)), MaxParts: pick("parts", 0, 0, 1, 2, 3),
		UpgradeBarred: pick("barred", 0, 0, 1) == 1,
	}
	if pick("scored", 0, 1, 1) == 1 {
		o.Scores = []quantity.Length{mm(slit / 4), mm(slit - slit/4)}
	}
	if pick("priced", 0, 1) == 1 {
		o.ShortCost, o.OverCost = .4, quantity.Money(pick("over cost", 0, 1))*.05
	}
	if pick("split priced", 0, 0, 1) == 1 {
		o.SplitCost = 15
	}
	o.Adhesive = rapid.SampledFrom([]string{"", "", "", "standard", "water-resistant"}).Draw(t, "adhesive")
	return o
}
