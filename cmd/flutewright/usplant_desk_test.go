package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"
)

// usDesk is a newcomer at the desk of an invented US plant: the program itself,
// spoken to over HTTP as a browser does.
type usDesk struct {
	t      *testing.T
	at     string
	client *http.Client
	clock  func() time.Time
}

// openUSDesk serves an empty book by a clock that begins at a moment.
func openUSDesk(t *testing.T, begins time.Time) *usDesk {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	clock := runningFrom(begins)
	at := servedAt(t, clock, "serve", "--data", t.TempDir(), "--listen", "127.0.0.1:0")
	return &usDesk{t, strings.TrimSuffix(at, "/"), &http.Client{Jar: jar, Timeout: time.Minute}, clock}
}

// page is an answer: its status and what a reader sees of it.
type usPage struct {
	status int
	root   *html.Node
	words  string
	body   string
}

func (d *usDesk) read(r *http.Response, err error) usPage {
	d.t.Helper()
	if err != nil {
		d.t.Fatal(err)
	}
	defer r.Body.Close()
	body, err := io.ReadAll(r.Body)
	if err != nil {
		d.t.Fatal(err)
	}
	root, err := html.Parse(bytes.NewReader(body))
	if err != nil {
		d.t.Fatal(err)
	}
	var words strings.Builder
	for n := range root.Descendants() {
		if n.Type == html.TextNode && n.Parent.Data != "script" && n.Parent.Data != "style" {
			words.WriteString(n.Data + " ")
		}
	}
	return usPage{r.StatusCode, root, strings.Join(strings.Fields(words.String()), " "), string(body)}
}

func (d *usDesk) get(path string) usPage {
	d.t.Helper()
	return d.read(d.client.Get(d.at + path))
}

func (d *usDesk) post(path string, form url.Values) usPage {
	d.t.Helper()
	return d.read(d.client.PostForm(d.at+path, form))
}

// send pastes rows into an import form.
func (d *usDesk) send(path string, fields map[string]string) usPage {
	d.t.Helper()
	var b bytes.Buffer
	w := multipart.NewWriter(&b)
	for name, v := range fields {
		if err := w.WriteField(name, v); err != nil {
			d.t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		d.t.Fatal(err)
	}
	return d.read(d.client.Post(d.at+path, w.FormDataContentType(), &b))
}

// formTo returns the hidden and filled fields of the forms of a page that go to an address.
func (d *usDesk) formTo(path, action string) url.Values {
	d.t.Helper()
	out := url.Values{}
	for f := range d.get(path).root.Descendants() {
		if f.Data != "form" || !slices.ContainsFunc(f.Attr, func(a html.Attribute) bool { return a.Key == "action" && a.Val == action }) {
			continue
		}
		for n := range f.Descendants() {
			var name, value, kind string
			for _, a := range n.Attr {
				switch a.Key {
				case "name":
					name = a.Val
				case "value":
					value = a.Val
				case "type":
					kind = a.Val
				}
			}
			if n.Data == "input" && name != "" && kind != "radio" && kind != "checkbox" {
				out.Set(name, value)
			}
		}
	}
	if len(out) == 0 {
		d.t.Fatalf("%s has no form for %s", path, action)
	}
	return out
}

// form returns the fields of a page as a browser would send them, untouched.
func (d *usDesk) form(path string) url.Values {
	d.t.Helper()
	out := url.Values{}
	attr := func(n *html.Node, name string) string {
		for _, a := range n.Attr {
			if a.Key == name {
				return a.Val
			}
		}
		return ""
	}
	for n := range d.get(path).root.Descendants() {
		name := attr(n, "name")
		switch {
		case name == "" || name == "who":
		case n.Data == "input" && attr(n, "type") != "checkbox" && attr(n, "type") != "file":
			out.Set(name, attr(n, "value"))
		case n.Data == "select":
			out.Set(name, "")
			first := true
			for o := range n.Descendants() {
				if o.Type != html.ElementNode {
					continue
				}
				chosen := false
				for _, a := range o.Attr {
					chosen = chosen || a.Key == "selected"
				}
				if chosen || first {
					out.Set(name, attr(o, "value"))
				}
				first = false
			}
		}
	}
	return out
}

// save fills fields of a page's form and sends it; it must be taken.
func (d *usDesk) save(path string, fill map[string]string) {
	d.t.Helper()
	if p := d.try(path, fill); p.status != http.StatusOK {
		d.t.Fatalf("%s: status %d: %s", path, p.status, p.words)
	}
}

func (d *usDesk) try(path string, fill map[string]string) usPage {
	d.t.Helper()
	form := d.form(path)
	for name, v := range fill {
		if _, there := form[name]; !there {
			d.t.Fatalf("%s has no field %s", path, name)
		}
		form.Set(name, v)
	}
	return d.post(path, form)
}

// says holds a page to words.
func (d *usDesk) says(step, path string, words ...string) usPage {
	d.t.Helper()
	p := d.get(path)
	d.holds(step, p, words...)
	return p
}

func (d *usDesk) holds(step string, p usPage, words ...string) {
	d.t.Helper()
	for _, w := range words {
		if !strings.Contains(p.words, w) {
			d.t.Errorf("step %s: does not say %q:\n%s", step, w, p.words[:min(len(p.words), 3000)])
		}
	}
}

// nextRow is the first empty row of a list in a form.
func (d *usDesk) nextRow(path, list, key string) string {
	form := d.form(path)
	for n := 0; ; n++ {
		at := fmt.Sprintf("%s[%d].", list, n)
		if v, there := form[at+key]; !there || v[0] == "" {
			return at
		}
	}
}

// rowOf is the row of a list whose key has a value.
func (d *usDesk) rowOf(path, list, key, value string) string {
	d.t.Helper()
	form := d.form(path)
	for n := 0; n < 200; n++ {
		at := fmt.Sprintf("%s[%d].", list, n)
		if v := form[at+key]; len(v) > 0 && v[0] == value {
			return at
		}
	}
	d.t.Fatalf("%s has no %s %s", path, list, value)
	return ""
}

// api asks the interface for programs.
func (d *usDesk) api(method, path, body string, into any) {
	d.t.Helper()
	r, err := http.NewRequestWithContext(d.t.Context(), method, d.at+"/api"+path, strings.NewReader(body))
	if err != nil {
		d.t.Fatal(err)
	}
	r.Header.Set("Content-Type", "application/json")
	answer, err := d.client.Do(r)
	if err != nil {
		d.t.Fatal(err)
	}
	defer answer.Body.Close()
	raw, err := io.ReadAll(answer.Body)
	if err != nil || answer.StatusCode >= 300 {
		d.t.Fatalf("%s %s: status %d: %s, %v", method, path, answer.StatusCode, raw, err)
	}
	if err := json.Unmarshal(raw, into); err != nil {
		d.t.Fatalf("%s %s: %v in %s", method, path, err, raw)
	}
}

// confirm takes kinds of a reviewed file.
func (d *usDesk) confirm(review usPage, kinds ...string) {
	d.t.Helper()
	at := regexp.MustCompile(`action="(/orders/import/\d+)"`).FindStringSubmatch(review.body)
	if at == nil {
		d.t.Fatalf("no review to take: %s", review.words)
	}
	form := url.Values{}
	for _, k := range kinds {
		form.Set(k, "1")
	}
	if p := d.post(at[1], form); p.status != http.StatusOK {
		d.t.Fatalf("status %d: %s", p.status, p.words)
	}
}
