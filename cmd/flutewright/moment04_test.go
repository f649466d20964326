package main

import (
	"regexp"
	"strconv"
	"strings"
	"time"

	"github.com/chromedp/chromedp"
)

func init() {
	moments = append(moments,
		moment{"04 FFG-2 is down until 13:00, what now", demoHour(0, 9, 20), func(w *walk) {
			w.event("machine+down", 3*time.Second, "#f-machine", "FFG-2", "#f-until", "2031-03-03T13:00")
			ways := w.ways()
			if len(ways) < 3 {
				w.Errorf("%d ways on, want three: %v", len(ways), ways)
			}
			if !strings.HasPrefix(ways[0], "Do nothing: what waits for FFG-2 waits until Mon 13:00") {
				w.Errorf("doing nothing does not stand first: %s", ways[0])
			}
			w.says("main", "Decide by", "Late", "EUR", "locks it out first",
				"J1005 from FFG-2 to FFG-1", "11 min + 98 min on FFG-1", "feed 1,020 > 760 mm")
		}},
		moment{"08 J1002 has 11,350 good of at least 11,400", demoHour(0, 15, 10), func(w *walk) {
			w.event("order+short", 2*time.Second, "#f-order", "J1002", "#f-good", "11350")
			if ways := w.ways(); len(ways) < 3 {
				w.Errorf("%d ways on, want three: %v", len(ways), ways)
			}
			w.says("main", "op up 630 sheets, 120 m × 5 outs on 1800 mm")
			// A run of the least 120 m cuts 126 sheets an out; how many outs is the price of the web that is there.
			if up := regexp.MustCompile(`Top up (\d+) sheets, 120 m × (\d) outs`).FindStringSubmatch(w.read("main")); up == nil {
				w.Error("no topping up on 120 m")
			} else if sheets, outs := up[1], up[2]; sheets != strconv.Itoa(126*int(outs[0]-'0')) {
				w.Errorf("%s sheets on %s outs", sheets, outs)
			}
			w.says("main", "EUR", "Decide by")
			w.says("#way-0", "50 under the least of 11,400", "a name must stand for it")
			needed, err := chromedp.Run(w.tab, chromedp.Evaluate[bool](`document.querySelector("#way-0 input[name=by]").required`))
			if err != nil || !needed {
				w.Errorf("shipping 50 short does not ask for a name (%v)", err)
			}
		}})
}

// event states an event of a kind with its fields (selector, value, selector,
// value …) and logs how long the desk took to answer.
func (w *walk) event(kind string, wanted time.Duration, fields ...string) {
	w.Helper()
	w.open("/event?kind=" + kind)
	for i := 0; i < len(fields); i += 2 {
		w.fill(fields[i], fields[i+1])
	}
	begun := time.Now()
	w.click(`//button[. = "Show the ways on"]`)
	w.wait("#way-0")
	w.Logf("answered in %v, of %v: %s", time.Since(begun).Round(time.Millisecond), wanted, w.read("p.lead"))
}

// ways are the titles of the ways on, as they stand in the table.
func (w *walk) ways() []string {
	w.Helper()
	titles, err := chromedp.Run(w.tab, chromedp.Evaluate[[]string](`[...document.querySelectorAll("tbody th.words")].map(e => e.innerText)`))
	if err != nil || len(titles) < 2 {
		w.Fatalf("ways on: %v (%v)", titles, err)
	}
	w.Logf("ways on: %s", strings.Join(titles, " | "))
	return titles
}
