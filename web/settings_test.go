package web_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"github.com/flutewright/flutewright/plant"
)

// settingsPages are the addresses of all forms of the plant's settings.
func (b *bench) settingsPages() []string {
	b.t.Helper()
	var out []string
	root, err := html.Parse(b.get("/plant/settings").Body)
	if err != nil {
		b.t.Fatal(err)
	}
	for n := range root.Descendants() {
		if to, ok := attr(n, "href"); ok && (strings.HasPrefix(to, "/plant/settings/") || strings.HasPrefix(to, "/plant/machines/")) {
			out = append(out, to)
		}
	}
	return out
}

// formOf returns what a browser would send of a page's form, untouched.
func (b *bench) formOf(path string) url.Values {
	b.t.Helper()
	root, err := html.Parse(b.get(path).Body)
	if err != nil {
		b.t.Fatal(err)
	}
	out := url.Values{}
	for n := range root.Descendants() {
		name, _ := attr(n, "name")
		if n.Type != html.ElementNode || name == "" || name == "who" {
			continue
		}
		switch n.Data {
		case "input":
			v, _ := attr(n, "value")
			out.Set(name, v)
		case "select":
			for o := range n.Descendants() {
				if _, chosen := attr(o, "selected"); chosen && o.Type == html.ElementNode {
					v, _ := attr(o, "value")
					out.Set(name, v)
				} else if _, there := out[name]; !there && o.Type == html.ElementNode && o.Data == "option" {
					v, _ := attr(o, "value")
					out.Set(name, v)
				}
			}
		}
	}
	return out
}

func (b *bench) plantJSON() string {
	b.t.Helper()
	s, err := b.Snapshot(b.t.Context())
	if err != nil {
		b.t.Fatal(err)
	}
	p := s.Plant
	p.Display = plant.Display{}
	raw, err := json.Marshal(p)
	if err != nil {
		b.t.Fatal(err)
	}
	return string(raw)
}

// Opening and saving a form changes nothing, in metric and in US units.
func TestSettingsSavedUntouchedStay(t *testing.T) {
	b := planned(t)
	before := b.plantJSON()
	for _, units := range []string{"metric", "us", "metric"} {
		form := b.formOf("/plant")
		form.Set("units", units)
		form.Set("inch_parts", "16")
		if w := b.post("/plant/display", form); w.Code != http.StatusSeeOther {
			t.Fatalf("status %d: %s", w.Code, w.Body)
		}
		pages := b.settingsPages()
		if len(pages) < 15 {
			t.Fatalf("only %d forms: %v", len(pages), pages)
		}
		for _, path := range pages {
			if strings.HasSuffix(path, "/new") {
				continue
			}
			w := b.post(path, b.formOf(path))
			if w.Code != http.StatusSeeOther {
				t.Errorf("%s in %s units: status %d: %s", path, units, w.Code, alert(t, w.Body.String()))
			}
			if now := b.plantJSON(); now != before {
				t.Fatalf("%s in %s units changed the plant:\n%s", path, units, apart(before, now))
			}
		}
	}
}

func alert(t *testing.T, body string) string {
	for n := range parse(t, body).all() {
		if role, _ := attr(n, "role"); role == "alert" {
			return text(n)
		}
	}
	return ""
}

// apart shows where two texts begin to differ.
func apart(a, b string) string {
	i := 0
	for i < len(a) && i < len(b) && a[i] == b[i] {
		i++
	}
	from := max(0, i-80)
	return a[from:min(len(a), i+80)] + "\n" + b[from:min(len(b), i+80)]
}

func TestSettingsTypedWrong(t *testing.T) {
	b := planned(t)
	for _, tt := range []struct{ page, field, text, words string }{
		{"/plant/settings/corrugator", "corrugator.limits.side_trim_min_mm", "wide", "is not a length"},
		{"/plant/settings/corrugator", "corrugator.limits.webs_mm", "2500; 1400", "webs must rise"},
		{"/plant/settings/corrugator", "corrugator.average_factor", "7", "must be from 0.05 to 1"},
		{"/plant/settings/calendar", "calendar.shifts[0].start", "25:00", "must be a time of day"},
		{"/plant/settings/crews", "crews[0].shift", "noon", "is not among the shifts"},
		{"/plant/settings/floor", "floor_lanes[0].length_m", "0.1", "must be from 0.5"},
		{"/plant/settings/freezes", "freezes[0].area", "yard", "is not among the areas"},
		{"/plant/settings/supplies", "supplies[0].paper", "NONE", "is not among the papers"},
		{"/plant/settings/board", "papers[0].grammage_gsm", "42", "did you mean 42 lb/MSF (205 g/m²)?"},
		{"/plant/machines/FFG-1", "machines[0].loss.running_pct", "80", "must be from 0 to 50"},
		{"/plant/machines/FFG-1", "machines[0].shifts", "early; dusk", "is not among the shifts"},
	} {
		form := b.formOf(tt.page)
		form.Set(tt.field, tt.text)
		w := b.post(tt.page, form)
		body := w.Body.String()
		if w.Code != http.StatusUnprocessableEntity || !strings.Contains(body, tt.words) || !strings.Contains(body, `value="`+tt.text+`"`) {
			t.Errorf("%s %s: status %d, says %q", tt.page, tt.field, w.Code, alert(t, body))
		}
		for _, f := range parse(t, body).faults() {
			t.Errorf("%s: %s", tt.page, f)
		}
	}
}

func TestSettingsByForm(t *testing.T) {
	b := planned(t)
	s, err := b.Snapshot(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	had := len(s.Plant.FloorLanes)
	at := func(n int, field string) string { return fmt.Sprintf("floor_lanes[%d].%s", n, field) }
	form := b.formOf("/plant/settings/floor")
	form.Set(at(had, "lane"), "X1")
	form.Set(at(had, "length_m"), "32")
	form.Set(at(had+2, "lane"), "X2") // the row between stays empty
	form.Set(at(had+2, "length_m"), "30.5 m")
	form.Set("why", "measured")
	if w := b.post("/plant/settings/floor", form); w.Code != http.StatusSeeOther {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	form.Set(at(had, "length_m"), "33")
	w := b.post("/plant/settings/floor", form) // a second desk, on the first version
	if said := alert(t, w.Body.String()); w.Code != http.StatusConflict || !strings.Contains(said, "not saved") || !strings.Contains(said, "Length, m stands at 32 now; yours is 33") {
		t.Errorf("status %d: %s", w.Code, said)
	}
	s, err = b.Snapshot(t.Context())
	if err != nil || len(s.Plant.FloorLanes) != had+2 || s.Plant.FloorLanes[had+1].Length.Metres() != 30.5 {
		t.Fatalf("%+v, %v", s.Plant.FloorLanes, err)
	}
	form = b.formOf("/plant/settings/floor")
	for name := range form {
		if strings.HasPrefix(name, at(had, "")) {
			form.Set(name, "")
		}
	}
	if w := b.post("/plant/settings/floor", form); w.Code != http.StatusSeeOther {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	if s, _ = b.Snapshot(t.Context()); len(s.Plant.FloorLanes) != had+1 || s.Plant.FloorLanes[had].Lane != "X2" {
		t.Errorf("%+v", s.Plant.FloorLanes)
	}
	b.says("/plant", "measured")
	machine := b.formOf("/plant/machines/new")
	for name, v := range map[string]string{"machine": "FFG-9", "plan_speed_per_h": "9,000", "max_colours": "2", "cost_per_h": "120"} {
		for field := range machine {
			if strings.HasSuffix(field, "]."+name) {
				machine.Set(field, v)
			}
		}
	}
	if w := b.post("/plant/machines/new", machine); w.Code != http.StatusSeeOther {
		t.Fatalf("status %d: %s", w.Code, alert(t, w.Body.String()))
	}
	b.says("/plant", "FFG-9")
	gone := b.formOf("/plant/machines/FFG-9")
	gone.Set("remove", "1")
	if w := b.post("/plant/machines/FFG-9", gone); w.Code != http.StatusSeeOther {
		t.Fatalf("status %d: %s", w.Code, alert(t, w.Body.String()))
	}
	named := ""
	for _, i := range s.Items {
		if len(i.Route) > 0 {
			named = "/plant/machines/" + string(i.Route[0])
		}
	}
	used := b.formOf(named)
	used.Set("remove", "1")
	if w := b.post(named, used); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "is not among the machines") {
		t.Errorf("a machine that items name: status %d", w.Code)
	}
}

func TestAllowancesAreSigned(t *testing.T) {
	b := planned(t)
	form := b.formOf("/plant/settings/allowances")
	form.Set("allowances[0].panel_add", "4.5")
	if w := b.post("/plant/settings/allowances", form); w.Code != http.StatusSeeOther {
		t.Fatalf("status %d: %s", w.Code, alert(t, w.Body.String()))
	}
	s, err := b.Snapshot(t.Context())
	if err != nil || s.Plant.Allowances[0].Since.IsZero() || s.Plant.Allowances[0].Author != "desk" || s.Plant.Allowances[1].Author == "desk" {
		t.Errorf("%+v, %v", s.Plant.Allowances[:2], err)
	}
}
