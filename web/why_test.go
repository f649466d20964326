package web_test

import (
	"net/http"
	"strings"
	"testing"
)

// TestWhyAPlanIsAsItIs: asked once, said from then on: each run's web, and plans of another kind.
func TestWhyAPlanIsAsItIs(t *testing.T) {
	b := planned(t)
	b.says("/plans/1", "Why it is as it is", "run change", "min")
	b.says("/plans/1/why", "Work it out")
	if w := b.post("/plans/1/why", nil); w.Code != http.StatusSeeOther {
		t.Fatalf("%d: %s", w.Code, w.Body)
	}
	body := b.get("/plans/1/why").Body.String()
	for _, want := range []string{"Other plans", "What one detail is worth", "Worth about", "mm narrower lets", "Why each run is on its web", `href="/runs/1"`} {
		if !strings.Contains(body, want) {
			t.Errorf("%q is not said", want)
		}
	}
	for _, f := range parse(t, body).faults() {
		t.Error(f)
	}
	if w := b.get("/plans/99/why"); w.Code != http.StatusNotFound {
		t.Errorf("a plan that is not there: %d", w.Code)
	}
}
