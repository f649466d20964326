package web_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant/trace"
)

var j1002 = ident.NewRelease("J1002", "", "")

func (b *bench) told(form url.Values) {
	b.t.Helper()
	path := "/facts/job"
	if form.Get("order") != "" {
		path = "/floor"
	}
	if w := b.post(path, form); w.Code != http.StatusSeeOther {
		b.t.Fatalf("%v: status %d: %.600s", form, w.Code, w.Body)
	}
}

// J1002 wants 11,400 at least; 5,410 of 11,500 sheets are left and 1.48 % are lost: 11,330 in the end.
func TestCountsAndShorts(t *testing.T) {
	b := planned(t)
	b.says("/floor/counts", "Nothing has been counted yet")
	b.told(url.Values{"fact": {"s"}, "what": {"stack"}, "order": {"J1002"}, "name": {"S1"}, "good": {"11500"}, "place": {"L03"}, "at": {"2031-03-03T04:00"}})
	b.told(url.Values{"fact": {"a"}, "machine": {"FFG-1"}, "key": {"J1002"}, "what": {"started"}, "at": {"2031-03-03T04:30"}})
	b.told(url.Values{"fact": {"c"}, "machine": {"FFG-1"}, "key": {"J1002"}, "what": {"counted"}, "good": {"6000"}, "waste": {"90"}, "at": {"2031-03-03T05:30"}})
	b.says("/floor/lanes", "S1", "5,410")
	b.says("/floor/counts/J1002/1/1", "11,400 at least", "5,410 stand there")
	b.says("/orders/J1002/1/1", "Its counts", "5,410 stand there")
	if !strings.Contains(b.get("/orders/J1002/1/1").Body.String(), `href="/floor/counts/J1002/1/1"`) {
		t.Error("the order's page does not lead to its counts")
	}
	for _, path := range []string{"/floor/lanes", "/floor/counts", "/floor/counts/J1002/1/1", "/waste"} {
		for _, f := range parse(t, b.get(path).Body.String()).faults() {
			t.Errorf("%s: %s", path, f)
		}
	}
	// The plan still brings sheets of J1002, so that it is not foretold as short; shipping short is a person's word.
	at := "/floor/counts/J1002/1/1"
	if w := b.post(at, url.Values{"what": {"short"}, "version": {"1"}, "boxes": {"11350"}, "by": {""}, "why": {"told"}}); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("without a name: status %d", w.Code)
	}
	if w := b.post(at, url.Values{"what": {"short"}, "version": {"1"}, "boxes": {"11350"}, "by": {"Ana"}, "why": {"told"}}); w.Code != http.StatusSeeOther {
		t.Errorf("status %d: %.500s", w.Code, w.Body)
	}
	if w := b.post(at, url.Values{"what": {"again"}, "version": {"2"}, "again": {"50"}, "by": {"Ana"}, "cause": {"run ended short"}}); w.Code != http.StatusSeeOther {
		t.Errorf("status %d: %.500s", w.Code, w.Body)
	}
	snap, _ := b.Snapshot(t.Context())
	child := j1002
	child.Release = "1R1"
	if l, ok := snap.Line(child); !ok || l.Parent != "J1002" || l.Quantity != 50 {
		t.Errorf("the child: %+v", l)
	}
}

func TestWasteIsBookedOnce(t *testing.T) {
	b := planned(t)
	form := url.Values{"fact": {"w"}, "reason": {"=warp"}, "machine": {"FFG-1"}, "sheets": {"12"}, "order": {"J1002"}, "at": {"2031-03-03T05:00"}}
	for range 2 {
		if w := b.post("/waste", form); w.Code != http.StatusSeeOther {
			t.Fatalf("status %d: %.500s", w.Code, w.Body)
		}
	}
	b.says("/waste", "=warp", "12")
	if csv := b.get("/waste.csv?days=7").Body.String(); !strings.Contains(csv, "2031-03-03,FFG-1,'=warp,no,12,") || strings.Count(csv, "\n") != 2 {
		t.Errorf("%s", csv)
	}
	bad := url.Values{"fact": {"v"}, "reason": {"truck"}, "sheets": {"7"}, "place": {"L04"}, "at": {"2031-03-03T05:00"}}
	w := b.post("/waste", bad)
	if page := w.Body.String(); w.Code != http.StatusUnprocessableEntity || !strings.Contains(page, `value="truck"`) || !strings.Contains(page, `value="L04"`) || !strings.Contains(page, `value="v"`) {
		t.Errorf("status %d; what was typed is lost: %.800s", w.Code, page)
	}
}

// A stack is counted, moved and held by the same form; sent twice it counts once, and a faulty one keeps what was typed.
func TestStacksAreMovedAndHeld(t *testing.T) {
	b := planned(t)
	at := url.Values{"order": {"J1002"}, "name": {"S1"}, "at": {"2031-03-03T05:00"}, "place": {"L03"}, "good": {"400"}}
	tell := func(what, fact string, status int) string {
		b.t.Helper()
		form := url.Values{"what": {what}, "fact": {fact}}
		for k, v := range at {
			form[k] = v
		}
		w := b.post("/floor", form)
		if w.Code != status {
			t.Fatalf("%s: status %d: %.600s", what, w.Code, w.Body)
		}
		return w.Body.String()
	}
	tell("stack", "s1", http.StatusSeeOther)
	tell("stack", "s1", http.StatusSeeOther)
	at.Set("order", "")
	at.Set("place", "L07-2")
	at.Set("at", "2031-03-03T05:10")
	tell("moved", "m1", http.StatusSeeOther)
	tell("held", "h1", http.StatusSeeOther)
	snap, _ := b.Snapshot(t.Context())
	if f := snap.Floor.Stacks; len(f) != 1 || f[0].Place != "L07-2" || !f[0].Held || f[0].Sheets != 400 {
		t.Errorf("%+v", f)
	}
	tell("released", "r1", http.StatusSeeOther)
	snap, _ = b.Snapshot(t.Context())
	if f := snap.Floor.Stacks; len(f) != 1 || f[0].Held {
		t.Errorf("%+v", f)
	}
	at.Set("name", "")
	if page := tell("held", "h2", http.StatusUnprocessableEntity); !strings.Contains(page, `value="L07-2"`) || !strings.Contains(page, `value="h2"`) {
		t.Errorf("what was typed is lost: %.900s", page)
	}
}

// TestTheFaultOfAMountedRoll: a roll that was told on a stand is followed by what
// was told, and one that nobody told says that it follows the plan's list.
func TestTheFaultOfAMountedRoll(t *testing.T) {
	b := planned(t)
	p, head, err := b.Current(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	need := p.Rolls.Needs[0]
	at := b.Now().Add(-time.Hour)
	for i, f := range []trace.Fact{
		{Kind: trace.RollMounted, Roll: "R0001", Place: need.Stand, At: at},
		{Kind: trace.RunStarted, Plan: head.ID, Run: need.Run, At: at},
	} {
		f.ID, f.Source = ident.Fact(fmt.Sprint("m", i)), "desk"
		if _, err := b.Record(t.Context(), f); err != nil {
			t.Fatal(err)
		}
	}
	b.says("/fault?roll=R0001", "Told on the stands: "+need.Stand, "still on", "Orders are those of the runs that were on then")
	b.says(fmt.Sprintf("/fault?roll=%s", need.Rolls[0].Roll), "Another roll was told on the stand for run "+fmt.Sprint(need.Run))
	b.says("/fault?key="+strings.Split(p.Runs[need.Run-1].Lanes[0].Order, "/")[0], "Rolls: as told on the stands while a run was on", "R0001")
}
