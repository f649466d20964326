package web_test

import (
	"net/http"
	"strings"
	"testing"
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
