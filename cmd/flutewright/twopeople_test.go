package main

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// TestTwoPeopleOnOneOrder has an order open in a browser while a colleague
// saves it: the browser's save is not taken, both values stand in its form, and
// saving again is a choice made knowingly.
func TestTwoPeopleOnOneOrder(t *testing.T) {
	at := served(t, "demo", "--seconds", "1", "--listen", "127.0.0.1:0")
	tab, said := browser(t)
	do := func(steps ...chromedp.Action[chromedp.Void]) {
		t.Helper()
		for n, step := range steps {
			if err := chromedp.Do(tab, step); err != nil {
				t.Fatalf("step %d: %v", n+1, err)
			}
		}
	}
	read := func(what string) string {
		t.Helper()
		text, err := chromedp.Run(tab, chromedp.Text(chromedp.CSS(what)))
		if err != nil {
			t.Fatal(err)
		}
		return text
	}
	page := at + "orders/J1001/1/1"
	do(
		chromedp.EmulateViewport(820, 1100), // a tablet
		chromedp.Navigate(page),
		chromedp.SetValue(chromedp.CSS("#f-quantity"), "15000"),
	)
	colleague := &usDesk{t: t, at: strings.TrimSuffix(at, "/"), client: http.DefaultClient}
	form := colleague.formOf("/orders/J1001/1/1", "quantity")
	form.Set("quantity", "20000")
	if p := colleague.post("/orders/J1001/1/1", form); p.status != http.StatusOK {
		t.Fatalf("the colleague: status %d: %s", p.status, p.words)
	}
	do(
		chromedp.Click(`//button[. = "Save"]`),
		chromedp.WaitVisible(`//button[. = "Save mine over theirs"]`),
	)
	if words := read(".amiss"); !strings.Contains(words, "stands at 20000 now; yours is 15000") {
		t.Errorf("the second sees %q", words)
	}
	if p := colleague.get("/orders/J1001/1/1"); !strings.Contains(p.words, "20,000 of FW-1001") {
		t.Error("the second overwrote the first unasked")
	}
	do(chromedp.Click(`//button[. = "Save mine over theirs"]`), chromedp.WaitVisible(`//p[@role="status"]`))
	if words := read("main"); !strings.Contains(words, "15,000 of FW-1001") {
		t.Errorf("saving over theirs knowingly: %s", words)
	}
	if complaints := said.text(); regexp.MustCompile(`(?i)refused|blocked|uncaught`).MatchString(complaints) {
		t.Errorf("the browser's console: %s", complaints)
	}
}

// formOf returns the fields of the one form of a page that has a field.
func (d *usDesk) formOf(path, field string) url.Values {
	d.t.Helper()
	all, out := d.form(path), url.Values{}
	for _, name := range []string{"version", "quantity", "under_pct", "over_pct", "due", "due_at", "priority", "price_per_1000", "kind", "closes", "ship_to", "note", "why"} {
		if v, there := all[name]; there {
			out[name] = v
		}
	}
	if out.Get(field) == "" {
		d.t.Fatalf("%s has no field %s", path, field)
	}
	return out
}
