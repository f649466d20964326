package web_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
)

// TestReceiveRolls: a list pasted at the gate; one that cannot be stands there again as it was typed.
func TestReceiveRolls(t *testing.T) {
	b := planned(t)
	w := b.post("/rolls/receive/IN-1", url.Values{"rolls": {"N1; heavy"}})
	if w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "N1; heavy") || !strings.Contains(w.Body.String(), "line 1: the mass cannot be read") {
		t.Errorf("status %d", w.Code)
	}
	if w = b.post("/rolls/receive/IN-1", url.Values{"rolls": {"N1; 1941; 1258; 7.4; H2\nN2\t1945\t\t\t\twet edge\n"}}); w.Code != http.StatusSeeOther {
		t.Fatalf("status %d", w.Code)
	}
	b.says("/rolls/house?q=N1", "N1", "TL140", "5,9")
	b.says("/rolls/house?q=N2", "wet edge")
	if w = b.get("/rolls/calls.csv"); w.Code != http.StatusOK || !strings.HasPrefix(w.Body.String(), "call_by,supplier,truck") {
		t.Errorf("status %d", w.Code)
	}
	if w = b.get("/rolls/receive/NONE"); w.Code != http.StatusNotFound {
		t.Errorf("a delivery nobody expects: status %d", w.Code)
	}
}
