package main

import (
	"strings"
	"time"

	"github.com/chromedp/chromedp"
)

func init() {
	moments = append(moments, moment{"01 what breaks today", demoHour(0, 6, 0), func(w *walk) {
		begun := time.Now()
		w.open("/")
		w.says("ol.notices",
			"J1039", "new since Mon 05:40", "2,522 EUR",
			"TL140 at 2350 mm: 0 m until Tue 07:00",
			"R0076", "15,971 m of it are free",
			"RDC-1 is out Mon 07:30 to 10:30")
		w.Logf("answered in %v, of 2 s", time.Since(begun).Round(time.Millisecond))
		said, err := chromedp.Run(w.tab, chromedp.Evaluate[[]string](`[...document.querySelectorAll("main > ol.notices > li")].map(li => li.innerText)`))
		if err != nil {
			w.Fatal(err)
		}
		if len(said) == 0 || len(said) > 7 {
			w.Errorf("%d sentences, want 1 to 7", len(said))
		}
		for i, s := range said {
			for _, minor := range []string{"tool", "calendar", "load", "strength", "kit"} {
				if strings.HasPrefix(s, minor) && i < 4 {
					w.Errorf("%s stands at %d, above what breaks today", minor, i+1)
				}
			}
		}
		w.click(`//ol[@class="notices"]//a[contains(., "J1039")]`) // where it is decided
		w.wait(`//h1[contains(., "J1039")]`)
		w.sideways("/")
	}})
}
