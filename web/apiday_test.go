package web_test

import (
	"encoding/json"
	"fmt"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/base/ident"
)

// asks sends a program's request and reads the answer.
func (b *bench) asks(method, path, body string, want int) map[string]any {
	b.t.Helper()
	r := httptest.NewRequest(method, path, strings.NewReader(body))
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("X-Who", "scheduler")
	w := b.ask(r)
	if w.Code != want {
		b.t.Fatalf("%s %s: %d, want %d: %.400s", method, path, w.Code, want, w.Body)
	}
	var v map[string]any
	if strings.HasPrefix(strings.TrimSpace(w.Body.String()), "{") {
		if err := json.Unmarshal(w.Body.Bytes(), &v); err != nil {
			b.t.Fatalf("%s %s: %v", method, path, err)
		}
	}
	return v
}

// What the pages of the day show, a program gets too, and what it does is
// signed and told once.
func TestAPIOfTheDay(t *testing.T) {
	b := planned(t)
	today := b.asks("GET", "/api/today", "", 200)
	if m := today["matters"].([]any); today["plan"] != 1.0 || len(m) == 0 || m[0].(map[string]any)["text"] == "" {
		t.Errorf("today: %v", today)
	}
	paper := b.asks("GET", "/api/paper-ahead?until=2031-03-04T06:00:00Z", "", 200)
	if paper["until"] != "2031-03-04T06:00:00Z" || paper["runs"].(float64) < 1 || paper["plies"].([]any)[0].(map[string]any)["length_m"].(float64) <= 0 {
		t.Errorf("paper ahead: %.300v", paper)
	}
	handed := b.asks("GET", "/api/handover?at=2031-03-03T05:00:00Z", "", 404) // hand: Monday 05:00, no shift is on
	if handed["status"] != 404.0 {
		t.Errorf("no shift at that hour: %v", handed)
	}
	if h := b.asks("GET", "/api/handover?at=2031-03-03T06:30:00Z", "", 200); h["shift"] == "" || h["who"] == nil || len(h["made"].([]any)) < 2 {
		t.Errorf("handover: %.300v", h)
	}
	b.asks("POST", "/api/facts", `{"fact":"c-1","at":"2031-03-03T05:30:00Z","kind":"job counted","source":"FFG-1","machine":"FFG-1","release":"J1001","good":50,"waste":7,"reason":"feeder"}`, 201)
	c := b.asks("GET", "/api/counts", "", 200)
	found := false
	for _, row := range c["releases"].([]any) {
		v := row.(map[string]any)
		found = found || v["release"] == "J1001" && v["press_good"] == 50.0 && v["waste_fed"] == 7.0
	}
	if !found || c["shorts"] == nil {
		t.Errorf("counts: %.400v", c)
	}
	waste := b.get("/api/waste?since=2031-03-01T00:00:00Z&until=2031-03-04T00:00:00Z").Body.String()
	if !strings.Contains(waste, `"day":"2031-03-03"`) || !strings.Contains(waste, `"mass_kg"`) {
		t.Errorf("waste: %s", waste)
	}
	b.asks("GET", "/api/waste?since=2031-03-04T00:00:00Z&until=2031-03-01T00:00:00Z", "", 422)
}

// An event is answered, kept, asked for again and taken once.
func TestAPIWhatNow(t *testing.T) {
	b := planned(t)
	const event = `{"fact":"e-1","event":{"kind":"machine down","machine":"FFG-2","until":"2031-03-03T13:00:00Z","cause":"belt"}}`
	w := b.asks("POST", "/api/what-now", event, 200)
	id := int64(w["id"].(float64))
	answers := w["result"].(map[string]any)["answers"].([]any)
	if w["who"] != "scheduler" || len(answers) < 2 {
		t.Fatalf("%d answers, asked by %v", len(answers), w["who"])
	}
	if again := b.asks("POST", "/api/what-now", event, 200); again["id"] != w["id"] {
		t.Errorf("sent twice: event %v and %v", w["id"], again["id"])
	}
	if kept := b.asks("GET", fmt.Sprintf("/api/what-now/%d", id), "", 200); kept["plan"] != w["plan"] {
		t.Errorf("kept: %v", kept["plan"])
	}
	b.asks("GET", "/api/what-now/7", "", 404)
	take := fmt.Sprintf("/api/what-now/%d/take", id)
	made := b.asks("POST", take, `{"answer":0,"by":"Cara"}`, 200)
	if made["plan"].(float64) <= w["plan"].(float64) {
		t.Errorf("plan made: %v", made)
	}
	b.asks("POST", take, `{"answer":0}`, 409)
	b.asks("POST", "/api/what-now", `{"fact":"e-2","event":{"kind":"order short","release":"J9999"}}`, 422)
}

// A fault is followed and held; a held unit is refused at its truck even under
// the tag that it had before more units were numbered; a good one goes on once.
func TestAPIFaultAndDock(t *testing.T) {
	b := planned(t)
	ship := b.asks("GET", "/api/trucks", "", 200)
	truck := ship["answer"].(map[string]any)["trucks"].([]any)[0].(map[string]any)
	part := truck["parts"].([]any)[0].(map[string]any)
	if part["units"].(float64) < 2 {
		t.Fatalf("the first part of the first truck has fewer than two units: %v", part)
	}
	release, err := ident.ParseRelease(part["release"].(string))
	if err != nil {
		t.Fatal(err)
	}
	numbers, err := b.NumberUnits(t.Context(), release, int(part["units"].(float64)), "Ana")
	if err != nil {
		t.Fatal(err)
	}
	snap, err := b.Snapshot(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	tag, err := snap.Plant.Tags.Number(numbers.First)
	if err != nil {
		t.Fatal(err)
	}
	path := fmt.Sprintf("/api/orders/%s/%s/%s/fault", release.Order, release.Line, release.Release)
	units := fmt.Sprintf("/api/trucks/1/%v/units", truck["truck"])
	read := func(fact string) string { return fmt.Sprintf(`{"fact":%q,"unit":%q}`, fact, tag.ID) }
	second, err := snap.Plant.Tags.Number(numbers.First + 1)
	if err != nil {
		t.Fatal(err)
	}
	f := b.asks("GET", path+"?boxes=1&from_unit=2", "", 200)
	if f["boxes"] != 1.0 || len(f["hold"].([]any)) != 1 || f["hold"].([]any)[0].(map[string]any)["number"] != 2.0 || f["came_from"].(map[string]any)["runs"] == nil {
		t.Errorf("fault: %.400v", f)
	}
	b.asks("GET", path+"?boxes=99999999", "", 422)
	b.asks("POST", path, `{"fact":"h-1","reason":""}`, 422)
	if held := b.asks("POST", path, `{"fact":"h-2","boxes":1,"from_unit":2,"reason":"gap too wide"}`, 200); held["units"] != 1.0 {
		t.Errorf("held: %v", held)
	}
	b.asks("POST", units, fmt.Sprintf(`{"fact":"u-3","unit":%q}`, second.ID), 409)
	if on := b.asks("POST", units, read("u-1"), 200); on["number"] != 1.0 || on["new"] != true {
		t.Errorf("loaded: %v", on)
	}
	if on := b.asks("POST", units, read("u-1"), 200); on["new"] != false {
		t.Errorf("the same reading again: %v", on)
	}
	b.asks("POST", units, `{"fact":"u-2","unit":"0000"}`, 422)
	roll := b.asks("GET", "/api/rolls/R0076/fault", "", 200)
	if roll["roll"] != "R0076" || roll["orders"] == nil {
		t.Errorf("roll: %v", roll)
	}
	b.asks("GET", "/api/rolls/R9999/fault", "", 404)
}

// TestAPIOvers: a program sees what was made beyond an order and gives it to stock, once.
func TestAPIOvers(t *testing.T) {
	b := planned(t)
	b.post("/floor", url.Values{"what": {"unit"}, "order": {"J1001"}, "name": {"U1"}, "good": {"18,600"}, "fact": {"u1"}, "at": {"2031-03-03T06:00"}, "place": {"D1"}})
	overs := b.asks("GET", "/api/counts", "", 200)["overs"].([]any)
	if len(overs) != 1 || overs[0].(map[string]any)["over"] != 600.0 || overs[0].(map[string]any)["release"] != "J1001" {
		t.Fatalf("%v", overs)
	}
	const path = "/api/orders/J1001/1/1/over"
	b.asks("POST", path, `{"version":1,"boxes":601,"by":"Ana"}`, 422)
	b.asks("POST", path, `{"version":1,"boxes":600,"by":""}`, 422)
	if got := b.asks("POST", path, `{"version":1,"boxes":600,"by":"Ana"}`, 200); got["release"] != "STOCK-FW-1001" {
		t.Errorf("%v", got)
	}
	b.asks("POST", path, `{"version":1,"boxes":600,"by":"Ana"}`, 422) // sent twice
	if left := b.asks("GET", "/api/counts", "", 200)["overs"].([]any); len(left) != 0 {
		t.Errorf("%v", left)
	}
}
