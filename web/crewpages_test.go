package web_test

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant/trace"
)

// tells counts the facts of one kind that the ledger has of an order.
func (b *bench) tells(key string, kind trace.Kind) (n, good int) {
	b.t.Helper()
	facts, err := b.Facts(b.t.Context(), desk.FactQuery{Release: ident.NewRelease(key, "", "")})
	if err != nil {
		b.t.Fatal(err)
	}
	for _, f := range facts {
		if f.Kind == kind {
			n, good = n+1, good+f.Good
		}
	}
	return n, good
}

// TestACrewTells walks a job through its crew screen with forms alone: a form
// sent twice counts once, a wrong one comes back as it was typed.
func TestACrewTells(t *testing.T) {
	b := planned(t)
	p, _, err := b.Current(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	j := p.Clock.Jobs[0]
	at, key := "/crew/"+string(j.Machine), j.Release.String()
	send := func(form url.Values, want int) string {
		t.Helper()
		form.Set("key", key)
		w := b.post(at, form)
		if w.Code != want {
			t.Fatalf("%v: status %d, want %d: %s", form, w.Code, want, w.Body)
		}
		return w.Body.String()
	}
	send(url.Values{"what": {"started"}, "fact": {"a1"}}, http.StatusSeeOther)
	if page := b.get(at).Body.String(); !strings.Contains(page, "On now: "+key) {
		t.Error("the screen does not show what was started")
	}
	for range 2 { // sent twice, as after a lost connection
		send(url.Values{"what": {"good"}, "fact": {"g1"}, "good": {"1,200"}}, http.StatusSeeOther)
	}
	send(url.Values{"what": {"waste"}, "fact": {"s1"}, "waste": {"1"}, "who": {"Ana"}}, http.StatusSeeOther) // it waited while another signed the tablet
	if f, err := b.Facts(t.Context(), desk.FactQuery{ID: "s1"}); err != nil || len(f) != 1 || f[0].Who != "Ana" {
		t.Errorf("signed otherwise than when it was typed: %+v, %v", f, err)
	}
	if n, good := b.tells(key, trace.JobCounted); n != 2 || good != 1200 {
		t.Errorf("sent twice: %d facts, %d good; want 2, with the waste, and 1200", n, good)
	}
	wrong := send(url.Values{"what": {"good"}, "fact": {"g2"}, "good": {"twelve"}}, http.StatusUnprocessableEntity)
	for _, keeps := range []string{`value="twelve"`, `name="fact" value="g2"`, `name="key" value="` + key, "whole number"} {
		if !strings.Contains(wrong, keeps) {
			t.Errorf("the form comes back without %s", keeps)
		}
	}
	for _, f := range parse(t, wrong).faults() {
		t.Error(f)
	}
	if empty := send(url.Values{"what": {"waste"}, "fact": {"w0"}}, http.StatusUnprocessableEntity); !strings.Contains(empty, "must be given") {
		t.Error("waste without a number is taken")
	}
	send(url.Values{"what": {"waste"}, "fact": {"w1"}, "waste": {"30"}, "reason": {"print"}}, http.StatusSeeOther)
	send(url.Values{"what": {"ended"}, "fact": {"z1"}, "good": {"800"}}, http.StatusSeeOther)
	if page := b.get(at).Body.String(); strings.Contains(page, "On now") {
		t.Error("the job still stands on the machine after its end")
	}
}

// TestTheCorrugatorsCrews starts, swaps and ends runs, and takes rolls on and off.
func TestTheCorrugatorsCrews(t *testing.T) {
	b := planned(t)
	p, head, err := b.Current(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	send := func(at string, form url.Values) {
		t.Helper()
		if w := b.post("/crew/"+at, form); w.Code != http.StatusSeeOther {
			t.Fatalf("%v: status %d: %s", form, w.Code, w.Body)
		}
	}
	plan := strconv.FormatInt(int64(head.ID), 10)
	number := func(n int) string { return strconv.Itoa(n) }
	first, third := p.Runs[0], p.Runs[2]
	send("dry", url.Values{"what": {"swapped"}, "fact": {"x1"}, "plan": {plan}, "run": {number(first.Seq)}, "other": {number(third.Seq)}})
	c, err := b.CrewCorrugator(t.Context())
	if err != nil || c.Runs[0].Seq != third.Seq || c.Runs[1].Seq != first.Seq {
		t.Fatalf("after the swap run %d comes first (%v)", c.Runs[0].Seq, err)
	}
	send("dry", url.Values{"what": {"started"}, "fact": {"x2"}, "plan": {plan}, "run": {number(third.Seq)}})
	page := b.get("/crew/dry").Body.String()
	if !strings.Contains(page, "On now: <b>run "+number(third.Seq)) || !strings.Contains(page, "Set next: run "+number(first.Seq)) {
		t.Error("the dry end does not show the run on and the one to set next")
	}
	form := url.Values{"what": {"ended"}, "fact": {"x3"}, "plan": {plan}, "run": {number(third.Seq)}}
	for _, l := range third.Lanes {
		form.Set("good-"+l.Order, "100")
	}
	send("dry", form)
	if c, err = b.CrewCorrugator(t.Context()); err != nil || c.Runs[0].Seq != first.Seq || c.Runs[0].On {
		t.Errorf("after its end run %d comes next (%v)", c.Runs[0].Seq, err)
	}
	send("dry", url.Values{"what": {"waste"}, "fact": {"x4"}, "mass": {"120"}, "reason": {"splice"}})
	send("dry", url.Values{"what": {"stopped"}, "fact": {"x5"}, "reason": {"belt"}})
	if page := b.get("/crew/wet").Body.String(); !strings.Contains(page, "Stands since") || !strings.Contains(page, "belt") {
		t.Error("the wet end does not say that the corrugator stands")
	}
	send("dry", url.Values{"what": {"running"}, "fact": {"x6"}})
	roll := string(c.Rolls[0].Roll)
	send("wet", url.Values{"what": {"mounted"}, "fact": {"x7"}, "roll": {roll}, "stand": {c.Rolls[0].Stand}})
	if page := b.get("/crew/wet").Body.String(); !strings.Contains(page, "on it: "+roll) {
		t.Error("the mounted roll does not stand on its stand")
	}
	if w := b.post("/crew/wet", url.Values{"what": {"off"}, "fact": {"x8"}, "roll": {roll}}); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("a roll off without its length left: status %d", w.Code)
	}
	send("wet", url.Values{"what": {"off"}, "fact": {"x8"}, "roll": {roll}, "left": {"900"}})
	if r, ok := b.roll(roll); !ok || r != 900 {
		t.Errorf("%v m left on it, want 900", r)
	}
}

// roll returns the metres left on a roll, by facts.
func (b *bench) roll(id string) (float64, bool) {
	s, err := b.Snapshot(b.t.Context())
	if err != nil {
		b.t.Fatal(err)
	}
	st, ok := s.Floor.Rolls[ident.Roll(id)]
	return st.Length.Metres(), ok
}
