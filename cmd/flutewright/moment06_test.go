package main

import (
	"time"

	"github.com/chromedp/chromedp"
)

func init() {
	moments = append(moments, moment{"06 the cheapest slot for this rush order", demoHour(0, 11, 40), func(w *walk) {
		w.event("rush+order", time.Second, "#f-order", "R6001", "#f-item", "FW-1039", "#f-quantity", "1500", "#f-due", "2031-03-04T12:00")
		w.ways()
		// The demo plant states no routes: that J1039 is refused after Tuesday 03:03 holds where FFG-3
		// is stated, in plan/whatnow.
		w.says("p.lead", "R6001")
		w.says("main", "dhesive", "Decide by")
		sections, err := chromedp.Run(w.tab, chromedp.Evaluate[int](`document.querySelectorAll("figure svg").length`))
		if err != nil || sections == 0 {
			w.Errorf("no web cross-section (%v)", err)
		}
		w.sideways("/event?kind=rush+order")
	}})
}
