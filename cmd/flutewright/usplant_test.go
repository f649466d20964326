package main

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"
)

// TestANewcomersFirstDayInTheUS is one story: an empty book becomes a US plant
// with a 98-inch machine, one knife, six webs, ten-hour shifts on four days and
// two of three presses crewed, and takes its orders. Figures by hand, beside each.
//
// It begins on several days, for closed days, weekends, dock hours and the nights
// in which the clocks change fall otherwise on each. The first day is told whole,
// from the others what no calendar touches is left out.
func TestANewcomersFirstDayInTheUS(t *testing.T) {
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	for n, begins := range []string{
		"2030-03-04 08:10", // Monday of the week whose night of Saturday loses an hour
		"2030-06-04 07:30", // Tuesday
		"2029-12-28 11:00", // Friday, and another year before the week is over
		"2030-10-31 13:00", // Thursday before the night that gains an hour
		"2030-11-03 01:30", // that night: the first or the second half past one
	} {
		at, err := time.ParseInLocation("2006-01-02 15:04", begins, zone)
		if err != nil {
			t.Fatal(err)
		}
		t.Run(at.Format("Monday 2 January 2006"), func(t *testing.T) {
			t.Parallel()
			firstDayInTheUS(openUSDesk(t, at), n == 0)
		})
	}
}

// firstDayInTheUS tells the story, whole or only what a calendar touches.
func firstDayInTheUS(d *usDesk, whole bool) {
	t := d.t
	t.Helper()
	d.says("1", "/", "The book is empty")
	if p := d.send("/start", map[string]string{"from": "template", "name": "Copper Ridge Box"}); p.status != http.StatusOK {
		t.Fatalf("step 1: status %d: %s", p.status, p.words)
	}
	d.units()
	d.shifts()
	d.corrugator()
	d.papers()
	d.allowances()
	d.packing()
	d.box()
	d.rolls()
	d.orders()
	d.floor()
	made := d.plan()
	if whole {
		d.whyThisWeb(made)
		d.byOwnWill(made)
		d.paper(made)
		d.short(made)
	}
	made = d.closedDay()
	if whole {
		d.remake(made)
	}
	d.dock(made)
	if whole {
		d.colleague()
	}
	d.promises()
	if whole {
		d.moved(made)
	}
}

// display sets how values are shown.
func (d *usDesk) display(fill map[string]string) {
	d.t.Helper()
	form := d.form("/plant")
	for k, v := range fill {
		form.Set(k, v)
	}
	if p := d.post("/plant/display", form); p.status != http.StatusOK {
		d.t.Fatalf("display: status %d: %s", p.status, p.words)
	}
}

// inMetric looks at the same plant in metric units.
func (d *usDesk) inMetric(look func()) {
	d.t.Helper()
	d.display(map[string]string{"units": "metric"})
	look()
	d.display(map[string]string{"units": "us"})
}

// units is step 2: every page follows, and switching back changes no stored value.
func (d *usDesk) units() {
	us := map[string]string{"units": "us", "inch_parts": "16", "currency": "USD", "page": "Letter", "dates": "mdy"}
	metric := map[string]string{"units": "metric", "inch_parts": "16", "currency": "USD", "page": "Letter", "dates": "ymd"}
	before := d.form("/plant/settings/corrugator")
	d.display(us)
	d.says("2", "/plant/settings/corrugator", "Webs, in", "Least run, ft", "USD")
	d.says("2", "/board", "lb/MSF", "USD/short ton", "USD/MSF")
	d.display(metric)
	after := d.form("/plant/settings/corrugator")
	for name := range before {
		if name != "version" && before.Get(name) != after.Get(name) && !strings.Contains(name, "cost") {
			d.t.Errorf("step 2: %s was %q and is %q after switching there and back", name, before.Get(name), after.Get(name))
		}
	}
	d.display(us)
}

// shifts are ten hours of day and ten of night on four days a week.
func (d *usDesk) shifts() {
	d.t.Helper()
	const times = "/plant/settings/calendar"
	days := d.nextRow(times, "calendar.shifts", "shift")
	d.save(times, map[string]string{days + "shift": "days", days + "start": "06:00", days + "end": "16:00"})
	nights := d.nextRow(times, "calendar.shifts", "shift")
	d.save(times, map[string]string{
		nights + "shift": "nights", nights + "start": "20:00", nights + "end": "06:00",
		"calendar.zone": "America/New_York", "calendar.working_days": "Mon; Tue; Wed; Thu",
	})
}

// corrugator is step 3, and the presses.
func (d *usDesk) corrugator() {
	const page = "/plant/settings/corrugator"
	d.save(page, map[string]string{
		"corrugator.limits.webs_mm": "72; 78; 84; 87; 93; 98", "corrugator.shifts": "days; nights",
		"corrugator.limits.side_trim_min_mm": "1/2", "corrugator.limits.side_trim_max_mm": "4",
		"corrugator.limits.knife_levels": "1", "corrugator.limits.outs_by_level": "",
	})
	form := d.form(page)
	for name, want := range map[string]string{"webs_mm": "72; 78; 84; 87; 93; 98", "side_trim_min_mm": "1/2", "side_trim_max_mm": "4", "knife_levels": "1"} {
		if got := form.Get("corrugator.limits." + name); got != want {
			d.t.Errorf("step 3: %s is %q, want %q", name, got, want)
		}
	}
	p := d.try(page, map[string]string{"corrugator.limits.side_trim_min_mm": "5"})
	if p.status != http.StatusUnprocessableEntity {
		d.t.Errorf("step 3: a least trim above the most: status %d", p.status)
	}
	d.holds("3", p, "Side trim most, in: 4 in must be from 5 in to") // 4 in are 101.6 mm
	for _, code := range []string{"FFG-3", "RDC-2", "SFG-1"} {
		at := "/plant/machines/" + code
		form := d.form(at)
		form.Set("remove", "1")
		if p := d.post(at, form); p.status != http.StatusOK {
			d.t.Fatalf("step 3: %s: status %d: %s", code, p.status, p.words)
		}
	}
	for n, shifts := range []string{"days; nights", "", "days; nights"} { // FFG-1, FFG-2, RDC-1: two of three are crewed
		code := []string{"FFG-1", "FFG-2", "RDC-1"}[n]
		d.save("/plant/machines/"+code, map[string]string{fmt.Sprintf("machines[%d].shifts", n): shifts})
	}
	const times = "/plant/settings/calendar"
	gone := map[string]string{}
	for _, shift := range []string{"early", "late", "night"} {
		at := d.rowOf(times, "calendar.shifts", "shift", shift)
		gone[at+"shift"], gone[at+"start"], gone[at+"end"] = "", "", ""
	}
	d.save(times, gone)
	d.says("3", "/plant", "days 06:00 to 16:00", "nights 20:00 to 06:00", "not manned")
}

// papers is steps 4 and 5: 35 lb/MSF are 170.9 g/m²; a C board of 35, 26 with a
// take-up of 1.43 and 35 weighs 35 + 26 × 1.43 + 35 = 107.18 lb/MSF.
func (d *usDesk) papers() {
	const page = "/plant/settings/board"
	liner := d.nextRow(page, "papers", "paper")
	row := map[string]string{liner + "paper": "L35", liner + "kind": "kraft liner", liner + "grammage_gsm": "205", liner + "caliper_mm": "10 pt", liner + "price_per_t": "620", liner + "webs_mm": "72; 78; 84; 87; 93; 98"}
	p := d.try(page, row)
	if p.status != http.StatusUnprocessableEntity {
		d.t.Fatalf("step 4: status %d", p.status)
	}
	d.holds("4", p, "205 is outside 20–100 lb/MSF; did you mean 205 g/m² (42 lb)?")
	row[liner+"grammage_gsm"] = "35"
	d.save(page, row)
	medium := d.nextRow(page, "papers", "paper")
	d.save(page, map[string]string{medium + "paper": "M26", medium + "kind": "recycled medium", medium + "grammage_gsm": "26", medium + "caliper_mm": "9 pt", medium + "price_per_t": "520", medium + "webs_mm": "72; 78; 84; 87; 93; 98"})
	grade := d.nextRow(page, "grades", "grade")
	flute := d.rowOf(page, "flutes", "flute", "C")
	d.save(page, map[string]string{
		flute + "take_up": "1.43",
		grade + "grade":   "C-32", grade + "flute": "C", grade + "plies": "L35/M26:C/L35", grade + "ect_stated_kn_m": "32", grade + "caliper_stated_mm": ".160",
	})
	d.says("5", "/board", "C-32 C L35 / M26 C / L35 107.2 0.160 32 stated")
	d.inMetric(func() { d.says("5", "/board", "C-32 C L35 / M26 C / L35 523 ") }) // 107.18 × 4.8824 g/m²
}

// allowances is step 6: signed and dated.
func (d *usDesk) allowances() {
	d.post("/who", url.Values{"who": {"Dana Ruiz"}})
	const page = "/plant/settings/allowances"
	at := d.rowOf(page, "allowances", "flute", "C")
	d.save(page, map[string]string{
		at + "panel_add": "3/16", at + "last_panel_less": "1/16", at + "depth_add": "3/8", at + "flap_add": "0", at + "glue_lap": "1-3/8",
		at + "round_up_to": "1/16", at + "caliper": ".160",
	})
	d.says("6", "/plant", "Dana Ruiz", "1 3/8")
}

// box is steps 7 and 8: 2 × (16 3/16 + 12 3/16) − 1/16 + 1 3/8 = 58 1/16 by
// 12 3/16 ÷ 2, rounded up, twice + 10 3/8 = 22 5/8; 9.12 ft². McKee's short
// formula: 5.87 × 32 × √(56 × 0.160) = 562 lbf.
func (d *usDesk) box() {
	if p := d.send("/plant/import", map[string]string{"kind": "customers", "pasted": "customer,name,road_mi,under_pct,over_pct,receives\nORCH,Orchard Fruit,25,5,5,Mon-Fri 07:00-15:00\nMILL,Mill Goods,75,0,10,\n"}); !strings.Contains(p.words, "2 new") {
		d.t.Fatalf("customers: %s", p.words)
	}
	d.says("7", "/plant/import", "item, style, inside_length_in, inside_width_in, inside_height_in, grade; chop_in", "length_ft, diameter_in or mass_lb", "road_mi")
	d.says("7", "/orders/customers", "ORCH Orchard Fruit 25 5.0 5.0")
	if p := d.send("/plant/import", map[string]string{"kind": "items", "pasted": "item,customer,style,inside_length_in,inside_width_in,inside_height_in,grade\nA-100,ORCH,0201,16,12,10,C-32\n"}); !strings.Contains(p.words, "1 new") {
		d.t.Fatalf("step 7: %s", p.words)
	}
	d.says("7", "/boxes/A-100", "16 × 12 × 10 in", "58 1/16 × 22 5/8 in, 9.12 ft²", "about 562 lbf", "ECT 32 lb/in (stated) and caliper 0.160 in")
	d.inMetric(func() { d.says("7", "/boxes/A-100", "about 2,501 N") })
	d.save("/boxes/A-100", map[string]string{"chop": "58", "slit": "22 1/2", "scores": ""})
	d.says("8", "/boxes/A-100", "approved, rules 58 22 1/2", "by formula 58 1/16 22 5/8", "approved less formula -1/16 -1/8")
}

// rolls is step 9: π (50² − 4²) ÷ 4 ÷ 0.010 in = 16,258 ft; × 93 in × 35 lb/MSF = 4,410 lb.
func (d *usDesk) rolls() {
	var b strings.Builder
	b.WriteString("roll\tpaper\twidth_in\tdiameter_in\tcore_in\tlength_ft\n")
	for n := range 300 {
		length := ""
		if n == 7 {
			length = "18,000" // 11 % more than its diameter holds
		}
		fmt.Fprintf(&b, "R%03d\tL35\t93\t50\t4\t%s\n", n+1, length)
	}
	p := d.send("/plant/import", map[string]string{"kind": "rolls", "pasted": b.String()})
	d.holds("9", p, "300 new", "none waiting", "roll R008")
	d.says("9", "/rolls/house", "300 rolls", "R001 L35 93 16,258 4,410")
	var m strings.Builder
	m.WriteString("roll,paper,width_in,length_ft\n")
	for n := range 40 {
		fmt.Fprintf(&m, "M%03d,M26,93,20000\nX%03d,L35,98,16000\nY%03d,M26,98,20000\n", n+1, n+1, n+1)
	}
	if p := d.send("/plant/import", map[string]string{"kind": "rolls", "pasted": m.String()}); !strings.Contains(p.words, "120 new") {
		d.t.Fatalf("step 9: %s", p.words)
	}
}

// usOrders is the order file: 40 lines, 11 overdue and 3 that cannot be read.
func usOrders(now time.Time) []string {
	rows := []string{"order,line,customer,item,due,quantity,style,inside_length_in,inside_width_in,inside_height_in,grade"}
	day := func(n int) string { return now.AddDate(0, 0, n).Format("1/2/2006") }
	for n := range 11 {
		rows = append(rows, fmt.Sprintf("00450%d,1,ORCH,A-100,%s,2500,,,,,", n, day(-2-n)))
	}
	rows = append(rows,
		fmt.Sprintf("004512,1,ORCH,A-100,%s,\"5,000\",,,,,", day(9)),
		fmt.Sprintf("004512,2,ORCH,A-200,%s,3000,0201,16 3/16,12 1/4,8,C-32", day(9)),
		fmt.Sprintf("004513,1,ORCH,A-300,%s,3000,0201,16-Mar,12,8,C-32", day(9)),
		fmt.Sprintf("004514,1,ORCH,A-100,%s,many,,,,,", day(9)),
		fmt.Sprintf("004515,1,NOBODY,A-100,%s,100,,,,,", day(9)),
	)
	for n := range 24 {
		rows = append(rows, fmt.Sprintf("00452%02d,1,MILL,A-100,%s,%d,,,,,", n, day(4+n%12), 1500+100*n))
	}
	return rows
}

// orders is steps 10 and 11.
func (d *usDesk) orders() {
	now := d.clock()
	rows := usOrders(now)
	const unsure = "order,customer,item,due,quantity\nZ1,ORCH,A-100,3/4/2031,100\nZ2,ORCH,A-100,3/5/2031,100\n"
	d.display(map[string]string{"dates": "ymd"})
	ask := d.send("/orders/import", map[string]string{"pasted": unsure})
	d.holds("10", ask, "0 new", "2 waiting")
	if n := strings.Count(ask.words, "Is the day or the month first"); n != 1 {
		d.t.Errorf("step 10: asked %d times about the order of day and month", n)
	}
	d.display(map[string]string{"dates": "mdy"}) // the month stands first in this plant
	d.holds("10", d.send("/orders/import", map[string]string{"pasted": unsure}), "2 new", "none waiting")
	review := d.send("/orders/import", map[string]string{"pasted": strings.Join(rows, "\n")})
	d.holds("10", review, "37 new", "3 waiting", "inside_length", "16-Mar", "a spreadsheet has made a day of it", "many", "NOBODY", "004512/2/1", "11 new lines are overdue already")
	d.confirm(review, "new")
	d.says("10", "/orders?q=0045", "004512", "5,000")
	if p := d.get("/orders?q=0045"); strings.Contains(p.words, " 4512") {
		d.t.Error("step 10: the zeros were lost")
	}
	var changed []string
	for n, r := range rows {
		if n != 20 && n != 22 { // two lines are gone
			changed = append(changed, r)
		}
	}
	for n := range 5 {
		changed[len(changed)-1-n] = strings.Replace(changed[len(changed)-1-n], "MILL,A-100", "ORCH,A-100", 1)
	}
	again := d.send("/orders/import", map[string]string{"pasted": strings.Join(changed, "\n")})
	d.holds("11", again, "0 new, 5 changed, 2 gone, 30 the same; 3 waiting", "customer MILL → ORCH")
	d.confirm(again, "changed", "gone")
	d.says("11", "/orders", "35 lines of")
}
