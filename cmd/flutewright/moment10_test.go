package main

import (
	"github.com/chromedp/chromedp"
)

func init() {
	moments = append(moments, moment{"10 what carries this fault, what may still go", demoHour(1, 2, 15), faultAtNight})
}

// faultAtNight: 1,600 boxes of J1005 have a gap; its truck is due at the customer's dock at 08:00.
func faultAtNight(w *walk) {
	w.open("/crew/FFG-1/tell?what=ended&key=J1005")
	w.fill("#f-good", "22000")
	w.click(`//button[. = "Keep it"]`)
	w.wait(`//p[@role="status"]`)
	w.open("/fault")
	w.fill("#f-key", "J1005")
	w.fill("#f-boxes", "1600")
	w.click(`//form[.//input[@name="boxes"]]//button`)
	w.wait(`//h1[contains(., "J1005")]`)
	w.says("p.lead", "boxes are free of 22,000", "1,600 carry the fault", "80 bundles of 20")
	w.says("#hold", "by Tue")
	w.says("#free", "by Tue")
	w.says("main", "FFG-1", "22,000 good told", "run ")
	w.fill("#f-reason", "gap over 12 mm")
	w.click(`//button[starts-with(., "Hold ")]`)
	w.wait(`//p[@role="status"]`)
	w.says("#hold", "on hold: gap over 12 mm")
	read := func(js string) string {
		text, err := chromedp.Run(w.tab, chromedp.Evaluate[string](js))
		if err != nil {
			w.Fatal(err)
		}
		return text
	}
	held := read(`document.querySelector("#hold tbody td").innerText`)
	onHeld := read(`document.querySelector("#hold tbody td:nth-child(4)").innerText.split(",")[0]`)
	free := read(`document.querySelector("#free tbody td").innerText`)
	onFree := read(`document.querySelector("#free tbody td:nth-child(4)").innerText.split(",")[0]`)
	w.open("/trucks/1/" + onHeld)
	w.fill("#f-unit", held)
	w.click(`//button[. = "Load it"]`)
	w.wait("#e-unit")
	w.says("#e-unit", held, "is on hold since", "gap over 12 mm", "it stays")
	w.open("/trucks/1/" + onFree)
	w.fill("#f-unit", free)
	w.click(`//button[. = "Load it"]`)
	w.wait(`//p[@role="status"]`)
	w.says("[role=status]", free, "is on truck "+onFree)
	w.open("/fault?key=J1005&boxes=1600")
	w.click(`//table[caption[starts-with(., "Rolls: as told")]]//a`)
	w.wait(`//h1[contains(., "What was made of roll")]`)
	w.says("main", "J1005")
	w.sideways("/fault?key=J1005&boxes=1600")
	w.sideways("/handover")
}
