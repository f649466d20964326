package web_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
)

var j1001 = ident.NewRelease("J1001", "", "")

func (b *bench) hidden(path, name string) string {
	b.t.Helper()
	body := b.get(path).Body.String()
	m := regexp.MustCompile(`name="` + name + `" value="([^"]*)"`).FindStringSubmatch(body)
	if m == nil {
		b.t.Fatalf("%s has no hidden field %s", path, name)
	}
	return m[1]
}

func edit(version string, change url.Values) url.Values {
	form := url.Values{"version": {version}, "quantity": {"18000"}, "under_pct": {"5"}, "over_pct": {"5"}, "due": {"2031-03-04T14:00"},
		"due_at": {"dock"}, "priority": {"1"}, "price_per_1000": {"279"}, "ship_to": {""}, "note": {""}, "why": {""}}
	for k, v := range change {
		form[k] = v
	}
	return form
}

func TestEditAnOrder(t *testing.T) {
	b := planned(t)
	const path = "/orders/J1001/1/1"
	w := b.post(path, edit(b.hidden(path, "version"), url.Values{"quantity": {"18,500"}, "why": {"asked by phone"}}))
	if w.Code != http.StatusSeeOther {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	l, _, err := b.Line(t.Context(), j1001)
	if err != nil || l.Quantity != 18500 || !l.Due.Equal(time.Date(2031, 3, 4, 14, 0, 0, 0, time.UTC)) {
		t.Errorf("line %+v, %v", l, err)
	}
	if page := b.get(path).Body.String(); !strings.Contains(page, "quantity: 18000 → 18500") || !strings.Contains(page, "asked by phone") {
		t.Error("the history does not tell the change and why")
	}
}

func TestTwoEditTheSameOrder(t *testing.T) {
	b := planned(t)
	const path = "/orders/J1001/1/1"
	version := b.hidden(path, "version") // both have the page open
	if w := b.post(path, edit(version, url.Values{"quantity": {"20000"}})); w.Code != http.StatusSeeOther {
		t.Fatalf("the first: status %d", w.Code)
	}
	w := b.post(path, edit(version, url.Values{"quantity": {"15000"}}))
	body := w.Body.String()
	if w.Code != http.StatusConflict {
		t.Errorf("the second: status %d, want 409", w.Code)
	}
	for _, want := range []string{"20000", `value="15000"`, "Save mine over theirs"} {
		if !strings.Contains(body, want) {
			t.Errorf("the second does not see %q", want)
		}
	}
	if l, _, _ := b.Line(t.Context(), j1001); l.Quantity != 20000 {
		t.Errorf("the second overwrote the first: %d", l.Quantity)
	}
	for _, f := range parse(t, body).faults() {
		t.Error(f)
	}
	now := regexp.MustCompile(`name="version" value="(\d+)"`).FindStringSubmatch(body)[1]
	if w := b.post(path, edit(now, url.Values{"quantity": {"15000"}})); w.Code != http.StatusSeeOther {
		t.Errorf("saving over theirs, knowingly: status %d", w.Code)
	}
}

func TestWrongFormsComeBack(t *testing.T) {
	b := planned(t)
	const path = "/orders/J1001/1/1"
	for _, tt := range []struct{ why, field, value string }{
		{"no number", "quantity", "many"}, {"below one", "quantity", "0"}, {"negative", "quantity", "-5"}, {"a percentage over 100", "under_pct", "150"},
		{"no date", "due", "31 February"}, {"a date that can't be", "due", "2031-02-31T10:00"}, {"no such dock", "due_at", "moon"},
	} {
		w := b.post(path, edit(b.hidden(path, "version"), url.Values{tt.field: {tt.value}}))
		body := w.Body.String()
		if w.Code != http.StatusUnprocessableEntity {
			t.Errorf("%s: status %d, want 422", tt.why, w.Code)
		}
		if !strings.Contains(body, `href="#f-`+tt.field+`"`) || !strings.Contains(body, `id="e-`+tt.field+`"`) {
			t.Errorf("%s: no summary that leads to the field %s", tt.why, tt.field)
		}
		for _, f := range parse(t, body).faults() {
			t.Errorf("%s: %s", tt.why, f)
		}
	}
	if l, version, _ := b.Line(t.Context(), j1001); l.Quantity != 18000 || version != 1 {
		t.Errorf("a wrong form changed the order: %d, version %d", l.Quantity, version)
	}
}

func TestHoldAndClose(t *testing.T) {
	b := planned(t)
	const path = "/orders/J1001/1/1"
	for _, state := range []string{"on hold", "open", "closed", "open"} {
		w := b.post(path+"/decide", url.Values{"version": {b.hidden(path, "version")}, "state": {state}, "why": {"test"}})
		if l, _, _ := b.Line(t.Context(), j1001); w.Code != http.StatusSeeOther || string(l.State) != state {
			t.Errorf("%s: status %d, line is %s", state, w.Code, l.State)
		}
	}
	if w := b.post(path+"/decide", url.Values{"version": {b.hidden(path, "version")}, "state": {"eaten"}}); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("an unknown state: status %d", w.Code)
	}
}

const orderFile = `order,customer,item,due,quantity
J1001,C01,FW-1001,2031-03-04T14:00:00Z,19000
K2001,C01,FW-1001,2031-03-06T14:00:00Z,2500
K2002,C01,FW-1001,2031-03-06T14:00:00Z,-4
K2003,C01,NO-SUCH,2031-03-06T14:00:00Z,100
`

func TestFactsOnceOnly(t *testing.T) {
	b := planned(t)
	form := url.Values{"fact": {"form-1"}, "machine": {"FFG-1"}, "key": {"J1001"}, "what": {"counted"}, "at": {"2031-03-03T05:30"}, "good": {"1,200"}, "waste": {"15"}}
	for range 2 { // a double click
		if w := b.post("/facts/job", form); w.Code != http.StatusSeeOther {
			t.Fatalf("status %d: %s", w.Code, w.Body)
		}
	}
	snap, _ := b.Snapshot(t.Context())
	if q := snap.Done[j1001]; q.BoxesGood != 1200 || q.BoxesWaste != 15 {
		t.Errorf("quantities %+v", q)
	}
	if w := b.post("/facts/correct", url.Values{"fact": {"form-2"}, "corrects": {"form-1"}, "key": {"J1001"}, "back": {"//elsewhere.example"}}); w.Header().Get("Location") != "/" {
		t.Errorf("a correction leads to %q, status %d: %s", w.Header().Get("Location"), w.Code, w.Body)
	}
	snap, _ = b.Snapshot(t.Context())
	if q := snap.Done[j1001]; q.BoxesGood != 0 {
		t.Errorf("after the correction: %+v", q)
	}
}

func TestRunReport(t *testing.T) {
	b := planned(t)
	p, _, err := b.Current(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	run := p.Runs[0]
	form := url.Values{"fact": {"run-form"}, "plan": {"1"}, "run": {fmt.Sprint(run.Seq)}, "what": {"ended"}, "at": {"2031-03-03T05:59"}}
	want := map[string]int{}
	for _, l := range run.Lanes {
		want[l.Order] = 100
		form.Set("good-"+l.Order, "100")
	}
	if w := b.post("/facts/run", form); w.Code != http.StatusSeeOther {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	snap, _ := b.Snapshot(t.Context())
	for o, n := range want {
		key, _ := ident.ParseRelease(o)
		if q := snap.Done[key]; q.SheetsMade != n {
			t.Errorf("%s: %d sheets made, want %d", o, q.SheetsMade, n)
		}
	}
}

func TestWhatStandsOnTheFloor(t *testing.T) {
	b := planned(t)
	form := url.Values{"fact": {"f1"}, "what": {"unit"}, "order": {"J1002"}, "name": {"U-7"}, "good": {"750"}, "place": {"bay 3"}, "at": {"2031-03-03T05:00"}}
	if w := b.post("/floor", form); w.Code != http.StatusSeeOther {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	form.Set("fact", "f2")
	form.Set("order", "J9999")
	w := b.post("/floor", form)
	if w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), `href="#f-order"`) {
		t.Errorf("an unknown order: status %d", w.Code)
	}
	if page := b.get("/floor").Body.String(); !strings.Contains(page, "U-7") || !strings.Contains(page, "bay 3") {
		t.Error("the unit is not listed")
	}
}

func TestForceAPlan(t *testing.T) {
	b := planned(t)
	if w := b.post("/plans/1/force", url.Values{"area": {"corrugator", "FFG-1"}}); w.Code != http.StatusSeeOther {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	ruling, _ := b.InForce(t.Context())
	if ruling["corrugator"] != 1 || ruling["FFG-1"] != 1 || ruling["trucks"] != 0 {
		t.Errorf("in force: %v", ruling)
	}
	if page := b.get("/").Body.String(); !strings.Contains(page, "in force on the corrugator") {
		t.Error("Today does not say that the plan is in force")
	}
	if w := b.post("/plans/1/force", url.Values{"area": {"canteen"}}); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("an unknown area: status %d", w.Code)
	}
}

// TestWatchAPlan starts a plan that waits, reads its events, cancels it, and
// sees the end.
func TestWatchAPlan(t *testing.T) {
	tell := make(chan struct{})
	b := opened(t, func(ctx context.Context, _ plant.Book, o plan.Options) (*plan.Plan, error) {
		o.OnProgress(plan.Progress{Stage: "runs", Cost: 90000, Bound: 85000, Seconds: 0.5})
		close(tell)
		<-ctx.Done()
		return demoPlan()
	})
	if err := b.SetUp(t.Context(), demo.Book(), "test"); err != nil {
		t.Fatal(err)
	}
	if w := b.post("/plans", url.Values{"seconds": {"x"}}); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("seconds that are no number: status %d", w.Code)
	}
	if w := b.post("/plans", url.Values{"seconds": {"60"}}); w.Header().Get("Location") != "/plans/1" {
		t.Fatalf("start: status %d", w.Code)
	}
	<-tell
	page := b.get("/plans/1").Body.String()
	for _, want := range []string{"90,000", "85,000", `data-events="/plans/1/events"`, `http-equiv="refresh"`, "End now"} {
		if !strings.Contains(page, want) {
			t.Errorf("the running plan does not show %q", want)
		}
	}
	for _, f := range parse(t, page).faults() {
		t.Error(f)
	}
	server := httptest.NewServer(b.pages)
	defer server.Close()
	answer, err := http.Get(server.URL + "/plans/1/events")
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	if kind := answer.Header.Get("Content-Type"); kind != "text/event-stream" {
		t.Errorf("content type %q", kind)
	}
	if w := b.post("/plans/1/cancel", nil); w.Code != http.StatusSeeOther {
		t.Errorf("cancel: status %d", w.Code)
	}
	var events bytes.Buffer
	if _, err := events.ReadFrom(answer.Body); err != nil { // ends with the plan
		t.Fatal(err)
	}
	if s := events.String(); !strings.HasPrefix(s, "event: progress\n") || !strings.Contains(s, `"live-cost":"90,000"`) || !strings.Contains(s, "event: end\n") {
		t.Errorf("events:\n%s", s)
	}
	if h, _ := b.PlanHead(t.Context(), 1); h.State != desk.PlanCancelled {
		t.Errorf("the plan is %s", h.State)
	}
	if page := b.get("/plans/1").Body.String(); !strings.Contains(page, "Ended early") {
		t.Error("the page does not say that the plan ended early")
	}
}

func TestAPI(t *testing.T) {
	b := planned(t)
	send := func(method, path, body string) (int, map[string]any, http.Header) {
		r := httptest.NewRequest(method, path, strings.NewReader(body))
		r.Header.Set("Content-Type", "application/json")
		w := b.ask(r)
		var v map[string]any
		if err := json.Unmarshal(w.Body.Bytes(), &v); err != nil {
			t.Fatalf("%s %s: %v: %.200s", method, path, err, w.Body)
		}
		return w.Code, v, w.Header()
	}
	if code, v, _ := send("GET", "/api/orders?limit=3", ""); code != 200 || v["count"] != 42.0 || len(v["orders"].([]any)) != 3 {
		t.Errorf("orders: %d %v", code, v["count"])
	}
	if code, v, _ := send("GET", "/api/items/FW-1001", ""); code != 200 || v["inside"].(map[string]any)["length_mm"] != 398.0 {
		t.Errorf("item: %d %v", code, v)
	}
	if code, v, _ := send("GET", "/api/plans/1/body", ""); code != 200 || v["totals"] == nil || v["loads"] == nil {
		t.Errorf("body: %d", code)
	}
	code, v, head := send("GET", "/api/orders/J9999/1/1", "")
	if code != 404 || head.Get("Content-Type") != "application/problem+json" {
		t.Errorf("an unknown order: %d %q %v", code, head.Get("Content-Type"), v)
	}
	const fact = `{"fact":"m-1","at":"2031-03-03T05:30:00Z","kind":"job counted","source":"FFG-1","machine":"FFG-1","release":"J1001","good":%d}`
	for n, want := range []int{201, 200} {
		if code, v, _ := send("POST", "/api/facts", fmt.Sprintf(fact, 50)); code != want {
			t.Errorf("fact, time %d: %d, want %d: %v", n+1, code, want, v)
		}
	}
	code, v, _ = send("POST", "/api/facts", strings.Replace(fmt.Sprintf(fact, -50), "m-1", "m-2", 1))
	if code != 422 || v["errors"] == nil {
		t.Errorf("a fact with a negative count: %d %v", code, v)
	}
	r := httptest.NewRequest("POST", "/api/plans/1/force", strings.NewReader(`{"area":"trucks"}`))
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("X-Who", "scheduler")
	if w := b.ask(r); w.Code != http.StatusNoContent {
		t.Errorf("force: %d %s", w.Code, w.Body)
	}
	if h, _ := b.ForceHistory(t.Context(), "trucks"); len(h) != 1 || h[0].Who != "scheduler" || h[0].Plan != 1 {
		t.Errorf("in force: %+v", h)
	}
	code, v, _ = send("GET", "/api/openapi.json", "")
	if code != 200 || !strings.HasPrefix(v["openapi"].(string), "3.1") {
		t.Errorf("description: %d %v", code, v["openapi"])
	}
	if strings.Contains(b.get("/api/openapi.json").Body.String(), "https://unpkg") {
		t.Error("the description names a foreign script")
	}
}

func TestFirstSetUp(t *testing.T) {
	b := opened(t, nil)
	form := url.Values{"from": {"template"}, "name": {"Our Works"}}
	if w := b.post("/start", form); w.Code != http.StatusSeeOther {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	snap, _ := b.Snapshot(t.Context())
	if !snap.Stated || snap.Plant.Name != "Our Works" || len(snap.Lines) != 0 || len(snap.Plant.Machines) == 0 {
		t.Errorf("stated %v, %q, %d lines", snap.Stated, snap.Plant.Name, len(snap.Lines))
	}
	if w := b.post("/start", form); w.Code != http.StatusConflict {
		t.Errorf("a second set-up: status %d, want 409", w.Code)
	}
	if w := b.get("/start"); w.Code != http.StatusSeeOther {
		t.Errorf("the set-up of a stated plant: status %d", w.Code)
	}
	w := b.sendFile("/plant/import?kind=rolls", "rolls.csv", "roll,paper,width_mm,length_m\nR1,KL140,2000,5000\nR2,NOPE,2000,5000\n")
	if body := w.Body.String(); w.Code != http.StatusOK || !strings.Contains(body, "1 waiting") {
		t.Errorf("rolls: status %d: %.600s", w.Code, body)
	}
}

func TestApproveASheet(t *testing.T) {
	b := planned(t)
	const path = "/boxes/FW-1001"
	form := url.Values{"version": {b.hidden(path, "version")}, "chop": {"1438"}, "slit": {"442"}, "scores": {"150 / 291"}, "why": {"house ticket"}}
	if w := b.post(path, form); w.Code != http.StatusSeeOther {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	snap, _ := b.Snapshot(t.Context())
	if i, _ := snap.Item("FW-1001"); i.Sheet == nil || i.Sheet.Chop.Millimetres() != 1438 || i.Revision != 2 {
		t.Errorf("item %+v", i.Sheet)
	}
	if page := b.get(path).Body.String(); !strings.Contains(page, "approved less formula") {
		t.Error("the formula does not stand beside the approved sheet")
	}
	form.Set("piece_area_m2", "0.5")
	form.Set("version", "2")
	if w := b.post(path, form); w.Code != http.StatusSeeOther {
		t.Fatalf("a piece's area: status %d: %s", w.Code, w.Body)
	}
	snap, _ = b.Snapshot(t.Context())
	if i, _ := snap.Item("FW-1001"); i.PieceArea != 0.5 {
		t.Errorf("a piece of %v m², want 0.5", i.PieceArea)
	}
	form.Set("version", "3")
	form.Set("piece_area_m2", "0.7")
	if w := b.post(path, form); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), `href="#f-piece_area_m2"`) {
		t.Errorf("a piece larger than its sheet of 1438 × 442 mm: status %d", w.Code)
	}
	form.Del("piece_area_m2")
	form.Set("chop", "wide")
	if w := b.post(path, form); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), `href="#f-chop"`) {
		t.Errorf("a chop that is no number: status %d", w.Code)
	}
}
