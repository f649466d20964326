package plan_test

import (
	"context"
	"math"
	"slices"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/order"
)

// oneLine is the demo's book with its first order alone, due so long after now.
func oneLine(after time.Duration) plant.Book {
	b := demo.Book()
	b.Lines = slices.Clone(b.Lines[:1])
	b.Lines[0].Due, b.Lines[0].DueAt = demo.Now.Add(after), order.AtGate
	return b
}

// dayOf is what an explained plan of the book says of a day of due time.
func dayOf(t *testing.T, b plant.Book, change float64) (*plan.Plan, *runs.Detail) {
	t.Helper()
	opt := plan.Options{Now: demo.Now, Seed: 1, Rounds: 20}
	p, err := plan.Make(context.Background(), b, opt)
	if err != nil {
		t.Fatal(err)
	}
	e, err := plan.Explain(context.Background(), b, p, opt, runs.ExplainOptions{Rounds: 5, Plans: -1})
	if err != nil {
		t.Fatal(err)
	}
	k := slices.IndexFunc(e.Details, func(d runs.Detail) bool { return d.Field == "due_d" && d.Change == change })
	if k < 0 {
		return p, nil
	}
	if d := e.Details[k]; d.Order != b.Lines[0].Key.String() || d.Sure != 0 || math.Abs(float64(d.Week)-float64(d.Likely())*7/max(e.Days, 1)) > 1e-6 {
		t.Errorf("%+v: the plan is %.2f days of seven", d, e.Days)
	}
	return p, &e.Details[k]
}

// Hand. One order alone, due in an hour: it comes late, at so much for being late and a share of its value a
// day. A day later it would be in time and nothing else moves, so the day saves all of its lateness. A day
// sooner it would have been due before now, which nobody can ask.
func TestADayLaterSavesTheLateness(t *testing.T) {
	b := oneLine(time.Hour)
	p, d := dayOf(t, b, 1)
	late := p.Clock.Finishes[0]
	if late.LateCost <= 0 || late.Late >= 24*60 {
		t.Fatalf("%+v: not late by less than a day", late)
	}
	if d == nil || !d.Tried || math.Abs(float64(d.Saves-late.LateCost)) > .01 || math.Abs(float64(d.About-late.LateCost)) > .01 {
		t.Errorf("%+v, %.2f by hand", d, float64(late.LateCost))
	}
	if _, d := dayOf(t, b, -1); d != nil {
		t.Errorf("due before now: %+v", d)
	}
}

// Hand. One order alone with less than a day to spare: a day sooner it is late by a day less what it has to
// spare, at late_each and late_pct_per_day of its value; a day later is worth nothing.
func TestADaySoonerCostsTheLateness(t *testing.T) {
	b := oneLine(36 * time.Hour)
	p, d := dayOf(t, b, -1)
	spare := p.Clock.Finishes[0].Float
	if spare <= 0 || spare >= 24*60 {
		t.Fatalf("%v min to spare", spare)
	}
	l := b.Lines[0]
	each := l.PricePer1000
	if each == 0 {
		each = b.Plant.Prices.DefaultPer1000
	}
	value := each / 1000 * quantity.Money(l.Quantity)
	by := b.Plant.Prices.LateEach + value*quantity.Money(b.Plant.Prices.LatePctPerDay/100*(1-float64(spare)/(24*60)))
	if d == nil || !d.Tried || math.Abs(float64(d.About+by)) > .01 || float64(-d.Saves) > float64(by)+.01 || d.Saves >= 0 {
		t.Errorf("%+v, %.2f by hand", d, float64(by))
	}
	if _, d := dayOf(t, b, 1); d != nil {
		t.Errorf("in time anyway: %+v", d)
	}
}
