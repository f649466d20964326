package main

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// TestAFirstDayByHand is the newcomer's day as a person does it in a browser,
// from the empty book to a truck: what TestANewcomersFirstDayInTheUS says in
// full over HTTP is here clicked and typed, page by page, at a tablet's width.
func TestAFirstDayByHand(t *testing.T) {
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	clock := runningFrom(time.Date(2030, 6, 4, 7, 30, 0, 0, zone))
	w := &walk{T: t}
	w.tab, w.said = browser(t)
	w.home = strings.TrimSuffix(servedAt(t, clock, "serve", "--data", t.TempDir(), "--listen", "127.0.0.1:0"), "/")
	w.do(chromedp.EmulateViewport(820, 1180))
	w.setUpByHand()
	w.bookByHand(clock().In(zone))
	w.planByHand()
	w.floorByHand()
	w.dockByHand()
	if text := w.complaints(); text != "" {
		t.Errorf("the browser complains:\n%s", text)
	}
}

// named is the field of a name.
func named(name string) string { return fmt.Sprintf(`[name=%q]`, name) }

// press clicks the button of these words.
func (w *walk) press(words string) {
	w.Helper()
	w.click(fmt.Sprintf(`//main//button[. = %q]`, words))
}

// paste puts a table into an import form and sends it.
func (w *walk) paste(page, kind, table, button string) {
	w.Helper()
	w.open(page)
	if kind != "" {
		w.fill("#f-kind", kind)
	}
	w.fill("#f-pasted", table)
	w.press(button)
}

// setUpByHand is steps 1, 2 and 4: the book is empty, units are chosen, and a
// liner of "205" lb/MSF is asked about.
func (w *walk) setUpByHand() {
	w.Helper()
	w.open("/")
	w.says("main", "The book is empty")
	w.fill("#f-name", "Copper Ridge Box")
	w.press("Begin from the template")
	w.wait(`//header[contains(., "Copper Ridge Box")]`)
	w.open("/plant")
	for name, v := range map[string]string{"units": "us", "inch_parts": "16", "currency": "USD", "page": "Letter", "dates": "mdy"} {
		w.fill("#f-"+name, v)
	}
	w.press("Show values so")
	w.wait(`[role="status"]`)
	w.open("/board")
	w.says("main", "lb/MSF", "USD/short ton")
	w.open("/plant/settings/board")
	row, err := chromedp.Run(w.tab, chromedp.Evaluate[string](`[...document.querySelectorAll("input")].find(i => /^papers\[\d+\]\.paper$/.test(i.name) && !i.value).name.replace(/paper$/, "")`))
	if err != nil {
		w.Fatal(err)
	}
	for name, v := range map[string]string{"paper": "L35", "kind": "kraft liner", "grammage_gsm": "205", "caliper_mm": "10 pt", "price_per_t": "620", "webs_mm": "78; 87"} {
		w.fill(named(row+name), v)
	}
	w.press("Save")
	w.wait(".amiss")
	w.says(".amiss", "205 is outside 20–100 lb/MSF; did you mean 205 g/m² (42 lb)?")
	w.fill(named(row+"grammage_gsm"), "35")
	w.press("Save")
	w.wait(`[role="status"]`)
}

// bookByHand is steps 7 and 10: a box, a customer, and orders of which one row cannot be read.
func (w *walk) bookByHand(now time.Time) {
	w.Helper()
	w.open("/plant/import")
	w.says("main", "item, style, inside_length_in, inside_width_in, inside_height_in, grade; chop_in", "length_ft, diameter_in or mass_lb", "road_mi")
	w.paste("/plant/import", "customers", "customer,name,road_mi,under_pct,over_pct\nORCH,Orchard Fruit,25,5,5\n", "Read and take in")
	w.wait(`//main[contains(., "1 new")]`)
	w.paste("/plant/import", "items", "item,customer,style,inside_length_in,inside_width_in,inside_height_in,grade\nA-100,ORCH,0201,16,12,10,C-ST\n", "Read and take in")
	w.wait(`//main[contains(., "1 new")]`)
	w.open("/boxes/A-100")
	w.says("main", "16 × 12 × 10 in", "lbf")
	rows := []string{"order,line,customer,item,due,quantity"}
	for n := range 6 {
		rows = append(rows, fmt.Sprintf("00451%d,1,ORCH,A-100,%s,\"%d,000\"", n, now.AddDate(0, 0, 6+n).Format("1/2/2006"), 3+n))
	}
	rows = append(rows, "004517,1,ORCH,A-100,tomorrow,many")
	w.paste("/orders/import", "", strings.Join(rows, "\n"), "Read it")
	w.wait(`//button[. = "Take in what is ticked"]`)
	w.says("main", "6 new", "1 waiting", "many")
	w.press("Take in what is ticked")
	w.wait(`[role="status"]`)
	w.open("/orders")
	w.says("main", "6 lines of", "004513", "6,000")
}

// planByHand is step 13: a plan, put in force everywhere.
func (w *walk) planByHand() {
	w.Helper()
	w.open("/plans")
	w.fill("#f-seconds", "1")
	w.press("Plan now")
	w.wait(`//main//button[. = "Put in force"]`)
	w.says("main", "6 of 6 orders planned", "USD", "that no plan of these orders can go below")
	w.do(chromedp.Evaluate[chromedp.Void](`document.querySelectorAll('input[name="area"]').forEach(b => b.checked = true)`))
	w.press("Put in force")
	w.wait(`[role="status"]`)
	w.sideways("/runs/1")
	w.do(chromedp.EmulateViewport(820, 1180))
	w.says("main", "operator side on the left", "in inches")
}

// floorByHand is steps 12 and 16, on the crews' screens: a run begins and ends,
// and a promise is asked for.
func (w *walk) floorByHand() {
	w.Helper()
	w.open("/crew/dry")
	w.press("Run 1 started")
	w.wait(`//p[@class="onnow"][contains(., "run 1")]`)
	w.click(`//a[contains(., "nded")]`)
	w.wait(`//h1[contains(., "ended")]`)
	w.press("Keep it")
	w.wait(`//p[@role="status"][contains(., "run ended")]`)
	w.open("/floor/counts")
	w.says("main", "00451")
	w.open("/promise?item=A-100&quantity=2000&due=2030-06-20T10:00&due_at=dock")
	w.says("p.lead", "Yes: at the customer's dock", "chance")
}

// dockByHand is step 19: a number that is no unit's is refused in words.
func (w *walk) dockByHand() {
	w.Helper()
	w.open("/trucks/1/1")
	w.fill("#f-unit", "NO-SUCH-UNIT")
	w.press("Load it")
	w.wait("#e-unit")
	w.says("#e-unit", "NO-SUCH-UNIT")
}
