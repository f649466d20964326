package desk_test

import (
	"context"
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/trace"
)

// demoPlanned is the demo plant's real plan, made once for all tests that read it.
var demoPlanned = sync.OnceValues(func() (*plan.Plan, error) {
	return plan.Make(context.Background(), demo.Book(), plan.Options{Now: demo.Now, Seconds: 1, Seed: 1})
})

// weekendHouse is a desk on the demo plant as it stands on Monday 06:00: its
// book of Friday evening, what came in since, and the plan, in force.
func weekendHouse(t *testing.T) *house {
	t.Helper()
	p, err := demoPlanned()
	if err != nil {
		t.Fatal(err)
	}
	h := emptyHouse(t)
	book, came := demo.Weekend()
	h.now = demo.Entered
	if err := h.SetUp(t.Context(), book, "Ana"); err != nil {
		t.Fatal(err)
	}
	for _, a := range came {
		h.now = a.At
		if err := h.SaveLine(t.Context(), a.Line, 0, "Ana", a.Line.Note); err != nil {
			t.Fatal(err)
		}
	}
	h.now = demo.Now
	h.make = func(_ context.Context, _ plant.Book, o plan.Options) (*plan.Plan, error) { return p, nil }
	id := start(t, h, desk.PlanOptions{})
	last(t, h, id)
	for _, area := range h.snapshot(t).Areas() {
		if err := h.PutInForce(t.Context(), id, area, "Ana"); err != nil {
			t.Fatal(err)
		}
	}
	return h
}

var factNumber int

// told records a fact under an id of its own.
func (h *house) told(t *testing.T, f trace.Fact) {
	t.Helper()
	factNumber++
	f.ID, f.Source = ident.Fact(fmt.Sprintf("told-%d", factNumber)), "test"
	if f.At.IsZero() {
		f.At = h.clock()
	}
	if _, err := h.Record(t.Context(), f); err != nil {
		t.Fatal(err)
	}
}

func matter(t *testing.T, all []desk.Matter, about string) (int, desk.Matter) {
	t.Helper()
	for i, m := range all {
		if strings.Contains(m.Text, about) {
			return i, m
		}
	}
	t.Fatalf("nothing is said of %s:\n%v", about, all)
	return 0, desk.Matter{}
}

// TestWhatBreaksOnMonday holds the demo's Monday morning to what was planted in
// it: those four stand first, nothing minor above them, each with its figures.
func TestWhatBreaksOnMonday(t *testing.T) {
	h := weekendHouse(t)
	today, err := h.Today(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if want := demo.Now.Add(-56 * time.Hour); !today.Since.Equal(want) { // hand: Friday's night shift began 22:00
		t.Errorf("looks back to %v, want %v", today.Since, want)
	}
	for _, c := range []struct {
		source, about string
		says          []string
		due           string
		money         bool
	}{
		{"planted: rush order", "J1039", []string{"new since Mon 05:40", "1,500 boxes", "Tue 12:00"}, "Tue", true},
		{"planted: stock-out", "TL140 at 2350 mm", []string{"0 m until Tue 07:00", "IN-1 brings 59,000 m"}, "Tue", false},
		{"planted: roll on hold", "R0076", []string{"TL125 at 2200 mm", "moisture 10.4 %", "15,971 m of it are free"}, "", false},
		{"planted: maintenance", "RDC-1", []string{"Mon 07:30 to 10:30", "planned maintenance"}, "Mon 07:30", false},
	} {
		i, m := matter(t, today.Matters, c.about)
		if i > 4 || !m.Breaks {
			t.Errorf("%s: stands at %d, breaks %v: %s", c.source, i+1, m.Breaks, m.Text)
		}
		for _, want := range c.says {
			if !strings.Contains(m.Text, want) {
				t.Errorf("%s: does not say %q: %s", c.source, want, m.Text)
			}
		}
		if got := m.ActBy.Format("Mon 15:04"); c.due != "" && !strings.HasPrefix(got, c.due) {
			t.Errorf("%s: act by %s, want %s", c.source, got, c.due)
		}
		if c.money && m.Money < 2521 || c.money && m.Money > 2522 { // hand: 1,500 × 1,681 / 1000 = 2,521.50
			t.Errorf("%s: %v at stake, want 2,521.50", c.source, m.Money)
		}
	}
	for i, m := range today.Matters {
		if m.Breaks && i > 0 && !today.Matters[i-1].Breaks {
			t.Errorf("%q breaks the day and stands below %q, which does not", m.Text, today.Matters[i-1].Text)
		}
	}
}

// TestTheFloorSpeaks says what facts add: a stop, a whole order on hold, a job that ended short.
func TestTheFloorSpeaks(t *testing.T) {
	h := weekendHouse(t)
	j1002, j1005 := ident.NewRelease("J1002", "", ""), ident.NewRelease("J1005", "", "")
	h.told(t, trace.Fact{Kind: trace.Stopped, Machine: "FFG-2", Until: demo.Now.Add(7 * time.Hour), Reason: "feed drive"})
	h.told(t, trace.Fact{Kind: trace.Held, Release: j1005, Reason: "gap over 12 mm"})
	p, err := demoPlanned()
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range p.Orders {
		if o.Order != "J1002" {
			continue
		}
		for i, seq := range o.Runs {
			good := 0
			if i == 0 {
				good = 12100
			}
			h.told(t, trace.Fact{Kind: trace.RunEnded, Plan: 1, Run: seq, Release: j1002, Machine: h.snapshot(t).Plant.Corrugator.Code, Good: good})
		}
	}
	h.told(t, trace.Fact{Kind: trace.JobStarted, Release: j1002, Machine: "FFG-1"})
	h.told(t, trace.Fact{Kind: trace.JobEnded, Release: j1002, Machine: "FFG-1", Good: 11350, Waste: 750})
	today, err := h.Today(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if _, m := matter(t, today.Matters, "FFG-2"); !strings.Contains(m.Text, "feed drive") || !m.Breaks {
		t.Errorf("of the stop: %s", m.Text)
	}
	if _, m := matter(t, today.Matters, "J1005"); !strings.Contains(m.Text, "on hold as a whole") || !strings.Contains(m.Text, "gap over 12 mm") {
		t.Errorf("of the hold: %s", m.Text)
	}
	_, m := matter(t, today.Matters, "J1002")
	if !strings.Contains(m.Text, "11,350 good") || !strings.Contains(m.Text, "50 short of the 11,400") { // hand: 12,000 less 5 %
		t.Errorf("of the short job: %s", m.Text)
	}
}

func TestTheClockAgainstThePlan(t *testing.T) {
	h := weekendHouse(t)
	h.later(3 * time.Hour)
	today, err := h.Today(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if _, m := matter(t, today.Matters, "nobody has told of any run"); m.Breaks {
		t.Error("silence of the floor is no break")
	}
	p, _ := demoPlanned()
	h.told(t, trace.Fact{Kind: trace.RunStarted, Plan: today.Head.ID, Run: p.Runs[0].Seq, Machine: h.snapshot(t).Plant.Corrugator.Code})
	if today, err = h.Today(t.Context()); err != nil {
		t.Fatal(err)
	}
	if _, m := matter(t, today.Matters, "behind plan"); !m.Breaks {
		t.Errorf("a corrugator hours behind breaks the day: %s", m.Text)
	}
}

// Converting machines are set against the plan too: silence is told once for
// all of them; one that told and has not ended its job is behind by name, and a
// job that ended, or a machine told to stand, is not.
func TestAPressAgainstThePlan(t *testing.T) {
	h := weekendHouse(t)
	p, _ := demoPlanned()
	first := p.Clock.Jobs[0]
	for _, j := range p.Clock.Jobs {
		if j.End.Before(first.End) {
			first = j
		}
	}
	h.later(first.End.Sub(h.now) + 3*time.Hour)
	today, err := h.Today(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if _, m := matter(t, today.Matters, "nobody has told of any job"); m.Breaks || !strings.Contains(m.Text, string(first.Machine)) {
		t.Errorf("silence: %+v", m)
	}
	h.told(t, trace.Fact{Kind: trace.JobStarted, Release: first.Release, Machine: first.Machine, At: first.Start})
	behind := func() string {
		today, err := h.Today(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range today.Matters {
			if m.Kind == "behind" && m.Breaks && m.Machine == first.Machine {
				return m.Text
			}
		}
		return ""
	}
	if got := behind(); !strings.HasPrefix(got, string(first.Machine)+" is 3 h 00 min behind plan") || !strings.Contains(got, first.Release.String()) {
		t.Errorf("a job three hours over: %q", got)
	}
	h.told(t, trace.Fact{Kind: trace.JobEnded, Release: first.Release, Machine: first.Machine, Good: first.Pieces, At: first.End})
	if got := behind(); strings.Contains(got, ", "+first.Release.String()+",") {
		t.Errorf("the job ended: %q", got)
	}
	h.told(t, trace.Fact{Kind: trace.Stopped, Machine: first.Machine, Reason: "belt"})
	if got := behind(); got != "" {
		t.Errorf("a machine told to stand is told of by its stop: %q", got)
	}
}

// TestTodayInInches holds that a US plant reads no metric measure, not even in the engines' own sentences.
func TestTodayInInches(t *testing.T) {
	h := weekendHouse(t)
	s := h.snapshot(t)
	us := s.Plant
	us.Display.Units, us.Display.Currency, us.Display.Dates = "us", "USD", "mdy"
	if err := h.SavePlant(t.Context(), us, s.Version(desk.KindPlant, desk.PlantKey), "Ana", ""); err != nil {
		t.Fatal(err)
	}
	today, err := h.Today(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range today.Matters {
		for _, unit := range []string{" mm", " m ", " m;", " m of", " N ", " kg", " EUR"} {
			if strings.Contains(m.Text, unit) {
				t.Errorf("%q in: %s", unit, m.Text)
			}
		}
	}
}
