package main

import (
	"fmt"
	"strconv"
	"time"

	"github.com/chromedp/chromedp"
)

func init() {
	moments = append(moments, moment{"07 what do I set next, which count ends the run", demoHour(0, 14, 0), dryEnd})
}

func dryEnd(w *walk) {
	w.open("/crew/dry")
	w.wait(`//h2[contains(., "Set next: run 1")]`)
	w.click(`//button[. = "Run 1 started"]`) // by the module: no page is loaded
	w.wait(`//p[@class="onnow"][contains(., "run 1") and contains(., "It ends at")]`)
	w.says("h2", "Set next: run 2")
	for _, name := range []string{"slit, mm", "chop, mm", "ends at, cuts", "next change"} {
		w.says("dl.big", name)
	}
	n, err := chromedp.Run(w.tab, chromedp.Evaluate[int](`document.querySelectorAll("dl.big > div").length`))
	if err != nil || n != 4 {
		w.Errorf("%d numbers, want four (%v)", n, err)
	}
	// Read at two metres: a figure of a 200th of the distance is 10 mm, 38 px of
	// 96 to the inch (common practice, no published source).
	small, err := chromedp.Run(w.tab, chromedp.Evaluate[float64](`Math.min(...[...document.querySelectorAll("dl.big b")].map(b => parseFloat(getComputedStyle(b).fontSize)))`))
	if err != nil || small < 38 {
		w.Errorf("the smallest of the four is %v px (%v)", small, err)
	}
	least, err := chromedp.Run(w.tab, chromedp.Evaluate[float64](`Math.min(...[...document.querySelectorAll(".touch a, main button")].flatMap(b => [b.offsetHeight, b.offsetWidth]))`))
	if err != nil || least < 48 {
		w.Errorf("a target of %v px is too small for a finger (%v)", least, err)
	}
	pictures, err := chromedp.Run(w.tab, chromedp.Evaluate[int](`document.querySelectorAll("figure svg").length`))
	if err != nil || pictures != 1 {
		w.Errorf("%d pictures, want one (%v)", pictures, err)
	}
	w.renews()
	w.marksOldData()
	w.keepsWhatWasTyped()
	for _, path := range []string{"/crew", "/crew/dry", "/crew/wet", "/crew/FFG-1", "/crew/FFG-1/tell?what=good&key=J1024"} {
		w.sideways(path)
	}
}

// renews waits until the screen shows what another tablet told, by itself.
func (w *walk) renews() {
	w.Helper()
	w.do(chromedp.Evaluate[chromedp.Void](`document.querySelector("[data-live]").dataset.before = "yes"`))
	w.wait(`//*[@data-live and not(@data-before)]`)
}

// keepsWhatWasTyped types counts without the desk, closes the page and opens
// another: both are sent, in the order in which they were typed, and once. One that
// the desk refuses stays, with the reason, until whoever typed it has seen it.
func (w *walk) keepsWhatWasTyped() {
	w.Helper()
	const form = "/crew/FFG-1/tell?what=good&key=J1024"
	w.open(form)
	w.do(chromedp.Evaluate[chromedp.Void](`window.fetch = () => Promise.reject(new TypeError("no connection"))`))
	for n, good := range []string{"130", "0", "170"} { // nothing counted is no count
		w.fill("#f-good", good)
		w.click(`//button[. = "Keep it"]`)
		w.wait(fmt.Sprintf(`//p[@id="unsent"][contains(., "Good boxes %s")]`, good))
		if n == 2 {
			w.says("#unsent", "3 typed facts wait on this tablet: J1024 good Good boxes 130; J1024 good Good boxes 0; J1024 good Good boxes 170")
		}
	}
	w.do(chromedp.Evaluate[chromedp.Void](`Storage.prototype.kept = Storage.prototype.setItem; Storage.prototype.setItem = () => { throw new DOMException("full", "QuotaExceededError") }`))
	w.fill("#f-good", "190")
	w.click(`//button[. = "Keep it"]`) // the browser's room is full: the page keeps it, and says so
	w.wait(`//p[@id="unsent"][contains(., "Good boxes 190") and contains(., "as long as this page stays open")]`)
	w.do(chromedp.Evaluate[chromedp.Void](`Storage.prototype.setItem = Storage.prototype.kept`))
	w.fill("#f-good", "210")
	w.click(`//button[. = "Keep it"]`) // there is room again, for both
	w.wait(`//p[@id="unsent"][contains(., "Good boxes 190") and contains(., "Good boxes 210") and contains(., "closed and opened again")]`)
	w.open("/crew/FFG-1") // the page that held them is gone
	w.wait("#refused")
	w.says("#refused", "Not taken: J1024 good Good boxes 0.", "must be")
	w.wait(`//p[@role="status"][contains(., "J1024, job counted")]`)
	told, err := chromedp.Run(w.tab, chromedp.Evaluate[string](`fetch("/api/facts?machine=FFG-1").then(r => r.json()).then(a => (a.facts || a).filter(f => f.kind === "job counted").map(f => f.good).reverse().join())`, chromedp.EvalAwaitPromise))
	if err != nil || told != "130,170,190,210" {
		w.Errorf("the ledger has the counts %q, want 130,170,190,210 (%v)", told, err)
	}
	w.click(`//button[. = "Seen, take it away"]`)
	w.open("/crew/FFG-1")
	gone, err := chromedp.Run(w.tab, chromedp.Evaluate[bool](`document.getElementById("refused").hidden && !localStorage.getItem("flutewright.told")`))
	if err != nil || !gone {
		w.Errorf("what was refused and seen is still kept (%v)", err)
	}
}

// marksOldData takes the desk away from the tablet: what is shown is marked
// after five seconds, what is told stays and is sent again when the desk is back.
func (w *walk) marksOldData() {
	w.Helper()
	w.do(chromedp.Evaluate[chromedp.Void](`window.fetched = window.fetch; window.fetch = () => Promise.reject(new TypeError("no connection"))`))
	// the tablet's clock is put on, so that nobody waits five seconds here
	w.do(chromedp.Evaluate[chromedp.Void](`window.real = performance.now.bind(performance); performance.now = () => window.real() + 2000`), chromedp.Sleep(700*time.Millisecond))
	if early, err := chromedp.Run(w.tab, chromedp.Evaluate[bool](`!document.getElementById("old").hidden`)); err != nil || early {
		w.Errorf("marked as old too early (%v)", err)
	}
	w.do(chromedp.Evaluate[chromedp.Void](`performance.now = () => window.real() + 5100`))
	w.wait(`#old`)
	w.says("#old", "may be wrong")
	w.click(`//a[. = "It stands"]`) // another page has the network again: take it away there
	w.wait(`//h1[contains(., "stands")]`)
	w.do(chromedp.Evaluate[chromedp.Void](`window.fetched = window.fetch; window.fetch = () => Promise.reject(new TypeError("no connection"))`))
	w.fill("#f-reason", "belt")
	w.click(`//button[. = "Keep it"]`)
	w.wait("#unsent")
	w.says("#unsent", "One typed fact waits on this tablet: stopped Cause belt")
	w.do(chromedp.Evaluate[chromedp.Void](`window.fetch = window.fetched`))
	w.wait(`//p[@class="halt"][contains(., "belt")]`) // sent again by itself
	w.says("[role=status]", "machine stopped")
	w.click(`//button[. = "It runs again"]`)
	w.wait(`//a[. = "It stands"]`)
	stops, err := chromedp.Run(w.tab, chromedp.Evaluate[int](`fetch("/api/facts?machine=CORR-1").then(r => r.json()).then(a => (a.facts || a).filter(f => f.kind === "machine stopped").length)`, chromedp.EvalAwaitPromise))
	if err != nil || stops != 1 {
		w.Errorf("the stop is in the ledger %s times, want once (%v)", strconv.Itoa(stops), err)
	}
}
