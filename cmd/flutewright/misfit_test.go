package main

import (
	"fmt"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"
)

// TestFactsThatDoNotFit tells the desk what crews tell on a bad day, one after
// the other, and reads what the person sees: what is merely odd is kept, and
// said; what cannot be is refused with field, value, limit and remedy.
func TestFactsThatDoNotFit(t *testing.T) {
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	d := &usDesk{t: t, client: &http.Client{Jar: jar, Timeout: time.Minute},
		at: strings.TrimSuffix(served(t, "demo", "--seconds", "0.3", "--listen", "127.0.0.1:0"), "/")}
	const kept, refused, conflict = http.StatusOK, http.StatusUnprocessableEntity, http.StatusConflict
	job := func(id, what, at, good string) url.Values {
		return url.Values{"fact": {id}, "machine": {"FFG-1"}, "key": {"J1020"}, "what": {what}, "at": {"2031-03-03T" + at}, "good": {good}}
	}
	crew := func(id, what, good string) url.Values {
		return url.Values{"fact": {id}, "key": {"J1020"}, "what": {what}, "good": {good}}
	}
	const odd, wrongNumber = " Odd, but kept: ", "take that one back and tell it anew under another number"
	for _, tt := range []struct {
		why, path string
		form      url.Values
		status    int
		says      []string
	}{
		// J1020 is cut three from a sheet: 100 boxes are 34 sheets, 9,100 are 3,034.
		{"counted before it was started", "/crew/FFG-1", crew("a1", "good", "100"), kept, []string{"Kept: J1020, job counted." + odd + "job counted without a start; 34 sheets fed, but none counted as made. Where it is not so, take it back on the order's page and tell it anew."}},
		{"touched twice, without a clock of the tablet", "/crew/FFG-1", crew("a1", "good", "100"), kept, []string{"Kept: J1020, job counted. FFG-1 as of"}},
		{"that number with another count", "/crew/FFG-1", crew("a1", "good", "101"), conflict, []string{"fact a1 is in the ledger already, with good 100, yours 101; " + wrongNumber}},
		{"more fed than made", "/facts/job", job("a2", "counted", "05:30", "9000"), kept, []string{odd + "job counted without a start; 3,034 sheets fed, but none counted as made."}},
		{"the end without a start", "/facts/job", job("a3", "ended", "05:00", "0"), kept, []string{odd + "job ended without a start"}},
		{"the start after the end", "/facts/job", job("a4", "started", "05:40", ""), kept, []string{odd + "job started comes after its end at 2031-03-03 05:00"}},
		{"the end twice", "/facts/job", job("a5", "ended", "05:50", "10"), kept, []string{odd + "job ended twice; both counts are added"}},
		{"the same form of it twice", "/facts/job", job("a5", "ended", "05:50", "10"), kept, []string{"J1020 on FFG-1: job ended, kept. Plan 1"}},
		{"an hour ahead", "/facts/job", job("a6", "counted", "07:30", "5"), refused, []string{`at "2031-03-03 07:30": lies ahead of the desk's clock, 2031-03-03 06:00, by more than 5 min; mend the time`}},
		{"less than nothing", "/crew/FFG-1", crew("a7", "good", "-5"), refused, []string{"Good boxes must be a whole number of at least 1"}},
		{"a slip of the finger", "/crew/FFG-1", crew("a8", "good", "99999999"), refused, []string{"Good boxes must be 0 to 10,000,000"}},
		{"no such order", "/crew/FFG-1", url.Values{"fact": {"b1"}, "key": {"J9999"}, "what": {"good"}, "good": {"5"}}, refused, []string{`order "J9999": is not in the book; look the number up, or enter the order first`}},
		{"no such machine", "/facts/job", url.Values{"fact": {"b2"}, "machine": {"FFG-9"}, "key": {"J1020"}, "what": {"counted"}, "at": {"2031-03-03T05:30"}, "good": {"5"}}, refused,
			[]string{`machine "FFG-9": is not a machine of the plant; name one of CORR-1, FFG-1, `}},
		{"a wrong count taken back, and touched twice", "/facts/correct", url.Values{"fact": {"c1"}, "corrects": {"a2"}, "key": {"J1020"}, "back": {"/orders/J1020/1/1"}}, kept, []string{"Taken back; the mistaken fact stays on record."}},
		{"the second touch of it", "/facts/correct", url.Values{"fact": {"c1"}, "corrects": {"a2"}, "key": {"J1020"}, "back": {"/orders/J1020/1/1"}}, kept, []string{"Taken back; the mistaken fact stays on record."}},
		{"an item that an open line names", "/boxes/FW-1020/remove", url.Values{"version": {"1"}}, conflict, []string{"item FW-1020 cannot be removed, it is named by open line J1020; close or change what names it first"}},
	} {
		p := d.post(tt.path, tt.form)
		d.holds(tt.why, p, tt.says...)
		if p.status != tt.status {
			t.Errorf("%s: status %d, want %d", tt.why, p.status, tt.status)
		}
	}
	d.programsThatDoNotFit()
	var told []struct {
		ID string `json:"fact"`
	}
	d.api(http.MethodGet, "/facts?release=J1020", "", &told)
	var ids []string
	for _, f := range told {
		ids = append(ids, f.ID)
	}
	slices.Sort(ids)
	if want := []string{"a1", "a2", "a3", "a4", "a5", "c1", "p1"}; !slices.Equal(ids, want) {
		t.Errorf("the ledger has %q of the order, want %q, each once", ids, want)
	}
}

// programsThatDoNotFit sends the same kind of facts as a machine's program does.
func (d *usDesk) programsThatDoNotFit() {
	d.t.Helper()
	const fact = `{"fact":"%s","at":"2031-03-03T05:30:00Z","kind":"job counted","source":"FFG-1","machine":"%s","release":"J1020","good":%d}`
	for _, tt := range []struct {
		body   string
		status int
		says   []string
	}{
		{fmt.Sprintf(fact, "p1", "FFG-1", 5), http.StatusCreated, []string{`"new":true`, "job counted comes after its end at 2031-03-03 05:00"}},
		{fmt.Sprintf(fact, "p1", "FFG-1", 5), http.StatusOK, []string{`"new":false`}},
		{fmt.Sprintf(fact, "p1", "FFG-1", 6), http.StatusConflict, []string{"fact p1 is in the ledger already, with good 5, yours 6"}},
		{fmt.Sprintf(fact, "p2", "FFG-9", -6), http.StatusUnprocessableEntity, []string{`"message":"must be 0 to 10,000,000","location":"good","value":"-6"`, `"location":"machine","value":"FFG-9"`}},
	} {
		p := d.read(d.client.Post(d.at+"/api/facts", "application/json", strings.NewReader(tt.body)))
		for _, w := range tt.says {
			if !strings.Contains(p.body, w) {
				d.t.Errorf("%s: the answer does not say %s: %s", tt.body, w, p.body)
			}
		}
		if p.status != tt.status {
			d.t.Errorf("%s: status %d, want %d", tt.body, p.status, tt.status)
		}
	}
}
