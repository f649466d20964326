package web_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"
)

// The page takes widths in the plant's units, follows the search and shows table
// and chart; what cannot be is said beside its field.
func TestWhichWebsToStock(t *testing.T) {
	b := planned(t)
	b.says("/board", "Which webs to stock")
	b.says("/webs", "Widths to choose from, mm")
	if form := b.get("/webs").Body.String(); !strings.Contains(form, "2000; 2200; ") {
		t.Errorf("today's widths are not filled in: %s", form)
	}
	body := b.searched(t, url.Values{"candidates": {"2200; 2500"}, "most": {"1"}, "keep": {"3000"}, "days": {"30"}, "together": {"2"}})
	for _, want := range []string{"Best of these candidates", "Keeping one width costs 3,000", "over 30.0 days", "due in the same 2.0 days", "Today: ", "<svg", "Left out", "Planned whole"} {
		if !strings.Contains(body, want) {
			t.Errorf("the answer does not show %q", want)
		}
	}
	for field, form := range map[string]url.Values{
		"candidates": {"candidates": {"2200; wide"}, "most": {"1"}},
		"most":       {"candidates": {"2200"}, "most": {"0"}},
		"keep":       {"candidates": {"2200"}, "most": {"1"}, "keep": {"dear"}},
		"days":       {"candidates": {"2200"}, "most": {"1"}, "days": {"-4"}},
		"together":   {"candidates": {"2200"}, "most": {"1"}, "together": {"0.1"}},
	} {
		if w := b.post("/webs", form); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "e-"+field) {
			t.Errorf("%s: status %d", field, w.Code)
		}
	}
	if w := b.get("/webs/1"); w.Code != http.StatusNotFound {
		t.Errorf("a search that never was: status %d", w.Code)
	}
	snap, _ := b.Snapshot(t.Context())
	p := snap.Plant
	p.Display.Units = "us"
	if err := b.SavePlant(t.Context(), p, snap.Version("plant", "plant"), "test", ""); err != nil {
		t.Fatal(err)
	}
	b.says("/webs", "Widths to choose from, in")
	body = b.searched(t, url.Values{"candidates": {"87; 98 1/2"}, "most": {"1"}})
	if !strings.Contains(body, "98 1/2") || !strings.Contains(body, "Keeping a width costs nothing here") || !strings.Contains(body, "<small>MSF a year</small>") {
		t.Errorf("in US units: %s", body)
	}
}

// searched asks for half a second and returns the page of the answer.
func (b *bench) searched(t *testing.T, form url.Values) string {
	t.Helper()
	form.Set("seconds", "0.5")
	w := b.post("/webs", form)
	if w.Code != http.StatusSeeOther {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	to := w.Header().Get("Location")
	if w := b.get(to); strings.Contains(w.Body.String(), "sets judged") && parse(t, w.Body.String()).faults() != nil {
		t.Errorf("%s while it runs: %v", to, parse(t, w.Body.String()).faults())
	}
	for range 3000 {
		body := b.get(to).Body.String()
		if !strings.Contains(body, "live-done") {
			for _, f := range parse(t, body).faults() {
				t.Errorf("%s: %s", to, f)
			}
			return body
		}
		time.Sleep(10 * time.Millisecond)
	}
	t.Fatalf("%s does not end", to)
	return ""
}
