package web_test

import (
	"net/http"
	"regexp"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
)

// A customer on the phone: the answer stands first, then the steps with their
// latest hours; a question that cannot be is said beside its field; an order's
// page leads there.
func TestPromiseOnThePhone(t *testing.T) {
	b := planned(t)
	b.says("/promise", "Asked on the phone", "By when")
	b.says("/promise?item=FW-1002&quantity=12000&due=2031-03-06T10:00&due_at=dock", "Yes: at the customer's dock", "too few facts for a chance", "Start at the latest", "corrugator", "cure", "press", "road", "No plan could have it there before")
	b.says("/promise?item=FW-1002&quantity=12000&due=2031-03-06T10:00&due_at=gate", "at our gate")
	b.says("/promise?order=J1039", "Can J1039 be sooner?", "Order J1039", "press")
	b.says("/orders/J1039/1/1", "Can it be sooner?")
	w := b.get("/promise?item=NONE&quantity=0&due=2031-03-06T10:00&due_at=dock")
	if w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "e-quantity") {
		t.Errorf("a question that cannot be: status %d", w.Code)
	}
	if w := b.get("/promise?item=FW-1002&quantity=10&due=2001-03-06T10:00&due_at=dock"); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("a time that is over: status %d", w.Code)
	}
}

// A US plant reads inches and dollars in the answer, in the picture with its
// scores, and in a refusal that names the limit.
func TestPromiseInInches(t *testing.T) {
	b := planned(t)
	snap, err := b.Snapshot(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	us := snap.Plant
	us.Display.Units, us.Display.Currency, us.Display.Dates, us.Display.InchParts = "us", "USD", "mdy", 16
	save := func() {
		t.Helper()
		s, err := b.Snapshot(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		if err := b.SavePlant(t.Context(), us, s.Version(desk.KindPlant, desk.PlantKey), "Ana", ""); err != nil {
			t.Fatal(err)
		}
	}
	save()
	const ask = "/promise?item=FW-1002&quantity=12000&due=2031-03-06T10:00&due_at=dock"
	page := b.get(ask).Body.String()
	if metric := regexp.MustCompile(`\d (mm|m|kg|m²)\b`).FindString(page); metric != "" || strings.Contains(page, "EUR") {
		t.Errorf("a US plant reads %q", metric)
	}
	if !strings.Contains(page, `class="dr-score"`) {
		t.Error("the picture has no scores")
	}
	limit := 100 * quantity.Millimetre // 3 15/16 in
	us.Corrugator.Limits.MinChop, us.Corrugator.Limits.MaxChop = 0, &limit
	save()
	b.says(ask, "No: its sheet is", "long; the knife cuts none over 3 15/16 in")
}
