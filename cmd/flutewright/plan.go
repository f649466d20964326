package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"text/tabwriter"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/exchange"
	"github.com/flutewright/flutewright/exchange/folder"
	"github.com/flutewright/flutewright/exchange/plantfile"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/order"
)

// planCmd walks the whole way without a desk: an order file becomes runs, rolls, jobs, loads and tags.
type planCmd struct {
	Orders  string  `required:"" help:"Order file, CSV or XLSX." type:"path"`
	Items   string  `help:"Items that the orders name, CSV or XLSX." type:"path"`
	Plant   string  `help:"Plant or whole book, JSON; its order lines are not planned. Without it: the built-in demo plant." type:"path"`
	Out     string  `help:"Folder for plan.json, crew sheets, tags and CSV tables." type:"path"`
	JSON    bool    `name:"json" help:"Print plan.json instead of the summary."`
	Seconds float64 `help:"Wall-clock budget of the corrugator engine." default:"3"`
	Seed    uint64  `help:"Seed of the search." default:"1"`
	Minute  string  `help:"Price of a corrugator minute: bottleneck, idle, or free to weigh paper alone; without it as the plant states." enum:",bottleneck,idle,free" default:""`
	Now     string  `help:"The moment the plan starts from, as 2006-01-02T15:04 in the plant's zone; without it the wall clock's."`
	Dates   string  `help:"Whether the day (dmy) or the month (mdy) comes first in dates that leave it open." enum:",dmy,mdy" default:""`
}

// Run reads the files, plans, and writes what it was asked for. Rows that wait
// are said on standard error, a line each.
func (c *planCmd) Run(e *env) error {
	if !(c.Seconds > 0 && c.Seconds <= 86_400) {
		return fault.Violations{{Field: "--seconds", Value: fmt.Sprint(c.Seconds), Rule: "must be above 0 and at most 86,400"}}
	}
	book, err := c.book()
	if err != nil {
		return err
	}
	now, err := c.now(book)
	if err != nil {
		return err
	}
	if err := c.takeItems(e, &book, now); err != nil {
		return err
	}
	if err := c.takeOrders(e, &book, now); err != nil {
		return err
	}
	p, err := plan.Make(e.ctx, book, plan.Options{Now: now, Seconds: c.Seconds, Seed: c.Seed, Minute: plan.Minute(c.Minute)})
	if err != nil {
		return err
	}
	if err := c.answer(e, p, book); err != nil {
		return err
	}
	if p.Summary.Planned == 0 {
		return errNothingPlanned
	}
	return nil
}

// book is the plant that is planned on, without order lines of its own.
func (c *planCmd) book() (plant.Book, error) {
	if c.Plant == "" {
		b := demo.Book()
		b.Lines, b.Done = nil, nil
		return b, nil
	}
	f, err := os.Open(c.Plant)
	if err != nil {
		return plant.Book{}, err
	}
	defer f.Close()
	b, _, err := plantfile.Read(filepath.Base(c.Plant), f)
	b.Lines, b.Done = nil, nil
	return b, err
}

func (c *planCmd) now(b plant.Book) (time.Time, error) {
	zone, err := time.LoadLocation(b.Plant.Calendar.Zone)
	if err != nil {
		return time.Time{}, err
	}
	if c.Now == "" {
		return time.Now().In(zone).Truncate(time.Minute), nil
	}
	for _, layout := range []string{"2006-01-02T15:04", "2006-01-02T15:04:05", "2006-01-02 15:04", "2006-01-02"} {
		if t, err := time.ParseInLocation(layout, c.Now, zone); err == nil {
			return judgeNow(c.Now, t)
		}
	}
	t, err := time.Parse(time.RFC3339, c.Now)
	if err != nil {
		return time.Time{}, fault.Violations{{Field: "--now", Value: c.Now, Rule: "must be a time as 2006-01-02T15:04"}}
	}
	return judgeNow(c.Now, t.In(zone))
}

func judgeNow(given string, t time.Time) (time.Time, error) {
	if y := t.Year(); y < order.FirstYear || y > order.LastYear {
		return time.Time{}, fault.Violations{{Field: "--now", Value: given, Rule: fmt.Sprintf("must be in the years %d to %d", order.FirstYear, order.LastYear)}}
	}
	return t, nil
}

// takeItems lays the items of ITEMS.csv into the book.
func (c *planCmd) takeItems(e *env, b *plant.Book, now time.Time) error {
	if c.Items == "" {
		return nil
	}
	f, err := os.Open(c.Items)
	if err != nil {
		return err
	}
	defer f.Close()
	name := filepath.Base(c.Items)
	t, err := exchange.Tables{NewCustomers: true, Dates: c.Dates}.ReadTable(desk.TableItems, name, f, desk.KnownOf(*b, now))
	if err != nil {
		return err
	}
	sayWaiting(e.stderr, name, t.Waiting)
	for _, i := range t.Items {
		layItem(b, i)
	}
	return nil
}

// takeOrders lays the good rows of the order file into the book, and says why the others wait.
func (c *planCmd) takeOrders(e *env, b *plant.Book, now time.Time) error {
	f, err := os.Open(c.Orders)
	if err != nil {
		return err
	}
	defer f.Close()
	name := filepath.Base(c.Orders)
	file, err := exchange.Orders{NewCustomers: true, Dates: c.Dates}.ReadOrders(name, f, desk.KnownOf(*b, now))
	if err != nil {
		return err
	}
	sayWaiting(e.stderr, name, file.Waiting)
	for _, said := range slices.Concat(file.Asks, file.Notes) {
		fmt.Fprintf(e.stderr, "flutewright: %s: %s\n", name, said)
	}
	if len(file.Ignored) > 0 {
		fmt.Fprintf(e.stderr, "flutewright: %s: columns without a meaning here: %s\n", name, strings.Join(file.Ignored, ", "))
	}
	if len(file.Rows) == 0 {
		return fault.Violations{{Field: name, Rule: fmt.Sprintf("none of its %d rows can be taken", len(file.Waiting)), Remedy: "mend the cells named above"}}
	}
	b.Customers = append(b.Customers, file.Customers...)
	for _, row := range file.Rows {
		if row.Item != nil {
			layItem(b, *row.Item)
		}
		b.Lines = append(b.Lines, row.Line)
	}
	return nil
}

// layItem puts an item in the place of the one with its code, or at the end.
func layItem(b *plant.Book, i order.Item) {
	at := slices.IndexFunc(b.Items, func(o order.Item) bool { return o.Code == i.Code })
	if at < 0 {
		b.Items = append(b.Items, i)
		return
	}
	b.Items[at] = i
}

// sayWaiting prints one line a row.
func sayWaiting(w io.Writer, name string, rows []order.Waiting) {
	for _, row := range rows {
		parts := make([]string, len(row.Faults))
		for i, v := range row.Faults {
			v.Row = 0
			parts[i] = strings.ReplaceAll(v.String(), "\n", " ")
		}
		fmt.Fprintf(w, "flutewright: %s: row %d waits: %s\n", name, row.Row, strings.Join(parts, "; "))
	}
}

func (c *planCmd) answer(e *env, p *plan.Plan, b plant.Book) error {
	if c.Out != "" {
		if err := folder.Write(c.Out, p, b); err != nil {
			return err
		}
	}
	if c.JSON {
		raw, err := folder.JSON(p)
		if err != nil {
			return err
		}
		_, err = e.stdout.Write(raw)
		return err
	}
	if err := writeSummary(e.stdout, p, b); err != nil {
		return err
	}
	if c.Out != "" {
		_, err := fmt.Fprintf(e.stdout, "\nWritten to %s\n", c.Out)
		return err
	}
	return nil
}

// mostNotices is as many as a person reads.
const mostNotices = 7

// writeSummary prints what the plan comes to, what is short, what is not planned, and the worst first.
func writeSummary(out io.Writer, p *plan.Plan, b plant.Book) error {
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	p = folder.Worded(p, b)
	s, t, f := p.Summary, p.Totals, folder.FormatOf(b)
	fmt.Fprintf(w, "%s, from %s\n\n", b.Plant.Name, p.Now.Format("Mon 2006-01-02 15:04 MST"))
	fmt.Fprintf(w, "Orders\t%d of %d planned, %d late by %.1f h together\n", s.Planned, s.Orders, s.Late, s.LateHours)
	if t.Runs > 0 {
		fmt.Fprintf(w, "Runs\t%d, %s %s, waste %.2f %%\n", t.Runs, f.Run(t.Length), f.RunUnit(), t.WastePct)
		fmt.Fprintf(w, "Runs' cost\t%.2f %s, no plan of these orders below %.2f (gap %.2f %%, %s)\n", float64(t.Cost), b.Plant.Display.Currency, float64(t.Bound), t.GapPct, t.Status)
		fmt.Fprintf(w, "Jobs\t%d on %d machines\n", len(p.Clock.Jobs), machinesOf(p))
		if !s.Ends.IsZero() {
			fmt.Fprintf(w, "Corrugator\tends %s\n", s.Ends.In(p.Now.Location()).Format("Mon 2006-01-02 15:04"))
		}
		fmt.Fprintf(w, "Paper\t%s %s, %s %s not covered by rolls in the house or in time\n", f.BigMass(s.PaperMass), f.BigMassUnit(), f.Run(p.Rolls.Uncovered), f.RunUnit())
	}
	if len(p.Unplanned) > 0 {
		fmt.Fprintf(w, "\nNot planned\n")
		for _, u := range p.Unplanned {
			fmt.Fprintf(w, "%s\t%s\n", u.Order, u.Reason)
		}
	}
	if len(p.Notices) > 0 {
		fmt.Fprintf(w, "\nTo decide, worst first\n")
		for _, n := range p.Notices[:min(mostNotices, len(p.Notices))] {
			fmt.Fprintf(w, "%d\t%s\n", n.Rank, n.Text)
		}
		if more := len(p.Notices) - mostNotices; more > 0 {
			fmt.Fprintf(w, "\tand %d more\n", more)
		}
	}
	return w.Flush()
}

func machinesOf(p *plan.Plan) int {
	seen := map[string]bool{}
	for _, j := range p.Clock.Jobs {
		seen[string(j.Machine)] = true
	}
	return len(seen)
}
