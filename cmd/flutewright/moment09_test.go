package main

import (
	"regexp"
	"strings"

	"github.com/chromedp/chromedp"
)

func init() {
	moments = append(moments, moment{"09 when is the sheet floor full, which run do I defer", demoHour(0, 23, 0), func(w *walk) {
		w.open("/floor/lanes")
		lead := w.read("p.lead")
		if !regexp.MustCompile(`\d\d:\d\d`).MatchString(lead) {
			w.Errorf("no clock time: %s", lead)
		}
		if strings.Contains(lead, "full") && !strings.Contains(lead, "not fill") && !strings.Contains(w.read("main"), "un ") {
			w.Errorf("full, and no run to put off: %s", lead)
		}
		curves, err := chromedp.Run(w.tab, chromedp.Evaluate[int](`document.querySelectorAll("main svg").length`))
		if err != nil || curves == 0 {
			w.Errorf("no curve of the fill (%v)", err)
		}
		w.sideways("/floor/lanes")
	}})
}
