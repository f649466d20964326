package main

import (
	"fmt"
	"io"
	"path/filepath"
	"strconv"
	"strings"
	"text/tabwriter"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/draw"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/webs"
	"github.com/flutewright/flutewright/sheet"
)

// websCmd judges sets of web widths by past orders.
type websCmd struct {
	Orders     string   `arg:"" help:"Trim problem, JSON, or order file, CSV or XLSX." type:"path"`
	Items      string   `help:"Items that an order file names, CSV or XLSX." type:"path"`
	Plant      string   `help:"Plant or whole book, JSON, for an order file. Without it: the built-in demo plant." type:"path"`
	Candidates []string `required:"" help:"Widths to choose from, with commas: 1600,1800,2000. In mm, or with their unit."`
	Most       int      `help:"Widths in a set at most." default:"4"`
	KeepCost   float64  `help:"Money to keep one width in stock for a year: handling, room, interest. Without it keeping costs nothing."`
	Days       float64  `help:"Days that the orders cover, for their share of a year's keeping; of an order file by its due times."`
	Together   float64  `help:"Orders due in the same so many days may share a run; 0: all orders may." default:"3"`
	Seconds    float64  `help:"Wall-clock budget: three quarters at most to judge the sets, the rest to plan the best one and today's." default:"20"`
	Rounds     int      `help:"Judge every set, and end each plan after so many rounds: the same seed then gives the same result."`
	Seed       uint64   `help:"Seed of the plans." default:"1"`
	Show       int      `help:"Sets in the table." default:"12"`
	JSON       bool     `name:"json" help:"Print the whole result as JSON instead of the table."`
	SVG        string   `name:"svg" help:"Draw trim and keeping by number of widths into this file." type:"path"`
}

// Run prices the sets; an interrupt ends the search, not the command.
func (c *websCmd) Run(e *env) error {
	if !(c.Seconds > 0 && c.Seconds <= 86_400) {
		return fault.Violations{{Field: "--seconds", Value: fmt.Sprint(c.Seconds), Rule: "must be above 0 and at most 86,400"}}
	}
	p, f, err := c.problem(e)
	if err != nil {
		return err
	}
	r, err := webs.Solve(e.ctx, p, webs.Options{Seconds: c.Seconds, Rounds: c.Rounds, Seed: c.Seed})
	if err != nil {
		return err
	}
	if err := webs.Check(p, r); err != nil {
		return err
	}
	if c.SVG != "" {
		if err := writeWhole(c.SVG, func(w io.Writer) error { return draw.WriteSVG(w, sheet.WebSets(r, f)) }); err != nil {
			return err
		}
	}
	if c.JSON {
		err = writeDocument(e, "", r)
	} else {
		err = websTable(e.stdout, p, r, f, c.Show)
	}
	if err == nil && len(r.Sets[0].Left) == len(p.Trim.Orders) {
		return errNothingPlanned
	}
	return err
}

// problem reads the orders by what kind of file they are in.
func (c *websCmd) problem(e *env) (webs.Problem, quantity.Format, error) {
	p := webs.Problem{Most: c.Most, KeepCost: quantity.Money(c.KeepCost), Days: c.Days, Together: c.Together}
	var f quantity.Format
	var err error
	if strings.EqualFold(filepath.Ext(c.Orders), ".json") {
		err = readDocument(c.Orders, &p.Trim)
	} else {
		f, err = c.past(e, &p)
	}
	if err != nil {
		return p, f, err
	}
	var wrong fault.Violations
	for _, s := range c.Candidates {
		w, err := quantity.Format{}.ParseLength(s)
		if err != nil {
			wrong.Add("--candidates", s, "must be a width in mm, or with its unit", "such as 1800 or 71 in")
			continue
		}
		p.Candidates = append(p.Candidates, w)
	}
	return p, f, wrong.Err()
}

// past takes the orders of a file onto the plant.
func (c *websCmd) past(e *env, p *webs.Problem) (quantity.Format, error) {
	from := planCmd{Orders: c.Orders, Items: c.Items, Plant: c.Plant}
	var f quantity.Format
	book, err := from.book()
	if err != nil {
		return f, err
	}
	d := book.Plant.Display
	f = quantity.Format{US: d.Units == "us", InchParts: d.InchParts, Currency: d.Currency, Dates: d.Dates}
	now := e.now()
	if err := from.takeItems(e, &book, now); err != nil {
		return f, err
	}
	if err := from.takeOrders(e, &book, now); err != nil {
		return f, err
	}
	past, err := plan.PastOrders(book, now)
	if err != nil {
		return f, err
	}
	fmt.Fprintf(e.stderr, "flutewright: %d orders, %d of them closed, taken as if none were made yet; %d lines on hold or blanket are left aside\n", len(past.Trim.Orders), past.Closed, past.Aside)
	if past.Faulty > 0 {
		fmt.Fprintf(e.stderr, "flutewright: %d lines have no sheet that could be worked out and are left aside\n", past.Faulty)
	}
	p.Trim = past.Trim
	if p.Days == 0 {
		p.Days = past.Days
	}
	return f, nil
}

// websTable prints the sets best first, and today's at the end, in a year's money
// where the days of the orders are known.
func websTable(w io.Writer, p webs.Problem, r webs.Result, f quantity.Format, show int) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintf(t, "rank\twebs %s\tcost\ttrim beyond the least\tkeeping\ttogether\twaste %%\tover trim\tleft out\t%s of each web\n", f.LengthUnit(), f.RunUnit())
	row := func(rank string, s webs.Set) {
		widths, metres := make([]string, len(s.Used)), make([]string, len(s.Used))
		for i, u := range s.Used {
			widths[i], metres[i] = f.Length(u.Web), f.Run(u.Length)
		}
		beyond, together := "-", "-" // a set that leaves more orders out costs less for doing less
		if webs.Comparable(s, r.All) {
			beyond = fmt.Sprintf("%.0f", float64(r.Year(r.Beyond(s))))
			together = fmt.Sprintf("%.0f", float64(r.Year(r.Beyond(s)+s.Keep)))
		}
		fmt.Fprintf(t, "%s\t%s\t%.0f\t%s\t%.0f\t%s\t%.2f\t%d\t%d\t%s\n", rank, strings.Join(widths, " + "), float64(r.Year(s.Cost)), beyond, float64(r.Year(s.Keep)), together, s.WastePct, len(s.Over), len(s.Left), strings.Join(metres, " + "))
	}
	for i, s := range r.Sets[:min(max(show, 1), len(r.Sets))] {
		row(strconv.Itoa(i+1), s)
	}
	row("today", r.Today)
	if err := t.Flush(); err != nil {
		return err
	}
	_, err := fmt.Fprint(w, websNotes(p, r))
	return err
}

// websNotes says how the table is to be read.
func websNotes(p webs.Problem, r webs.Result) string {
	var b strings.Builder
	money := "money is for these orders: --days makes it a year's"
	if r.Days > 0 {
		money = fmt.Sprintf("money is for a year, from these orders' %.1f days", r.Days)
	}
	keep := "keeping a width costs nothing here: see --keep-cost"
	if p.KeepCost > 0 {
		keep = fmt.Sprintf("keeping a width costs %.2f a year", float64(p.KeepCost))
	}
	fmt.Fprintf(&b, "%d orders in %d parts; of %d possible sets: %s, %d held a width that brings nothing; %s; %s\n", len(p.Trim.Orders), r.Stretches, r.Of, r.Status, r.Spare, money, keep)
	for _, s := range []struct {
		name string
		set  webs.Set
	}{{"the best set", r.Sets[0]}, {"today's webs", r.Today}} {
		if q := s.set.Plan; q != nil {
			fmt.Fprintf(&b, "planned whole on %s: %d runs for %.2f, judged by %.2f, waste %.2f %%, %d left out\n", s.name, q.Runs, float64(q.Cost), float64(s.set.Trim), q.WastePct, q.Unplanned)
		}
	}
	return b.String()
}
