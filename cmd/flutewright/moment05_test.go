package main

import (
	"fmt"
	"strings"
	"time"

	"github.com/chromedp/chromedp"
)

func init() {
	moments = append(moments, moment{"05 what paper must I call off by noon", demoHour(0, 11, 0), func(w *walk) {
		// The demo lacks no paper that is not on its way: three of the four rolls of a medium turn out wet.
		w.holdRolls("held", "R0153", "R0154", "R0155")
		defer w.holdRolls("released from hold", "R0153", "R0154", "R0155")
		begun := time.Now()
		w.open("/rolls")
		w.Logf("answered in %v, of 2 s", time.Since(begun).Round(time.Millisecond))
		w.wait("#calls")
		rows, err := chromedp.Run(w.tab, chromedp.Evaluate[[]string](`(() => {
			const said = [];
			for (let el = document.getElementById("calls").nextElementSibling; el && el.tagName !== "H2"; el = el.nextElementSibling)
				for (const r of el.querySelectorAll("tbody tr, li")) said.push(r.innerText);
			return said;
		})()`))
		if err != nil {
			w.Fatal(err)
		}
		called, said := 0, false
		for _, r := range rows {
			spared := strings.Contains(r, "not on the list")
			if !spared {
				called++
			}
			if strings.Contains(r, "RM095") {
				said = said || spared || strings.Contains(r, "Tarnholm Medium") && strings.Contains(r, "missing from")
			}
		}
		if called > 15 {
			w.Errorf("%d rows, want at most 15", called)
		}
		if !said {
			w.Errorf("RM095 at 2200 is neither called off nor covered by another width:\n%s", strings.Join(rows, "\n"))
		}
		w.sideways("/rolls")
	}})
}

// holdRolls tells that rolls are on hold, or not any more.
func (w *walk) holdRolls(kind string, rolls ...string) {
	w.Helper()
	for _, r := range rolls {
		status, err := chromedp.Run(w.tab, chromedp.Evaluate[int](fmt.Sprintf(`fetch("/api/facts", {method: "POST", headers: {"Content-Type": "application/json"},
			body: JSON.stringify({fact: %q, at: "2031-03-03T11:00:00Z", kind: %q, source: "test", roll: %q, reason: "wet"})}).then(a => a.status)`,
			r+" "+kind, kind, r), chromedp.EvalAwaitPromise))
		if err != nil || status >= 300 {
			w.Fatalf("%s %s: status %d (%v)", r, kind, status, err)
		}
	}
}
