package web_test

import (
	"fmt"
	"net/url"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// document is a page as a reader's software sees it.
type document struct {
	root *html.Node
	ids  map[string]bool
}

func parse(t *testing.T, body string) document {
	t.Helper()
	root, err := html.Parse(strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	d := document{root: root, ids: map[string]bool{}}
	for n := range d.all() {
		if v, ok := attr(n, "id"); ok {
			d.ids[v] = true
		}
	}
	return d
}

// all yields every element of the page.
func (d document) all() func(func(*html.Node) bool) {
	return func(yield func(*html.Node) bool) {
		for n := range d.root.Descendants() {
			if n.Type == html.ElementNode && !yield(n) {
				return
			}
		}
	}
}

func attr(n *html.Node, name string) (string, bool) {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val, true
		}
	}
	return "", false
}

func text(n *html.Node) string {
	var b strings.Builder
	for c := range n.Descendants() {
		if c.Type == html.TextNode {
			b.WriteString(c.Data)
		}
	}
	return strings.TrimSpace(b.String())
}

func within(n *html.Node, names ...string) bool {
	for p := n.Parent; p != nil; p = p.Parent {
		if slices.Contains(names, p.Data) {
			return true
		}
	}
	return false
}

// faults lists what a page must not have, one line each.
func (d document) faults() []string {
	var out []string
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	ones := map[string]int{}
	ids := map[string]int{}
	labelled := map[string]bool{}
	for n := range d.all() {
		ones[n.Data]++
		if v, ok := attr(n, "id"); ok {
			ids[v]++
		}
		if v, ok := attr(n, "for"); ok && n.Data == "label" {
			labelled[v] = true
		}
	}
	for _, tag := range []string{"h1", "main", "title"} {
		if n := ones[tag]; n != 1 && tag != "title" {
			say("%d elements %s, want one", n, tag)
		}
	}
	for v, n := range ids {
		if n > 1 {
			say("id %q stands %d times", v, n)
		}
	}
	for n := range d.all() {
		out = append(out, d.elementFaults(n, labelled)...)
	}
	return out
}

func (d document) elementFaults(n *html.Node, labelled map[string]bool) []string {
	var out []string
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	for _, a := range n.Attr {
		switch {
		case a.Key == "style":
			say("%s has an inline style", n.Data)
		case strings.HasPrefix(a.Key, "on"):
			say("%s has an inline handler %s", n.Data, a.Key)
		case (a.Key == "href" || a.Key == "src" || a.Key == "action") && !strings.HasPrefix(a.Val, "/") && !strings.HasPrefix(a.Val, "#"):
			say("%s leads elsewhere: %s", n.Data, a.Val)
		case a.Key == "aria-describedby" || a.Key == "aria-labelledby":
			for _, ref := range strings.Fields(a.Val) {
				if !d.ids[ref] {
					say("%s refers to a missing id %s", n.Data, ref)
				}
			}
		}
	}
	switch n.Data {
	case "style":
		say("a style element stands in the page")
	case "script":
		if src, _ := attr(n, "src"); src == "" || n.FirstChild != nil {
			say("a script stands in the page")
		}
	case "table":
		if n.FirstChild == nil || !hasChild(n, "caption") {
			say("a table has no caption")
		}
	case "th":
		if _, ok := attr(n, "scope"); !ok {
			say("heading %q has no scope", text(n))
		}
	case "input", "select", "textarea":
		kind, _ := attr(n, "type")
		at, _ := attr(n, "id")
		aria, _ := attr(n, "aria-label")
		if kind != "hidden" && !labelled[at] && aria == "" && !within(n, "label") {
			say("%s %q has no label", n.Data, at)
		}
	case "a", "button":
		aria, _ := attr(n, "aria-label")
		if text(n) == "" && aria == "" {
			say("%s without words", n.Data)
		}
	case "svg":
		_, hidden := attr(n, "aria-hidden")
		if !hidden && !hasChild(n, "title") {
			say("a drawing has no title")
		}
	case "nav":
		if _, ok := attr(n, "aria-label"); !ok {
			say("a nav has no name")
		}
	}
	return out
}

func hasChild(n *html.Node, tag string) bool {
	for c := range n.ChildNodes() {
		if c.Data == tag {
			return true
		}
	}
	return false
}

// links returns the addresses on this desk that the page leads to by following.
func (d document) links() []string {
	var out []string
	for n := range d.all() {
		if href, ok := attr(n, "href"); ok && strings.HasPrefix(href, "/") && n.Data == "a" {
			if u, err := url.Parse(href); err == nil {
				u.Fragment = ""
				out = append(out, u.String())
			}
		}
	}
	return out
}
