package web_test

import (
	"net/http"
	"net/url"
	"strconv"
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

// TestReceiveATruck: ten rows are filled from one line, two rolls are measured anew,
// the wet one is asked about and held, and the delivery ends with nine rolls.
func TestReceiveATruck(t *testing.T) {
	b := planned(t)
	const at = "/rolls/receive/IN-1"
	page := b.get(at + "?first=N099&mass=1941&moisture=7.5&place=H2").Body.String()
	for _, f := range parse(t, page).faults() {
		t.Error(f)
	}
	form := url.Values{"whole-IN-1": {"yes"}}
	for k, number := range []string{"N099", "N100", "N101", "N102", "N103", "N104", "N105", "N106", "N107", "N108"} {
		row := strconv.Itoa(k)
		if !strings.Contains(page, `name="roll-`+row+`" value="`+number+`"`) || !strings.Contains(page, `name="mass-`+row+`" value="1941"`) {
			t.Errorf("row %d is not filled with %s", k, number)
		}
		form.Set("roll-"+row, number)
		form.Set("mass-"+row, "1941")
		form.Set("moisture-"+row, "7.5")
		form.Set("place-"+row, "H2")
	}
	form.Set("moisture-2", "11")
	form.Del("roll-9") // it did not come; its measures are those of all
	form.Set("mass-5", "heavy")
	if w := b.post(at, form); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "row 6: the mass cannot be read") || !strings.Contains(w.Body.String(), `href="#f-mass-5"`) {
		t.Errorf("a mass that is none: status %d", w.Code)
	}
	form.Set("mass-5", "1941")
	w := b.post(at, form)
	asked := w.Body.String()
	if w.Code != http.StatusUnprocessableEntity || !strings.Contains(asked, "Of 1 roll the measures do not agree") || !strings.Contains(asked, `name="hold-2" value="has 11.0 % moisture`) || !strings.Contains(asked, `name="seen" value="yes"`) {
		t.Fatalf("status %d: %s", w.Code, asked)
	}
	if s, _ := b.Snapshot(t.Context()); len(s.Floor.Rolls) != 0 {
		t.Error("rolls were taken before the doubt was settled")
	}
	form.Set("seen", "yes")
	form.Set("hold-2", "wet")
	if w := b.post(at, form); w.Code != http.StatusSeeOther {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	s, err := b.Snapshot(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	came, held := 0, 0
	for _, r := range s.Rolls {
		if strings.HasPrefix(string(r.ID), "N") && r.Location == "H2" {
			came++
			if r.Hold {
				held++
			}
		}
	}
	if came != 9 || held != 1 {
		t.Errorf("%d rolls came, %d of them on hold", came, held)
	}
	for _, in := range s.Inbound {
		if in.ID == "IN-1" {
			t.Errorf("still on its way: %+v", in)
		}
	}
	if in, _ := s.InboundOf("IN-1"); in.Rolls != 9 {
		t.Errorf("the purchase is kept with %d rolls, 9 came", in.Rolls)
	}
	if w := b.post(at, form); w.Code != http.StatusSeeOther { // sent twice
		t.Errorf("sent twice: status %d", w.Code)
	}
	extra := b.get(at + "?more=1&first=X1&mass=1941").Body.String()
	if !strings.Contains(extra, "has brought all its rolls") || !strings.Contains(extra, `name="roll-0" value="X1"`) || strings.Contains(extra, `name="roll-1"`) {
		t.Errorf("one roll more than called off: %s", extra)
	}
	if s, _ := b.Snapshot(t.Context()); len(s.Floor.Rolls) != 9 {
		t.Errorf("%d rolls after the form came twice", len(s.Floor.Rolls))
	}
}

// TestPrintedCallOff: the list as one page, whole and by truck.
func TestPrintedCallOff(t *testing.T) {
	b := planned(t)
	if !strings.Contains(b.get("/rolls").Body.String(), `href="/rolls/calls.pdf"`) {
		t.Error("the rolls page does not lead to the printed list")
	}
	for _, path := range []string{"/rolls/calls.pdf", "/rolls/calls.pdf?truck=1"} {
		w := b.get(path)
		if w.Code != http.StatusOK || !strings.HasPrefix(w.Body.String(), "%PDF") || strings.Count(w.Body.String(), "/Type /Page\n") != 1 {
			t.Errorf("%s: status %d, %d bytes", path, w.Code, w.Body.Len())
		}
	}
	if w := b.get("/rolls/calls.pdf?truck=99"); w.Code != http.StatusNotFound {
		t.Errorf("a truck that is not on the list: status %d", w.Code)
	}
}
