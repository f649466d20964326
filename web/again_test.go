package web_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
)

// hand: a count that is no number is refused beside its field; what was typed
// stands there, and the form keeps its number, so that sending it again doubles nothing.
func TestARefusedReportKeepsWhatWasTyped(t *testing.T) {
	b := planned(t)
	form := url.Values{"fact": {"f-1"}, "machine": {"FFG-1"}, "key": {"J1001"}, "what": {"counted"}, "at": {"2031-03-03T05:50"}, "good": {"12x"}, "waste": {"7"}, "reason": {"glue <lap>"}}
	w := b.post("/facts/job", form)
	body := w.Body.String()
	if w.Code != http.StatusUnprocessableEntity {
		t.Fatalf("status %d", w.Code)
	}
	for _, want := range []string{`action="/facts/job"`, `name="fact" value="f-1"`, `name="good" value="12x"`, `name="waste" value="7"`, `value="glue &lt;lap&gt;"`, `aria-invalid="true"`} {
		if !strings.Contains(body, want) {
			t.Errorf("the answer lacks %s", want)
		}
	}
	form.Set("good", "120")
	for range 2 {
		if w := b.post("/facts/job", form); w.Code != http.StatusSeeOther {
			t.Fatalf("mended: status %d: %s", w.Code, w.Body)
		}
	}
	s, err := b.Snapshot(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if q := s.Done[j1001]; q.BoxesGood != 120 {
		t.Errorf("%d good after the mended form was sent twice", q.BoxesGood)
	}
}
