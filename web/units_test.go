package web_test

import (
	"net/http"
	"regexp"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// metricWords are units that a US plant's pages must not speak in.
var metricWords = regexp.MustCompile(`.{0,40}(\d ?(mm|m²|kg|km|kN/m|m/min|N|t)\b|g/m²|\bkN/m|\bEUR\b|€|°C|/t\b|\bmm\b).{0,30}`)

// TestAUSPlantReadsNoMetric switches the demo to US units and reads every page:
// nothing is left in millimetres, kilograms or euros, but for the words that
// people gave to items and the digits of a float's unit, h:mm.
func TestAUSPlantReadsNoMetric(t *testing.T) {
	b := planned(t)
	form := b.formOf("/plant")
	for k, v := range map[string]string{"units": "us", "inch_parts": "16", "currency": "USD", "page": "Letter", "dates": "mdy"} {
		form.Set(k, v)
	}
	if w := b.post("/plant/display", form); w.Code != http.StatusSeeOther {
		t.Fatalf("status %d", w.Code)
	}
	snap, err := b.Snapshot(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	theirs := []string{"h:mm", ""}
	for _, i := range snap.Items {
		theirs = append(theirs, i.Description, "")
	}
	forget := strings.NewReplacer(append(theirs, "EUR → USD", "")...)
	seen, queue, kinds := map[string]bool{"/": true}, []string{"/"}, map[string]int{}
	for len(queue) > 0 {
		path := queue[0]
		queue = queue[1:]
		if kinds[kindOf(path)]++; kinds[kindOf(path)] > 12 && strings.Count(path, "/") > 1 {
			continue // a dozen of each kind stand for all
		}
		w := b.get(path)
		if !strings.HasPrefix(w.Header().Get("Content-Type"), "text/html") || strings.HasPrefix(path, "/api") || strings.HasPrefix(path, "/plant/import") || strings.HasPrefix(path, "/orders/import") {
			continue // columns of files name their units themselves
		}
		body := w.Body.String()
		for _, found := range metricWords.FindAllString(forget.Replace(words(t, body)), 3) {
			t.Errorf("%s: %q", path, found)
		}
		for _, l := range parse(t, body).links() {
			if !seen[l] {
				seen[l] = true
				queue = append(queue, l)
			}
		}
	}
}

// words is what a page's reader sees, one space between any two.
func words(t *testing.T, body string) string {
	root, err := html.Parse(strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	for n := range root.Descendants() {
		if n.Type == html.TextNode && n.Parent.Data != "script" && n.Parent.Data != "style" {
			out.WriteString(n.Data + " ")
		}
	}
	return strings.Join(strings.Fields(out.String()), " ")
}
