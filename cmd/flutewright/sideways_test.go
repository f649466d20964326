package main

import (
	"net/http"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"golang.org/x/net/html"
)

// TestNoPageScrollsSideways opens a page of every kind that the desk links to on
// a tablet of 820 px: a wide table may scroll within itself, the page may not.
func TestNoPageScrollsSideways(t *testing.T) {
	w := &walk{T: t}
	w.tab, w.said = browser(t)
	w.home = strings.TrimSuffix(served(t, "demo", "--seconds", "0.5", "--listen", "127.0.0.1:0"), "/")
	w.do(chromedp.EmulateViewport(820, 1180))
	d := &usDesk{t: t, at: w.home, client: http.DefaultClient}
	pages := d.pagesLinked()
	if len(pages) < 35 {
		t.Fatalf("only %d kinds of pages are linked: %q", len(pages), pages)
	}
	for _, path := range pages {
		w.open(path)
		over, err := chromedp.Run(w.tab, chromedp.Evaluate[float64](`document.documentElement.scrollWidth - document.documentElement.clientWidth`))
		if err != nil || over > 0 {
			t.Errorf("%s scrolls sideways by %v px (%v)", path, over, err)
		}
	}
}

// pagesLinked follows the desk's own links from its first page and returns one
// page of each kind; numbers and codes in an address make no new kind.
func (d *usDesk) pagesLinked() (out []string) {
	d.t.Helper()
	seen := map[string]bool{}
	for next := []string{"/", "/crew", "/nowhere"}; len(next) > 0; next = next[1:] {
		p := d.get(next[0])
		out = append(out, next[0])
		for n := range p.root.Descendants() {
			for _, a := range n.Attr {
				if n.Data != "a" || a.Key != "href" || !strings.HasPrefix(a.Val, "/") {
					continue
				}
				at, _, _ := strings.Cut(a.Val, "#")
				if kind := kindOf(at); !seen[kind] && n.Type == html.ElementNode && pageAt(at) {
					seen[kind] = true
					next = append(next, at)
				}
			}
		}
	}
	return out
}

// kindOf is an address without its query's values and without what has a digit or a capital in it.
func kindOf(at string) string {
	path, query, _ := strings.Cut(at, "?")
	parts := strings.Split(path, "/")
	for i, p := range parts {
		if strings.ContainsAny(p, "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ") {
			parts[i] = "*"
		}
	}
	var names []string
	for f := range strings.SplitSeq(query, "&") {
		name, _, _ := strings.Cut(f, "=")
		names = append(names, name)
	}
	return strings.Join(parts, "/") + "?" + strings.Join(names, "&")
}

// pageAt reports whether an address is a page, not a file.
func pageAt(at string) bool {
	path, _, _ := strings.Cut(at, "?")
	return !strings.Contains(path, ".") && !strings.HasPrefix(path, "/api") && !strings.HasPrefix(path, "/print") && !strings.HasPrefix(path, "/look")
}
