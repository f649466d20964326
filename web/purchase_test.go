package web_test

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/roll"
)

// TestCallOffAndExpect: a supplier that does not deliver leaves paper to call
// off; the truck that is called then stands among those expected, not confirmed, and its row is gone.
func TestCallOffAndExpect(t *testing.T) {
	b := planned(t)
	s, err := b.Snapshot(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	p := s.Plant
	p.Supplies = []plant.Supply{{Paper: "TL140", Supplier: "Mill", Lead: 24 * 60, CallOffBy: "12:00", Truckload: 24000}}
	if err := b.SavePlant(t.Context(), p, s.Version(desk.KindPlant, desk.PlantKey), "test", ""); err != nil {
		t.Fatal(err)
	}
	in, _ := s.InboundOf("IN-1")
	form := url.Values{"version": {"1"}, "eta": {"2031-03-04T07:00"}, "rolls": {"10"}, "supplier": {in.Supplier}, "state": {"cancelled"}}
	if w := b.post("/rolls/expected/IN-1", form); w.Code != http.StatusSeeOther {
		t.Fatalf("cancelled: %d %s", w.Code, w.Body)
	}
	body := b.get("/rolls").Body.String()
	if strings.Contains(body, "/rolls/expected/IN-1") {
		t.Error("what is cancelled is still expected")
	}
	truck := regexp.MustCompile(`/rolls/call/\d+`).FindString(body)
	if truck == "" {
		t.Fatal("no truck to call")
	}
	page := b.get(truck).Body.String()
	row := regexp.MustCompile(`name="(TL140@\d+)"`).FindStringSubmatch(page)
	if row == nil {
		t.Fatalf("no row to call: %s", page)
	}
	for _, f := range parse(t, page).faults() {
		t.Error(f)
	}
	call := url.Values{"supplier": {"Mill"}, "state": {"called"}, "eta": {"2001-01-01T00:00"}, row[1]: {"6"}, "number": {"77-1"}}
	if w := b.post(truck, call); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "must lie ahead") || !strings.Contains(w.Body.String(), `value="6"`) {
		t.Errorf("in the past: %d", w.Code)
	}
	call.Set("eta", "2031-03-03T20:00")
	if w := b.post(truck, call); w.Code != http.StatusSeeOther {
		t.Fatalf("called: %d %s", w.Code, w.Body)
	}
	if s, err = b.Snapshot(t.Context()); err != nil {
		t.Fatal(err)
	}
	got := s.Inbound[len(s.Inbound)-1]
	for _, v := range s.Inbound {
		if v.Number == "77-1" {
			got = v
		}
	}
	if got.Rolls != 6 || got.State != roll.Called || got.CalledBy == "" || got.LengthEach <= 0 {
		t.Errorf("%+v", got)
	}
	b.says("/rolls", "not confirmed", "77-1")
}
