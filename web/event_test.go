package web_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/plan/whatnow"
)

// An event is stated, answered in a first sentence, and the answer that is
// taken becomes a plan; a form that cannot be comes back with what was typed.
func TestWhatNowPages(t *testing.T) {
	b := planned(t)
	for _, k := range whatnow.Kinds() {
		w := b.get("/event?kind=" + url.QueryEscape(string(k)))
		if w.Code != http.StatusOK {
			t.Fatalf("%s: %d", k, w.Code)
		}
		for _, f := range parse(t, w.Body.String()).faults() {
			t.Errorf("%s: %s", k, f)
		}
	}
	bad := b.post("/event", url.Values{"kind": {"order short"}, "order": {"J9999"}, "good": {"11350"}, "fact": {"a"}})
	if bad.Code != http.StatusUnprocessableEntity || !strings.Contains(bad.Body.String(), "11350") {
		t.Errorf("an order that is not there: %d", bad.Code)
	}
	w := b.post("/event", url.Values{"kind": {"machine down"}, "machine": {"FFG-2"}, "until": {"2031-03-03T13:00"}, "fact": {"b"}})
	to := w.Header().Get("Location")
	if w.Code != http.StatusSeeOther || !strings.HasPrefix(to, "/event/") {
		t.Fatalf("%d to %q: %s", w.Code, to, w.Body)
	}
	page := b.get(to)
	body := page.Body.String()
	for _, f := range parse(t, body).faults() {
		t.Error(f)
	}
	if page.Code != http.StatusOK || !strings.Contains(body, "Do nothing: what waits for FFG-2 waits until Mon 13:00") {
		t.Errorf("%d, does not say what doing nothing is", page.Code)
	}
	taken := b.post(to+"/take", url.Values{"answer": {"1"}, "area": {"FFG-1"}, "by": {"Cara"}})
	if at := taken.Header().Get("Location"); taken.Code != http.StatusSeeOther || !strings.HasPrefix(at, "/plans/") {
		t.Errorf("taken: %d to %q", taken.Code, at)
	}
	if again := b.post(to+"/take", url.Values{"answer": {"1"}}); again.Code != http.StatusConflict {
		t.Errorf("taken twice: %d", again.Code)
	}
	if gone := b.get("/event/77"); gone.Code != http.StatusGone || !strings.Contains(gone.Body.String(), "State the event again") {
		t.Errorf("an event nobody stated: %d", gone.Code)
	}
}
