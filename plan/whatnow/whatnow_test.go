package whatnow_test

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/whatnow"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/convert"
)

// problem is an event on the routed demo book under its plan.
func problem(t *testing.T, now string, e whatnow.Event) whatnow.Problem {
	t.Helper()
	p, err := monday()
	if err != nil {
		t.Fatal(err)
	}
	return whatnow.Problem{Book: routed(), Plan: p, Now: at(now), Silent: true, Event: e}
}

func judged(t *testing.T, p whatnow.Problem) whatnow.Result {
	t.Helper()
	r := solve(t, p)
	show(t, r)
	if err := whatnow.Check(p, r); err != nil {
		t.Error(err)
	}
	return r
}

// The day's 09:20 (planning handbook, scenario 10): FFG-2 stands until 13:00.
func TestMachineDown(t *testing.T) {
	p := problem(t, "2031-03-03 09:20", whatnow.Event{Kind: whatnow.MachineDown, Machine: "FFG-2", Until: at("2031-03-03 13:00"), Cause: "feed drive"})
	r := judged(t, p)
	if len(r.Answers) != 4 || !strings.HasPrefix(r.Answers[0].Title, "Do nothing") {
		t.Fatalf("%d answers, first %q", len(r.Answers), r.Answers[0].Title)
	}
	found := false
	for _, a := range r.Answers[1:] {
		found = found || strings.Contains(a.Title, "J1005 from FFG-2 to FFG-1") && strings.Contains(a.Note, "J1005 takes 11 min + 98 min on FFG-1")
		for _, j := range a.Plan.Clock.Jobs {
			if j.Machine == "FFG-2" && j.Start.Before(at("2031-03-03 13:00")) && j.End.After(at("2031-03-03 09:20")) && a.Plan.Now.Equal(p.Now) {
				t.Errorf("%s: %s stands on FFG-2 from %v while it is down", a.Title, j.Release, j.Start)
			}
		}
	}
	if !found {
		t.Error("no answer moves J1005 to FFG-1 in 11 + 98 min")
	}
	refused := ""
	for _, x := range r.Refused {
		if x.Release == key("J1003") && strings.HasSuffix(x.Way, "FFG-1") {
			refused = x.Reason
		}
	}
	if !strings.Contains(refused, "feed 1,020 > 760 mm") {
		t.Errorf("J1003 on FFG-1: %q", refused)
	}
	if r.Taken.Runs == 0 {
		t.Error("no fact has told of the morning's runs, and none is taken to have gone to plan")
	}
}

// 11 + 98 min by hand: base 9 + 1 colour × 2; ⌈(22,000 + 15 + 6)/(1 − 0.6 %)⌉ =
// 22,154 sheets at 13,500 an hour are 98.5 min.
func TestElevenAndNinetyEight(t *testing.T) {
	for _, m := range routed().Plant.Machines {
		if m.Code != "FFG-1" {
			continue
		}
		if got := convert.SetUpMinutes(m, convert.Spec{Colours: 1}, nil); got != 11 {
			t.Errorf("set-up %v", got)
		}
		if got := convert.RunMinutes(m, convert.SheetsWanted(22000, 1, []convert.Machine{m}, 1)); math.Abs(float64(got)-98.46) > 0.01 {
			t.Errorf("run %v", got)
		}
	}
}

// The day's 11:40 (planning handbook, scenario 2), asked before the heavy block
// has run: J1039 goes beside J1015 on 2,200 with 34 mm of trim, and saves it.
func TestRush(t *testing.T) {
	b, l := without(routed(), "J1039")
	in, err := noRush()
	if err != nil {
		t.Fatal(err)
	}
	p := whatnow.Problem{Book: b, Plan: in, Now: at("2031-03-03 06:00"), Silent: true, Event: whatnow.Event{Kind: whatnow.Rush, Line: l}}
	r := judged(t, p)
	best := r.Answers[1]
	if best.Web == nil || best.Web.Web != quantity.FromMillimetres(2200) || best.Web.Trim != quantity.FromMillimetres(34) || !strings.Contains(best.Title, "beside J1015") {
		t.Fatalf("best: %s, %+v", best.Title, best.Web)
	}
	if best.More.Total >= 0 {
		t.Errorf("%.0f dearer than turning it down", best.More.Total)
	}
	if !strings.Contains(best.Note, "adhesive water-resistant") || !strings.Contains(best.Note, "Tue 03:0") {
		t.Errorf("neither adhesive nor latest exit in %q", best.Note)
	}
	if r.Refusal != "" || !strings.Contains(r.Sentence, "J1039") {
		t.Errorf("refusal %q, sentence %q", r.Refusal, r.Sentence)
	}
	if len(best.Lines) != 1 || best.Lines[0].Key != key("J1039") {
		t.Errorf("lines for the book: %+v", best.Lines)
	}
}

// After Tuesday 03:03 no slot is in time: 27 min + 22 min on FFG-3, 4 h of cure,
// 45 min of loading and 203 km at 60 km/h lie before Tuesday 12:00.
func TestRushTooLate(t *testing.T) {
	b, l := without(routed(), "J1039")
	in, err := noRush()
	if err != nil {
		t.Fatal(err)
	}
	for clock, refused := range map[string]bool{"2031-03-03 22:00": false, "2031-03-04 03:04": true} {
		p := whatnow.Problem{Book: b, Plan: in, Now: at(clock), Silent: true, Event: whatnow.Event{Kind: whatnow.Rush, Line: l}}
		r := judged(t, p)
		if got := r.Refusal != ""; got != refused {
			t.Errorf("%s: refusal %q", clock, r.Refusal)
		}
		if refused && (!strings.Contains(r.Refusal, "by way of FFG-3") || !strings.Contains(r.Refusal, "Tue 03:0")) {
			t.Errorf("%s: %q names neither the route nor the hour", clock, r.Refusal)
		}
	}
}

// The day's 15:10 (planning handbook, scenario 17): J1002 has 11,350 good and
// the customer takes 11,400 at least.
func TestShort(t *testing.T) {
	p := problem(t, "2031-03-03 15:10", whatnow.Event{Kind: whatnow.Short, Release: key("J1002"), Good: 11350})
	r := judged(t, p)
	if len(r.Answers) < 3 {
		t.Fatalf("%d answers", len(r.Answers))
	}
	no := r.Answers[0]
	if len(no.Agree) != 1 || !strings.Contains(no.Agree[0].Why, "50 under the least of 11,400") {
		t.Errorf("shipping short needs a name: %+v", no.Agree)
	}
	if want := at("2031-03-04 13:22"); no.DecideBy.Sub(want).Abs() > time.Minute {
		t.Errorf("it leaves at %v, 38 km before Tuesday 14:00", no.DecideBy)
	}
	top, child := false, false
	for _, a := range r.Answers[1:] {
		top = top || strings.HasPrefix(a.Title, "Top up")
		for _, l := range a.Lines {
			if l.Parent == "J1002" {
				child = true
				if l.Quantity != 650 || !l.Due.Equal(at("2031-03-04 14:00")) {
					t.Errorf("the re-make: %+v", l)
				}
			}
		}
		for _, g := range a.Agree {
			if g.Area == "" {
				t.Errorf("%s: %s", a.Title, g.Why)
			}
		}
	}
	if !top || !child {
		t.Errorf("top up %v, re-make %v", top, child)
	}
}

// A frozen front holds unless its owner agrees, and in-progress work stays. A
// short front leaves the rush order room behind it, and no name is needed; a
// front that holds all its partners is broken, with its owner's name.
func TestFreeze(t *testing.T) {
	b, l := without(routed(), "J1039")
	in, err := noRush()
	if err != nil {
		t.Fatal(err)
	}
	for _, hours := range []float64{6, 24} {
		b.Plant.Freezes = []plant.Freeze{{Area: "corrugator", Minutes: quantity.Minutes(60 * hours), Owner: "shift leader wet end"}}
		p := whatnow.Problem{Book: b, Plan: in, Now: at("2031-03-03 06:00"), Silent: true, Event: whatnow.Event{Kind: whatnow.Rush, Line: l}}
		r := judged(t, p)
		free, broken := false, false // ways that have the order in time
		for _, a := range r.Answers[1:] {
			if slices.ContainsFunc(a.Late, func(x whatnow.Lateness) bool { return x.Release == l.Key }) {
				continue
			}
			names := slices.ContainsFunc(a.Agree, func(g whatnow.Agreement) bool {
				return g.Area == "corrugator" && g.Owner == "shift leader wet end"
			})
			free, broken = free || !names, broken || names
		}
		if hours == 6 && !free || hours == 24 && !broken {
			t.Errorf("frozen for %v h: in time without a name %v, with its owner's name %v", hours, free, broken)
		}
	}
}

// Every kind of event on the demo plant gives answers that pass Check, cheapest
// first, and none dearer than what it says.
func TestEvents(t *testing.T) {
	line := func(k string, n int) whatnow.Event {
		for _, l := range routed().Lines {
			if l.Key.String() == k {
				l.Quantity = n
				return whatnow.Event{Kind: whatnow.Changed, Line: l}
			}
		}
		panic(k)
	}
	tests := []struct {
		name  string
		now   string
		event whatnow.Event
		least int // answers
		has   string
	}{
		{"corrugator down", "2031-03-03 09:00", whatnow.Event{Kind: whatnow.MachineDown, Machine: "CORR-1", Until: at("2031-03-03 15:00")}, 2, "anew"},
		{"paper and width gone", "2031-03-03 06:00", whatnow.Event{Kind: whatnow.PaperGone, Paper: "TL125", Web: quantity.FromMillimetres(2200)}, 1, ""},
		{"all of a width of the main liner gone", "2031-03-03 06:00", whatnow.Event{Kind: whatnow.PaperGone, Paper: "TL140", Web: quantity.FromMillimetres(2500)}, 2, "anew"},
		{"order cut", "2031-03-03 06:30", whatnow.Event{Kind: whatnow.Cut, Release: key("J1022")}, 2, "anew"},
		{"order smaller", "2031-03-03 06:30", line("J1022", 15000), 2, "anew"},
		{"order larger", "2031-03-03 06:30", line("J1022", 35000), 2, "anew"},
		{"bundles on hold", "2031-03-04 02:15", whatnow.Event{Kind: whatnow.OnHold, Release: key("J1005"), Held: 1600, SortPerHour: 1600, SortPerHourCost: 70, BadPct: 37.5}, 2, "Sort"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := judged(t, problem(t, tt.now, tt.event))
			if len(r.Answers) < tt.least {
				t.Errorf("%d answers", len(r.Answers))
			}
			found := tt.has == ""
			for _, a := range r.Answers {
				found = found || strings.Contains(a.Title, tt.has)
			}
			if !found {
				t.Errorf("no answer says %q", tt.has)
			}
		})
	}
}

// A result that lies is found out.
func TestCheckFinds(t *testing.T) {
	p := problem(t, "2031-03-03 15:10", whatnow.Event{Kind: whatnow.Short, Release: key("J1002"), Good: 11350})
	lies := map[string]func(*whatnow.Result){
		"cheaper than it is": func(r *whatnow.Result) { r.Answers[1].Cost.Paper -= 5 },
		"late for nothing": func(r *whatnow.Result) {
			r.Answers[0].Late = append(r.Answers[0].Late, whatnow.Lateness{Release: key("J1001")})
		},
		"no name":            func(r *whatnow.Result) { r.Answers[0].Agree = nil },
		"too late to decide": func(r *whatnow.Result) { r.Answers[1].DecideBy = p.Now.Add(-time.Hour) },
		"wrong difference":   func(r *whatnow.Result) { r.Answers[1].More.Total++ },
		"no answer":          func(r *whatnow.Result) { r.Answers = nil },
	}
	truth := solve(t, p)
	for name, lie := range lies {
		r := truth
		r.Answers = slices.Clone(truth.Answers)
		lie(&r)
		if err := whatnow.Check(p, r); !errors.Is(err, fault.Infeasible) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestEventsThatCannotBe(t *testing.T) {
	for _, tt := range []struct {
		event whatnow.Event
		field string
	}{
		{whatnow.Event{Kind: "flood"}, "kind"},
		{whatnow.Event{Kind: whatnow.MachineDown, Machine: "FFG-9", Until: at("2031-03-03 13:00")}, "machine"},
		{whatnow.Event{Kind: whatnow.MachineDown, Machine: "FFG-2", Until: at("2031-03-03 05:00")}, "until"},
		{whatnow.Event{Kind: whatnow.PaperGone, Roll: "R9999"}, "paper"},
		{whatnow.Event{Kind: whatnow.Short, Release: key("J9999")}, "order"},
		{whatnow.Event{Kind: whatnow.OnHold, Release: key("J1005")}, "held"},
		{whatnow.Event{Kind: whatnow.Rush}, "quantity"},
	} {
		_, err := whatnow.Solve(t.Context(), problem(t, "2031-03-03 06:00", tt.event), whatnow.Options{})
		var vs fault.Violations
		if !errors.As(err, &vs) || !strings.Contains(err.Error(), tt.field) {
			t.Errorf("%+v: %v", tt.event, err)
		}
	}
}

// Same seed, same answers.
func TestRepeatable(t *testing.T) {
	p := problem(t, "2031-03-03 06:30", whatnow.Event{Kind: whatnow.Cut, Release: key("J1022")})
	a, b := solve(t, p), solve(t, p)
	if len(a.Answers) != len(b.Answers) {
		t.Fatal(len(a.Answers), len(b.Answers))
	}
	for i := range a.Answers {
		if a.Answers[i].Title != b.Answers[i].Title || a.Answers[i].Cost != b.Answers[i].Cost {
			t.Errorf("%q %v, %q %v", a.Answers[i].Title, a.Answers[i].Cost, b.Answers[i].Title, b.Answers[i].Cost)
		}
	}
}

// The daily cure for paper that is gone (planning handbook, rule 19): another
// stands in for it where the plant permits it, on every run of the grade, and a
// name stands for it.
func TestStandIn(t *testing.T) {
	p := problem(t, "2031-03-03 06:00", whatnow.Event{Kind: whatnow.PaperGone, Paper: "TL125", Web: quantity.FromMillimetres(2200)})
	r, err := whatnow.Solve(t.Context(), p, whatnow.Options{Seed: 1, Most: 12})
	if err != nil {
		t.Fatal(err)
	}
	if err := whatnow.Check(p, r); err != nil {
		t.Error(err)
	}
	i := slices.IndexFunc(r.Answers, func(a whatnow.Answer) bool { return strings.HasPrefix(a.Title, "Let TL140 stand in for TL125 in ply ") })
	if i < 0 {
		t.Fatalf("TL140 does not stand in for TL125; refused %+v", r.Refused)
	}
	a := r.Answers[i]
	t.Log(a.Title, a.More)
	if !slices.ContainsFunc(a.Agree, func(g whatnow.Agreement) bool { return strings.Contains(g.Why, "TL140 stands in for TL125: a name") }) {
		t.Errorf("nobody stands for it: %+v", a.Agree)
	}
	if len(a.Choices.Exchanges) == 0 || len(a.Plan.Exchanges) != len(a.Choices.Exchanges) {
		t.Errorf("exchanges %v, in the plan %v", a.Choices.Exchanges, a.Plan.Exchanges)
	}
	for _, need := range a.Plan.Rolls.Needs {
		for _, x := range a.Plan.Exchanges {
			if run := a.Plan.Runs[need.Run-1]; run.Grade == x.Grade && need.Ply == x.Ply && need.Paper != x.Use {
				t.Errorf("run %d on %s draws %s in ply %d", need.Run, run.Grade, need.Paper, need.Ply)
			}
		}
	}
}
