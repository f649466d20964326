package main

import (
	"fmt"
	"regexp"
	"strings"
	"time"
)

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
	const jobs = "machine,order,good,waste,started\n" +
		"FFG-1,0045200,200,5,\nFFG-1,0045201,300,5,\nFFG-1,0045202,0,0,\nFFG-1,0045206,300,5,\nFFG-1,0045207,300,5,\nFFG-1,0045209,300,5,\n"
	d.holds("12", d.send("/plant/import", map[string]string{"kind": "jobs", "pasted": jobs}), "11 new", "none waiting") // a start each and five counts
	d.holds("12", d.send("/plant/import", map[string]string{"kind": "jobs", "pasted": jobs}), "0 new", "11 the same")
	const stands = "roll,paper,width_in,length_ft,stand\nR011,L35,93,9000,double backer\nM005,M26,93,7000,facer 1 medium\n"
	d.holds("12", d.send("/plant/import", map[string]string{"kind": "rolls", "pasted": stands}), "2 changed", "none waiting")
}

// closedDay is the order side of step 17: a Thursday is closed, the lines due on
// it are listed, and what is due at a dock out of its hours is planned for the
// hours before, with the reason.
func (d *usDesk) closedDay() (p usPlan) {
	d.t.Helper()
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		d.t.Fatal(err)
	}
	thursday := d.clock().In(zone).AddDate(0, 0, 4)
	for thursday.Weekday() != time.Thursday {
		thursday = thursday.AddDate(0, 0, 1)
	}
	d.changedNight(zone)
	d.save("/plant/settings/calendar", map[string]string{"calendar.closed": thursday.Format(time.DateOnly)})
	rows := fmt.Sprintf("order,customer,item,due,due_at,quantity\nT1,MILL,A-100,%[1]s,dock,500\nT2,ORCH,A-100,%[1]s,dock,500\n", thursday.Format("1/2/2006"))
	review := d.send("/orders/import", map[string]string{"pasted": rows})
	d.holds("17", review, "T1, T2: due on "+thursday.Format("Monday 2 January 2006")+", when the plant is closed", "T2: ORCH: the customer takes deliveries Mon, Tue, Wed, Thu, Fri 07:00–15:00")
	d.confirm(review, "new")
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
	return p
}

// changedNight is the night of step 17: worked on Saturdays too, the ten-hour
// night in which the clocks go forward is 9 h long, and that in which they go
// back 11 h; what is promised counts them so (base/calendar).
func (d *usDesk) changedNight(zone *time.Location) {
	d.t.Helper()
	d.save("/plant/settings/calendar", map[string]string{"calendar.working_days": "Mon; Tue; Wed; Thu; Sat"})
	saturday := d.clock().In(zone)
	for n := 0; ; n++ {
		eve := time.Date(saturday.Year(), saturday.Month(), saturday.Day()+n, 20, 0, 0, 0, zone)
		morning := time.Date(saturday.Year(), saturday.Month(), saturday.Day()+n+1, 6, 0, 0, 0, zone)
		if long := morning.Sub(eve); long != 10*time.Hour && morning.After(d.clock()) {
			d.says("17", "/plant", fmt.Sprintf("in the shift nights that begins on %s: it is %.0f h long, not 10 h", eve.Format("Monday 2 January 2006"), long.Hours()))
			break
		}
	}
	d.save("/plant/settings/calendar", map[string]string{"calendar.working_days": "Mon; Tue; Wed; Thu"})
}

// promises is the end of step 17: with the plant closed for nine days from now
// on, what could be promised within them is promised for after, and the answer
// says which station it waits for, and how many days.
func (d *usDesk) promises() {
	d.t.Helper()
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		d.t.Fatal(err)
	}
	now := d.clock().In(zone)
	ask := "/promise?item=A-100&quantity=2000&due_at=gate&due=" + now.AddDate(0, 0, 30).Format("2006-01-02T15:04")
	there := func() (time.Time, usPage) {
		p := d.get(ask)
		said := regexp.MustCompile(`at our gate (\w{3} \w{3} \d+ \d\d:\d\d)`).FindStringSubmatch(p.words)
		if said == nil {
			d.t.Fatalf("step 17: nothing is promised: %s", p.words[:min(len(p.words), 1500)])
		}
		at, err := time.ParseInLocation("Mon Jan 2 15:04", said[1], zone)
		if err != nil {
			d.t.Fatal(err)
		}
		if at = at.AddDate(now.Year(), 0, 0); at.Before(now.AddDate(0, 0, -1)) {
			at = at.AddDate(1, 0, 0)
		}
		return at, p
	}
	before, _ := there()
	var closed []string
	for n := -1; n < 9; n++ {
		closed = append(closed, now.AddDate(0, 0, n).Format(time.DateOnly))
	}
	d.save("/plant/settings/calendar", map[string]string{"calendar.closed": strings.Join(closed, "; ")})
	after, p := there()
	if first := now.AddDate(0, 0, 9); !after.After(before) || after.Format(time.DateOnly) < first.Format(time.DateOnly) {
		d.t.Errorf("step 17: promised for %v, and for %v once the plant is closed until %v", before, after, first)
	}
	if !regexp.MustCompile(`it waits for crew \(the plant is closed on \d+ days\) [\d.]+ days`).MatchString(p.words) {
		d.t.Errorf("step 17: promised later without the reason: %s", p.words[:min(len(p.words), 600)])
	}
}
