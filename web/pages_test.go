package web_test

import (
	"net/http"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/web/guard"
)

// TestEveryPage follows every link of the desk from Today on and holds each
// page to the checker: one h1, labels, captions, no inline style or script, no
// address outside, and every link leads somewhere.
func TestEveryPage(t *testing.T) {
	b := planned(t)
	b.plan() // a second one, to be laid beside the first
	seen := map[string]string{"/": "start"}
	queue := []string{"/"}
	kinds := map[string]int{}
	for len(queue) > 0 {
		path := queue[0]
		queue = queue[1:]
		kind := kindOf(path)
		if kinds[kind]++; kinds[kind] > 6 && strings.Count(path, "/") > 1 {
			continue // a few of each kind stand for all
		}
		w := b.get(path)
		if w.Code != http.StatusOK {
			t.Errorf("%s, linked from %s: status %d", path, seen[path], w.Code)
			continue
		}
		if got := w.Header().Get("Content-Security-Policy"); got != guard.Policy {
			t.Errorf("%s: policy %q", path, got)
		}
		if !strings.HasPrefix(w.Header().Get("Content-Type"), "text/html") {
			continue // a sheet, or the interface for programs
		}
		d := parse(t, w.Body.String())
		for _, f := range d.faults() {
			t.Errorf("%s: %s", path, f)
		}
		for _, l := range d.links() {
			if _, known := seen[l]; !known {
				seen[l] = path
				queue = append(queue, l)
			}
		}
	}
	for _, want := range []string{"/", "/orders", "/orders/import", "/orders/*", "/boxes", "/boxes/*", "/board", "/runs", "/runs/*", "/rolls", "/rolls/house",
		"/jobs", "/jobs/report", "/loads", "/loads/*", "/plans", "/plans/*", "/plans/compare", "/plant", "/plant/import", "/floor", "/crew", "/crew/*", "/fault", "/handover", "/print/handover.pdf", "/api",
		"/print/runs.pdf", "/print/setups.pdf", "/print/setup/*", "/print/stacks/*", "/print/jobs.pdf", "/print/ticket.pdf", "/print/tags.pdf"} {
		if kinds[want] == 0 {
			t.Errorf("no link leads to %s", want)
		}
	}
}

// kindOf names the handler of an address: what varies becomes a star.
func kindOf(path string) string {
	path, _, _ = strings.Cut(path, "?")
	parts := strings.Split(path, "/")
	if len(parts) > 2 {
		switch key := parts[1] + "/" + parts[2]; key {
		case "orders/import", "rolls/house", "jobs/report", "plans/compare", "plant/import":
			return "/" + key
		}
		if parts[1] == "print" && len(parts) == 3 {
			return path
		}
		if parts[1] == "print" || parts[1] == "api" {
			return "/" + parts[1] + "/" + parts[2] + "/*"
		}
		return "/" + parts[1] + "/*"
	}
	return path
}

func TestPagesOfAnEmptyBook(t *testing.T) {
	b := opened(t, nil)
	for _, path := range []string{"/", "/orders", "/runs", "/plant"} {
		if w := b.get(path); w.Code != http.StatusSeeOther || w.Header().Get("Location") != "/start" {
			t.Errorf("%s: status %d to %q, want the first set-up", path, w.Code, w.Header().Get("Location"))
		}
	}
	w := b.get("/start")
	for _, f := range parse(t, w.Body.String()).faults() {
		t.Errorf("/start: %s", f)
	}
}

func TestNoSuchThing(t *testing.T) {
	b := planned(t)
	for _, path := range []string{"/nowhere", "/orders/J9999/1/1", "/boxes/NONE", "/runs/9999", "/runs/x", "/plans/77", "/plans/x", "/loads/J9999/1/1",
		"/orders/import/5", "/jobs/report?machine=NONE&key=J1001", "/print/setup/9999", "/runs?plan=99", "/plans/compare?a=1&b=99"} {
		w := b.get(path)
		if w.Code != http.StatusNotFound {
			t.Errorf("%s: status %d", path, w.Code)
		}
		for _, f := range parse(t, w.Body.String()).faults() {
			t.Errorf("%s: %s", path, f)
		}
	}
}

// TestPagesBeforeTheFirstPlan: a book without a plan shows pages that say so.
func TestPagesBeforeTheFirstPlan(t *testing.T) {
	b := planned(t)
	fresh := opened(t, nil)
	snap, err := b.Snapshot(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if err := fresh.SetUp(t.Context(), snap.Book, "test"); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{"/", "/orders", "/orders/J1001/1/1", "/boxes", "/boxes/FW-1001", "/board", "/runs", "/rolls", "/rolls/house", "/jobs", "/loads", "/plans", "/plant", "/floor"} {
		w := fresh.get(path)
		if w.Code != http.StatusOK {
			t.Errorf("%s: status %d", path, w.Code)
		}
		for _, f := range parse(t, w.Body.String()).faults() {
			t.Errorf("%s: %s", path, f)
		}
	}
}

// TestUnitsFollow: the display changes every page, and no stored value.
func TestUnitsFollow(t *testing.T) {
	b := planned(t)
	before := b.get("/api/items/FW-1001").Body.String()
	snap, _ := b.Snapshot(t.Context())
	p := snap.Plant
	p.Display.Units, p.Display.Dates = "us", "mdy"
	if err := b.SavePlant(t.Context(), p, snap.Version("plant", "plant"), "test", ""); err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string]string{
		"/boxes/FW-1001": "15 11/16", // 398 mm
		"/board":         "lb/MSF",
		"/runs":          "Across the web",
		"/rolls":         "<small>ft</small>",
		"/orders":        "Mar 4",
	} {
		w := b.get(path)
		if !strings.Contains(w.Body.String(), want) {
			t.Errorf("%s in US units does not show %q", path, want)
		}
		for _, f := range parse(t, w.Body.String()).faults() {
			t.Errorf("%s: %s", path, f)
		}
	}
	if after := b.get("/api/items/FW-1001").Body.String(); after != before {
		t.Errorf("the stored item changed with the display:\n%s\n%s", before, after)
	}
}
