package main

import (
	"time"

	"github.com/chromedp/chromedp"
)

func init() {
	moments = append(moments, moment{"06 the cheapest slot for this rush order", demoHour(0, 11, 40), func(w *walk) {
		w.event("rush+order", time.Second, "#f-order", "R6001", "#f-item", "FW-1039", "#f-quantity", "1500", "#f-due", "2031-03-04T12:00")
		w.ways()
		w.says("p.lead", "R6001")
		w.says("main", "dhesive", "Decide by")
		sections, err := chromedp.Run(w.tab, chromedp.Evaluate[int](`document.querySelectorAll("figure svg").length`))
		if err != nil || sections == 0 {
			w.Errorf("no web cross-section (%v)", err)
		}
		w.sideways("/event?kind=rush+order")
	}}, moment{"06 the rush order is refused when its hour has passed", demoHour(1, 3, 4), func(w *walk) {
		// FFG-3, 4 h of cure, 45 min of loading and 203 km lie before Tuesday 12:00: 03:03 was the last minute.
		w.event("rush+order", time.Second, "#f-order", "R6002", "#f-item", "FW-1039", "#f-quantity", "1500", "#f-due", "2031-03-04T12:00")
		w.says("p.lead", "R6002", "by way of FFG-3", "Tue 03:0", "its adhesive being water-resistant")
	}})
}
