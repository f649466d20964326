package web_test

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant"
)

// finished watches the plan of an address to its end.
func (b *bench) finished(path string) {
	b.t.Helper()
	n, err := strconv.Atoi(strings.TrimPrefix(path, "/plans/"))
	if err != nil {
		b.t.Fatal(err)
	}
	heads, err := b.WatchPlan(b.t.Context(), ident.Plan(n))
	if err != nil {
		b.t.Fatal(err)
	}
	for h := range heads {
		if h.State == desk.PlanFailed {
			b.t.Fatalf("plan %d: %s", n, h.Fault)
		}
	}
}

// A run is pinned, a web barred, a pair kept apart: each makes a plan that says
// so and what it costs against the one before, and each can be undone.
func TestByHandPages(t *testing.T) {
	b := planned(t)
	page := b.get("/runs/1").Body.String()
	if !strings.Contains(page, "Pin and plan") {
		t.Fatal("the run offers nothing by hand")
	}
	sent := b.post("/plans/1/hand", url.Values{"what": {"pin"}, "order": {"J1001"}, "web": {"2500"}})
	to := sent.Header().Get("Location")
	if sent.Code != http.StatusSeeOther || !strings.HasPrefix(to, "/plans/") {
		t.Fatalf("pin: %d to %q: %s", sent.Code, to, sent.Body)
	}
	b.finished(to)
	got := b.get(to)
	body := got.Body.String()
	for _, want := range []string{"Decided by hand", "J1001 stays on 2500 mm.", "plan 1", "Plan again without it"} {
		if !strings.Contains(body, want) {
			t.Errorf("the plan does not say %q", want)
		}
	}
	for _, f := range parse(t, body).faults() {
		t.Error(f)
	}
	undone := b.post(to+"/hand", url.Values{"what": {"undo"}, "kind": {"pin"}, "place": {"0"}})
	if undone.Code != http.StatusSeeOther {
		t.Fatalf("undo: %d", undone.Code)
	}
	b.finished(undone.Header().Get("Location"))
	if s := b.get(undone.Header().Get("Location")).Body.String(); strings.Contains(s, "Plan again without it") {
		t.Error("the choice is still there")
	}
	for _, bad := range []url.Values{{"what": {"pin"}, "order": {"J9999"}, "web": {"2500"}}, {"what": {"pin"}, "order": {"J1001"}, "web": {"wide"}}, {"what": {"dance"}}} {
		if w := b.post("/plans/1/hand", bad); w.Code != http.StatusUnprocessableEntity {
			t.Errorf("%v: %d", bad, w.Code)
		}
	}
}

// A yes to a substitute from the rolls page makes a plan that says so, and it can be undone.
func TestSubstituteByHand(t *testing.T) {
	b := planned(t)
	yes := url.Values{"what": {"exchange"}, "grade": {"B-ST"}, "ply": {"1"}, "for": {"TL140"}, "use": {"TL170"}}
	permit := func(list ...plant.Substitute) {
		s, err := b.Snapshot(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		p := s.Plant
		p.Substitutes = list
		if err := b.SavePlant(t.Context(), p, s.Version(desk.KindPlant, desk.PlantKey), "test", ""); err != nil {
			t.Fatal(err)
		}
	}
	permit()
	if sent := b.post("/plans/1/hand", yes); sent.Code != http.StatusUnprocessableEntity || !strings.Contains(sent.Body.String(), "permits no TL170") {
		t.Fatalf("not permitted, and yet %d: %s", sent.Code, sent.Body)
	}
	permit(plant.Substitute{For: "TL140", Use: "TL170", Plies: []int{1}})
	sent := b.post("/plans/1/hand", yes)
	to := sent.Header().Get("Location")
	if sent.Code != http.StatusSeeOther {
		t.Fatalf("%d: %s", sent.Code, sent.Body)
	}
	b.finished(to)
	if body := b.get(to).Body.String(); !strings.Contains(body, "TL170 stands in for TL140 in ply 1 of B-ST") {
		t.Error("the plan does not say what stands in")
	}
	undone := b.post(to+"/hand", url.Values{"what": {"undo"}, "kind": {"exchange"}, "place": {"0"}})
	if undone.Code != http.StatusSeeOther {
		t.Fatalf("undo: %d", undone.Code)
	}
	b.finished(undone.Header().Get("Location"))
}
