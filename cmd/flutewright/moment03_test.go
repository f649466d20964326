package main

import (
	"regexp"
	"time"
)

func init() {
	moments = append(moments, moment{"03 12,000 at your dock Thursday 10:00", demoHour(0, 8, 40), func(w *walk) {
		begun := time.Now()
		w.open("/promise?item=FW-1002&quantity=12000&due=2031-03-06T10:00&due_at=dock")
		lead := w.read("p.lead")
		w.Logf("answered in %v, of 5 s: %s", time.Since(begun).Round(time.Millisecond), lead)
		if !regexp.MustCompile(`^(Yes|No)\b.*\d\d:\d\d`).MatchString(lead) {
			w.Errorf("neither yes nor no with a time: %s", lead)
		}
		w.says("main", "at the customer's dock", "Waits for", "corrugator", "press", "road", "No plan could have it there before", "chance")
		w.sideways("/promise?item=FW-1002&quantity=12000&due=2031-03-06T10:00&due_at=dock")
	}}, moment{"03 and if Wednesday's crew is taken off FFG-1", demoHour(2, 8, 40), func(w *walk) {
		w.open("/promise")
		w.fill("#f-item", "FW-1002")
		w.fill("#f-quantity", "12000")
		w.fill("#f-due", "2031-03-06T10:00")
		w.fill("#f-without", "FFG-1")
		w.fill("#f-without_on", "2031-03-05")
		w.click(`//button[. = "Answer"]`)
		w.wait("p.lead + p")
		w.Log(w.read("p.lead"))
		if what := w.read("p.lead + p"); !regexp.MustCompile(`^Taking Wednesday's crew off FFG-1 moves it to .* later`).MatchString(what) {
			w.Errorf("the crew is off, and the date stays: %s", what)
		} else {
			w.Log(what)
		}
	}})
}
