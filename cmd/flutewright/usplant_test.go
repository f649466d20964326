package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"
)

// usDesk is a newcomer at the desk of an invented US plant: the program itself,
// spoken to over HTTP as a browser does.
type usDesk struct {
	t      *testing.T
	at     string
	client *http.Client
}

func openUSDesk(t *testing.T) *usDesk {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	at := served(t, "serve", "--data", t.TempDir(), "--listen", "127.0.0.1:0")
	return &usDesk{t, strings.TrimSuffix(at, "/"), &http.Client{Jar: jar, Timeout: time.Minute}}
}

// page is an answer: its status and what a reader sees of it.
type usPage struct {
	status int
	root   *html.Node
	words  string
	body   string
}

func (d *usDesk) read(r *http.Response, err error) usPage {
	d.t.Helper()
	if err != nil {
		d.t.Fatal(err)
	}
	defer r.Body.Close()
	body, err := io.ReadAll(r.Body)
	if err != nil {
		d.t.Fatal(err)
	}
	root, err := html.Parse(bytes.NewReader(body))
	if err != nil {
		d.t.Fatal(err)
	}
	var words strings.Builder
	for n := range root.Descendants() {
		if n.Type == html.TextNode && n.Parent.Data != "script" && n.Parent.Data != "style" {
			words.WriteString(n.Data + " ")
		}
	}
	return usPage{r.StatusCode, root, strings.Join(strings.Fields(words.String()), " "), string(body)}
}

func (d *usDesk) get(path string) usPage {
	d.t.Helper()
	return d.read(d.client.Get(d.at + path))
}

func (d *usDesk) post(path string, form url.Values) usPage {
	d.t.Helper()
	return d.read(d.client.PostForm(d.at+path, form))
}

// send pastes rows into an import form.
func (d *usDesk) send(path string, fields map[string]string) usPage {
	d.t.Helper()
	var b bytes.Buffer
	w := multipart.NewWriter(&b)
	for name, v := range fields {
		if err := w.WriteField(name, v); err != nil {
			d.t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		d.t.Fatal(err)
	}
	return d.read(d.client.Post(d.at+path, w.FormDataContentType(), &b))
}

// form returns the fields of a page as a browser would send them, untouched.
func (d *usDesk) form(path string) url.Values {
	d.t.Helper()
	out := url.Values{}
	attr := func(n *html.Node, name string) string {
		for _, a := range n.Attr {
			if a.Key == name {
				return a.Val
			}
		}
		return ""
	}
	for n := range d.get(path).root.Descendants() {
		name := attr(n, "name")
		switch {
		case name == "" || name == "who":
		case n.Data == "input" && attr(n, "type") != "checkbox" && attr(n, "type") != "file":
			out.Set(name, attr(n, "value"))
		case n.Data == "select":
			out.Set(name, "")
			first := true
			for o := range n.Descendants() {
				if o.Type != html.ElementNode {
					continue
				}
				chosen := false
				for _, a := range o.Attr {
					chosen = chosen || a.Key == "selected"
				}
				if chosen || first {
					out.Set(name, attr(o, "value"))
				}
				first = false
			}
		}
	}
	return out
}

// save fills fields of a page's form and sends it; it must be taken.
func (d *usDesk) save(path string, fill map[string]string) {
	d.t.Helper()
	if p := d.try(path, fill); p.status != http.StatusOK {
		d.t.Fatalf("%s: status %d: %s", path, p.status, p.words)
	}
}

func (d *usDesk) try(path string, fill map[string]string) usPage {
	d.t.Helper()
	form := d.form(path)
	for name, v := range fill {
		if _, there := form[name]; !there {
			d.t.Fatalf("%s has no field %s", path, name)
		}
		form.Set(name, v)
	}
	return d.post(path, form)
}

// says holds a page to words.
func (d *usDesk) says(step, path string, words ...string) usPage {
	d.t.Helper()
	p := d.get(path)
	d.holds(step, p, words...)
	return p
}

func (d *usDesk) holds(step string, p usPage, words ...string) {
	d.t.Helper()
	for _, w := range words {
		if !strings.Contains(p.words, w) {
			d.t.Errorf("step %s: does not say %q:\n%s", step, w, p.words[:min(len(p.words), 3000)])
		}
	}
}

// nextRow is the first empty row of a list in a form.
func (d *usDesk) nextRow(path, list, key string) string {
	form := d.form(path)
	for n := 0; ; n++ {
		at := fmt.Sprintf("%s[%d].", list, n)
		if v, there := form[at+key]; !there || v[0] == "" {
			return at
		}
	}
}

// rowOf is the row of a list whose key has a value.
func (d *usDesk) rowOf(path, list, key, value string) string {
	d.t.Helper()
	form := d.form(path)
	for n := 0; n < 200; n++ {
		at := fmt.Sprintf("%s[%d].", list, n)
		if v := form[at+key]; len(v) > 0 && v[0] == value {
			return at
		}
	}
	d.t.Fatalf("%s has no %s %s", path, list, value)
	return ""
}

// TestANewcomersFirstDayInTheUS is one story: an empty book becomes a US plant
// with a 98-inch machine, one knife, six webs, ten-hour shifts on four days and
// two of three presses crewed, and takes its orders. Figures by hand, beside each.
func TestANewcomersFirstDayInTheUS(t *testing.T) {
	d := openUSDesk(t)
	d.says("1", "/", "The book is empty")
	if p := d.send("/start", map[string]string{"from": "template", "name": "Copper Ridge Box"}); p.status != http.StatusOK {
		t.Fatalf("step 1: status %d: %s", p.status, p.words)
	}
	d.units()
	d.corrugator()
	d.papers()
	d.allowances()
	d.box()
	d.rolls()
	d.orders()
	d.floor()
	d.plan()
	d.closedDay()
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
	const times = "/plant/settings/calendar"
	days, nights := d.nextRow(times, "calendar.shifts", "shift"), ""
	d.save(times, map[string]string{days + "shift": "days", days + "start": "06:00", days + "end": "16:00"})
	nights = d.nextRow(times, "calendar.shifts", "shift")
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
	d.says("7", "/orders/customers", "ORCH Orchard Fruit 25 5.0 5.0")
	if p := d.send("/plant/import", map[string]string{"kind": "items", "pasted": "item,customer,style,inside_length_in,inside_width_in,inside_height_in,grade\nA-100,ORCH,0201,16,12,10,C-32\n"}); !strings.Contains(p.words, "1 new") {
		d.t.Fatalf("step 7: %s", p.words)
	}
	d.says("7", "/boxes/A-100", "16 × 12 × 10 in", "58 1/16 × 22 5/8 in, 9.12 ft²", "about 562 lbf", "ECT 32 lb/in (stated) and caliper 0.160 in")
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
	now := time.Now()
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

// floor is the stacks of step 12, in two files of which the second repeats the first.
func (d *usDesk) floor() {
	d.t.Helper()
	rows := []string{"stack,order,sheets,place"}
	for n := range 40 {
		rows = append(rows, fmt.Sprintf("S%02d,00452%02d,100,L%d", n, []int{0, 1, 2, 6, 7, 9, 10, 11}[n%8], 1+n%4))
	}
	d.holds("12", d.send("/plant/import", map[string]string{"kind": "stacks", "pasted": strings.Join(rows[:21], "\n")}), "20 new", "none waiting")
	d.holds("12", d.send("/plant/import", map[string]string{"kind": "stacks", "pasted": strings.Join(rows, "\n")}), "20 new", "20 the same")
	d.holds("12", d.send("/plant/import", map[string]string{"kind": "stacks", "pasted": "stack,order,sheets,place\nS00,0045200,90,L1\n"}), "1 waiting", "was found before otherwise: 100 of 0045200 at L1")
}

// usPlan is what the story reads of a plan.
type usPlan struct {
	Demands []struct {
		Release string    `json:"release"`
		Overdue bool      `json:"overdue"`
		OnFloor int       `json:"sheets_on_floor"`
		Due     time.Time `json:"due"`
		Stated  time.Time `json:"due_stated"`
		Why     string    `json:"due_why"`
	} `json:"demands"`
	Runs []struct {
		Web   float64 `json:"web_mm"`
		Lanes []struct {
			Chop float64 `json:"chop_mm"`
		} `json:"lanes"`
	} `json:"runs"`
	Notices []struct {
		Text string `json:"text"`
	} `json:"notices"`
}

// planned makes a plan and reads it.
func (d *usDesk) planned(into *usPlan) {
	d.t.Helper()
	var head struct {
		ID    int64  `json:"plan"`
		State string `json:"state"`
		Fault string `json:"fault"`
	}
	d.api(http.MethodPost, "/plans", `{"seconds":1,"seed":1}`, &head)
	for range 300 {
		d.api(http.MethodGet, fmt.Sprintf("/plans/%d", head.ID), "", &head)
		if head.State != "running" {
			break
		}
		time.Sleep(100 * time.Millisecond)
	}
	if head.State != "ready" {
		d.t.Fatalf("step 13: the plan is %s: %s", head.State, head.Fault)
	}
	d.api(http.MethodGet, fmt.Sprintf("/plans/%d/body", head.ID), "", into)
}

// closedDay is the order side of step 17: a Thursday is closed, the lines due on
// it are listed, and what is due at a dock out of its hours is planned for the
// hours before, with the reason.
func (d *usDesk) closedDay() {
	d.t.Helper()
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		d.t.Fatal(err)
	}
	thursday := time.Now().In(zone).AddDate(0, 0, 4)
	for thursday.Weekday() != time.Thursday {
		thursday = thursday.AddDate(0, 0, 1)
	}
	d.save("/plant/settings/calendar", map[string]string{"calendar.closed": thursday.Format(time.DateOnly)})
	rows := fmt.Sprintf("order,customer,item,due,due_at,quantity\nT1,MILL,A-100,%[1]s,dock,500\nT2,ORCH,A-100,%[1]s,dock,500\n", thursday.Format("1/2/2006"))
	review := d.send("/orders/import", map[string]string{"pasted": rows})
	d.holds("17", review, "T1, T2: due on "+thursday.Format("Monday 2 January 2006")+", when the plant is closed", "T2: ORCH: the customer takes deliveries Mon, Tue, Wed, Thu, Fri 07:00–15:00")
	d.confirm(review, "new")
	var p usPlan
	d.planned(&p)
	listed := false
	for _, n := range p.Notices {
		listed = listed || strings.Contains(n.Text, "T1") && strings.Contains(n.Text, "when the plant is closed")
	}
	if !listed {
		d.t.Error("step 17: the line that is due on a closed day is not listed")
	}
	found := false
	for _, o := range p.Demands {
		found = found || o.Release == "T2"
		if o.Release == "T2" && (o.Due.In(zone).Format("15:04") != "15:00" || o.Stated.IsZero() || o.Why == "") {
			d.t.Errorf("step 17: T2 is planned for %v because %q", o.Due, o.Why)
		}
	}
	if !found {
		d.t.Error("step 17: the plan has no T2")
	}
}

// plan is the beginning of step 13: a machine with one knife never gets a run
// with two chop lengths, and a 58-inch chop of 22 1/2 lies four out on 93 inches.
func (d *usDesk) plan() {
	d.t.Helper()
	var body usPlan
	d.planned(&body)
	if len(body.Runs) == 0 {
		d.t.Fatal("step 13: no runs")
	}
	overdue, stand := 0, 0
	for _, o := range body.Demands {
		stand += o.OnFloor
		if o.Overdue {
			overdue++
		}
	}
	if overdue != 11 {
		d.t.Errorf("step 13: %d lines flagged as overdue, want 11", overdue)
	}
	if stand != 40*100 {
		d.t.Errorf("step 12: the plan starts from %d sheets on the floor, 40 stacks of 100 stand there", stand)
	}
	for n, r := range body.Runs {
		for _, l := range r.Lanes {
			if l.Chop != r.Lanes[0].Chop {
				d.t.Errorf("step 13: run %d has two chop lengths on one knife: %v and %v mm", n+1, l.Chop, r.Lanes[0].Chop)
			}
		}
	}
	d.says("13", "/runs", "in", "ft")
}

// api asks the interface for programs.
func (d *usDesk) api(method, path, body string, into any) {
	d.t.Helper()
	r, err := http.NewRequestWithContext(d.t.Context(), method, d.at+"/api"+path, strings.NewReader(body))
	if err != nil {
		d.t.Fatal(err)
	}
	r.Header.Set("Content-Type", "application/json")
	answer, err := d.client.Do(r)
	if err != nil {
		d.t.Fatal(err)
	}
	defer answer.Body.Close()
	raw, err := io.ReadAll(answer.Body)
	if err != nil || answer.StatusCode >= 300 {
		d.t.Fatalf("%s %s: status %d: %s, %v", method, path, answer.StatusCode, raw, err)
	}
	if err := json.Unmarshal(raw, into); err != nil {
		d.t.Fatalf("%s %s: %v in %s", method, path, err, raw)
	}
}

// confirm takes kinds of a reviewed file.
func (d *usDesk) confirm(review usPage, kinds ...string) {
	d.t.Helper()
	at := regexp.MustCompile(`action="(/orders/import/\d+)"`).FindStringSubmatch(review.body)
	if at == nil {
		d.t.Fatalf("no review to take: %s", review.words)
	}
	form := url.Values{}
	for _, k := range kinds {
		form.Set(k, "1")
	}
	if p := d.post(at[1], form); p.status != http.StatusOK {
		d.t.Fatalf("status %d: %s", p.status, p.words)
	}
}
