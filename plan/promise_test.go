package plan_test

import (
	"context"
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/promise"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/order"
)

func promised(t *testing.T, b plant.Book, p *plan.Plan, ask plan.Ask, front plan.Front, sc promise.Scatter) *plan.Promised {
	t.Helper()
	began := time.Now()
	got, err := plan.Promise(context.Background(), b, p, ask, front, sc, demo.Now, promise.Options{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%.2f s: %s", time.Since(began).Seconds(), got.Sentence)
	for _, s := range got.Sooner {
		t.Logf("  sooner: %v gain %.0f min for %.0f by %v", s.At.Format("Mon 15:04"), float64(s.Gain), float64(s.Cost), s.Means)
	}
	return got
}

// Moment 3 of the planning desk, on the phone: 12,000 of this item at your dock
// Thursday 10:00? Taking Wednesday's crew off FFG-1 moves the date and says so.
// It is asked on Wednesday, on the plan of that morning.
func TestTwelveThousandByThursday(t *testing.T) {
	wednesday := demo.Now.AddDate(0, 0, 2)
	book := demo.Book()
	for i, l := range book.Lines {
		if l.Due.Before(wednesday.AddDate(0, 0, 1)) {
			book.Lines[i].State = order.Closed // made and gone by then
		}
	}
	p, err := plan.Make(context.Background(), book, plan.Options{Now: wednesday, Rounds: rounds, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	asking := func(b plant.Book, off plan.Absence) *plan.Promised {
		ask := plan.Ask{Item: "FW-1002", Quantity: 12000, Due: wednesday.AddDate(0, 0, 1).Add(4 * time.Hour), DueAt: "dock", Without: off}
		got, err := plan.Promise(context.Background(), b, p, ask, plan.Front{}, promise.Scatter{}, wednesday, promise.Options{Seed: 1})
		if err != nil {
			t.Fatal(err)
		}
		t.Log(got.Sentence)
		return got
	}
	with := asking(book, plan.Absence{Machine: "FFG-1", Day: wednesday.Format(time.DateOnly)})
	off := book
	off.Plant.Stops = append(slices.Clone(book.Plant.Stops), plant.Stop{Machine: "FFG-1", From: wednesday, Until: wednesday.AddDate(0, 0, 1), Cause: "no crew on Wednesday"})
	without := asking(off, plan.Absence{})
	if !without.At.After(with.At) {
		t.Errorf("with Wednesday's crew %v, without %v", with.At, without.At)
	}
	if !strings.Contains(without.Sentence, "no crew on Wednesday") || strings.Contains(with.Sentence, "no crew") {
		t.Errorf("the sentence does not say that the crew is missing: %s", without.Sentence)
	}
	if a := with.Without; a == nil || a.At.Sub(without.At).Abs() > time.Minute || !strings.HasPrefix(a.Words, "Taking Wednesday's crew off FFG-1 moves it to ") {
		t.Errorf("with the crew off it would be there at %v; asked what if: %+v", without.At, a)
	}
}

// Every order of the demo gets an answer that passes promise.Check: the plan's
// own date where nothing is changed, and no way that is called sooner is later.
func TestCanItBeSooner(t *testing.T) {
	p := planOfMonday(t)
	b := demo.Book()
	for _, l := range b.Lines {
		if l.State != order.Open {
			continue
		}
		if !slices.ContainsFunc(p.Clock.Finishes, func(f jobs.Finish) bool { return f.Release == l.Key && !f.MadeAt.IsZero() }) {
			continue
		}
		got := promised(t, b, p, plan.Ask{Release: l.Key}, plan.Front{}, promise.Scatter{})
		if got.Refusal != "" {
			t.Errorf("%s is planned and refused: %s", l.Key, got.Refusal)
			continue
		}
		for _, s := range got.Sooner {
			if !s.At.Before(got.At) || len(s.Means) == 0 || s.At.Before(got.NotBefore) {
				t.Errorf("%s at %v, sooner at %v by %v, never before %v", l.Key, got.At, s.At, s.Means, got.NotBefore)
			}
		}
		if last := got.Steps[len(got.Steps)-1]; !last.End.Equal(got.At) {
			t.Errorf("%s is there at %v, its last step ends at %v", l.Key, got.At, last.End)
		}
	}
}

// Rule 6: J1039, asked about, has the latest corrugator start that lets it leave
// by about Tuesday 03:00 on its stated machine (planning handbook, scenario 2).
func TestLatestHoursAreWorkedBack(t *testing.T) {
	p := planOfMonday(t)
	b := demo.Book()
	for i := range b.Items {
		if b.Items[i].Code == "FW-1039" {
			b.Items[i].Route = []ident.Machine{"FFG-3"}
		}
	}
	for _, l := range b.Lines {
		if l.Item != "FW-1039" {
			continue
		}
		got := promised(t, b, p, plan.Ask{Release: l.Key}, plan.Front{}, promise.Scatter{})
		want := demo.Now.AddDate(0, 0, 1).Truncate(24 * time.Hour).Add(3*time.Hour + 3*time.Minute)
		for _, s := range got.Steps {
			if exit := s.Latest.Add(s.End.Sub(s.Start)); s.What == "corrugator" && (exit.After(want) || want.Sub(exit) > time.Minute) {
				t.Errorf("must leave the corrugator by %v, want %v", exit, want)
			}
		}
	}
}

// The chance comes from the plant's own facts: with none there is a word and no
// number; where jobs take half as long again the chance is less than where they
// take what was planned (hand).
func TestChanceFromTheScatter(t *testing.T) {
	p := planOfMonday(t)
	b := demo.Book()
	ask := plan.Ask{Item: "FW-1002", Quantity: 12000, DueAt: "gate"}
	ask.Due = demo.Now.AddDate(0, 0, 3)
	first := promised(t, b, p, ask, plan.Front{}, promise.Scatter{})
	if first.Chance.Known || !strings.Contains(first.Sentence, "too few") {
		t.Errorf("a chance without facts: %+v", first.Chance)
	}
	ask.Due = first.At.Add(20 * time.Minute)
	scatter := func(n int, mean float64) promise.Scatter {
		sc := promise.Scatter{Machines: map[ident.Machine][]float64{}}
		for i := range n {
			v := mean * (0.8 + 0.4*float64(i%11)/10)
			sc.Corrugator = append(sc.Corrugator, v)
			for _, m := range b.Plant.Machines {
				sc.Machines[m.Code] = append(sc.Machines[m.Code], v)
			}
		}
		return sc
	}
	fast := promised(t, b, p, ask, plan.Front{}, scatter(40, 0.7)).Chance
	even := promised(t, b, p, ask, plan.Front{}, scatter(40, 1)).Chance
	slow := promised(t, b, p, ask, plan.Front{}, scatter(40, 1.5)).Chance
	if !fast.Known || fast.P < 0.95 || slow.P > 0.2 || even.P > fast.P || even.P < slow.P {
		t.Errorf("chance %.2f when quick, %.2f as planned, %.2f when slow", fast.P, even.P, slow.P)
	}
	if few := promised(t, b, p, ask, plan.Front{}, scatter(15, 1)).Chance; !few.Known || !strings.Contains(few.Why, "caution") {
		t.Errorf("15 ended give no caution: %+v", few)
	}
}

// Without a freeze an order may go ahead; in one it waits, and breaking it is named (hand).
func TestFreezeIsKeptByAPromise(t *testing.T) {
	p := planOfMonday(t)
	b := demo.Book()
	b.Plant.Freezes = []plant.Freeze{{Area: "corrugator", Minutes: 480}, {Area: "FFG-1", Minutes: 480}, {Area: "FFG-2", Minutes: 480}}
	in := map[string]*plan.Plan{"corrugator": p, "FFG-1": p, "FFG-2": p}
	front := plan.FrontOf(b, demo.Now, in, map[string]ident.Plan{"corrugator": 1, "FFG-1": 1, "FFG-2": 1}, nil, nil, "")
	ask := plan.Ask{Item: "FW-1002", Quantity: 12000, Due: demo.Now.Add(7 * time.Hour), DueAt: "dock"}
	free := promised(t, b, p, ask, plan.Front{}, promise.Scatter{})
	kept := promised(t, b, p, ask, front, promise.Scatter{})
	if kept.At.Before(free.At) || kept.Breaks {
		t.Errorf("frozen at %v (breaks %v), free at %v", kept.At, kept.Breaks, free.At)
	}
	if !slices.ContainsFunc(kept.Sooner, func(s promise.Sooner) bool { return slices.Contains(s.Means, "break of freeze") }) {
		t.Errorf("nothing says what breaking the freeze would give: %+v", kept.Sooner)
	}
}

func TestQuestionsThatCannotBe(t *testing.T) {
	p := planOfMonday(t)
	tests := []struct {
		source string
		ask    plan.Ask
		field  string
	}{
		{"hand: no such item", plan.Ask{Item: "X", Quantity: 1, Due: demo.Now}, "item"},
		{"hand: nothing asked for", plan.Ask{Item: "FW-1002", Due: demo.Now}, "quantity"},
		{"hand: no time", plan.Ask{Item: "FW-1002", Quantity: 5}, "due"},
		{"hand: no such release", plan.Ask{Release: ident.Release{Order: "Z", Line: "1", Release: "1"}}, "release"},
	}
	for _, tt := range tests {
		_, err := plan.Promise(context.Background(), demo.Book(), p, tt.ask, plan.Front{}, promise.Scatter{}, demo.Now, promise.Options{})
		if !errors.Is(err, fault.Invalid) || !strings.Contains(err.Error(), tt.field) {
			t.Errorf("%s: %v", tt.source, err)
		}
	}
}
