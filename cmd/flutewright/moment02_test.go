package main

import (
	"regexp"
	"strings"
	"time"

	"github.com/chromedp/chromedp"
)

func init() {
	moments = append(moments, moment{"02 is every run to 14:00 covered by named usable rolls", demoHour(0, 6, 10), func(w *walk) {
		begun := time.Now()
		w.open("/rolls/cover")
		lead := w.read("p.lead")
		w.Logf("answered in %v, of 3 s", time.Since(begun).Round(time.Millisecond))
		if !regexp.MustCompile(`^[\d,]+ m are not covered`).MatchString(lead) || !strings.Contains(lead, "14:00") {
			w.Errorf("no number first, or not to 14:00: %s", lead)
		}
		w.says("main", "TL140 at 2350 mm: 0 m in the house until Tue 4 Mar 07:00")
		row, err := chromedp.Run(w.tab, chromedp.Evaluate[string](`[...document.querySelectorAll("tbody tr")].map(r => r.innerText).find(t => t.startsWith("B-ST\t2200\t")) || ""`))
		if err != nil || row != "" && (!strings.Contains(row, "8,966") || !strings.Contains(row, "twice")) { // where B-ST is run by then
			w.Errorf("B-ST at 2200: %q (%v)", row, err)
		}
		w.open("/rolls/cover?until=2031-03-07T06:00") // all that is planned: B-ST is among it
		w.says("main", "8,966", "twice")
		w.sideways("/rolls/cover")
	}})
}
