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
)

// websCmd prices sets of web widths on past orders.
type websCmd struct {
	Orders     string   `arg:"" help:"Trim problem, JSON, or order file, CSV or XLSX." type:"path"`
	Items      string   `help:"Items that an order file names, CSV or XLSX." type:"path"`
	Plant      string   `help:"Plant or whole book, JSON, for an order file. Without it: the built-in demo plant." type:"path"`
	Candidates []string `required:"" help:"Widths to choose from, with commas: 1600,1800,2000. In mm, or with their unit."`
	Most       int      `help:"Widths in a set at most." default:"4"`
	KeepCost   float64  `help:"Money to keep one width in stock for a year: handling, room, interest. Without it keeping costs nothing."`
	Days       float64  `help:"Days that the orders cover, for their share of a year's keeping; of an order file by its due times."`
	Seconds    float64  `help:"Wall-clock budget of the whole search, shared equally by the sets." default:"20"`
	Rounds     int      `help:"End each set after so many rounds instead: the same seed then gives the same result."`
	Seed       uint64   `help:"Seed of every set's search." default:"1"`
	Show       int      `help:"Sets in the table." default:"12"`
	JSON       bool     `name:"json" help:"Print the whole result as JSON instead of the table."`
	SVG        string   `name:"svg" help:"Draw cost against number of widths into this file." type:"path"`
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
		if err := writeWhole(c.SVG, func(w io.Writer) error { return draw.WriteSVG(w, websDrawing(r, f)) }); err != nil {
			return err
		}
	}
	if c.JSON {
		err = writeDocument(e, "", r)
	} else {
		err = websTable(e.stdout, p, r, f, c.Show)
	}
	if err == nil && r.Sets[0].Unplanned == len(p.Trim.Orders) {
		return errNothingPlanned
	}
	return err
}

// problem reads the orders by what kind of file they are in.
func (c *websCmd) problem(e *env) (webs.Problem, quantity.Format, error) {
	p := webs.Problem{Most: c.Most, KeepCost: quantity.Money(c.KeepCost), Days: c.Days}
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
	if past.Faulty > 0 {
		fmt.Fprintf(e.stderr, "flutewright: %d lines have no sheet that could be worked out and are left aside\n", past.Faulty)
	}
	p.Trim = past.Trim
	if p.Days == 0 {
		p.Days = past.Days
	}
	return f, nil
}

func websDrawing(r webs.Result, f quantity.Format) draw.Drawing {
	of := func(s webs.Set) draw.WebSet {
		return draw.WebSet{Webs: s.Webs, Cost: s.Cost, Bound: s.Bound, Left: s.Unplanned}
	}
	var best []draw.WebSet
	for _, s := range r.Best {
		best = append(best, of(s))
	}
	today := of(*r.Today)
	return draw.WebSets(best, &today, f)
}

// websTable prints the sets best first, and today's at the end.
func websTable(w io.Writer, p webs.Problem, r webs.Result, f quantity.Format, show int) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintf(t, "rank\twebs %s\tcost\tkeeping in it\tbound\twaste %%\truns\tleft out\t%s of each web\n", f.LengthUnit(), f.RunUnit())
	row := func(rank string, s webs.Set) {
		widths, metres := make([]string, len(s.Used)), make([]string, len(s.Used))
		for i, u := range s.Used {
			widths[i], metres[i] = f.Length(u.Web), f.Run(u.Length)
		}
		fmt.Fprintf(t, "%s\t%s\t%.2f\t%.2f\t%.2f\t%.2f\t%d\t%d\t%s\n", rank, strings.Join(widths, " + "), float64(s.Cost), float64(s.Keep), float64(s.Bound), s.WastePct, s.Runs, s.Unplanned, strings.Join(metres, " + "))
	}
	for i, s := range r.Sets[:min(max(show, 1), len(r.Sets))] {
		row(strconv.Itoa(i+1), s)
	}
	row("today", *r.Today)
	if err := t.Flush(); err != nil {
		return err
	}
	keep := "keeping a width costs nothing here: see --keep-cost"
	if p.KeepCost > 0 {
		keep = fmt.Sprintf("keeping a width costs %.2f a year, of which the orders' %.1f days carry their share", float64(p.KeepCost), p.Days)
	}
	_, err := fmt.Fprintf(w, "%d orders; %d of %d sets priced: %s; %s\n", len(p.Trim.Orders), len(r.Sets), r.Of, r.Status, keep)
	return err
}
