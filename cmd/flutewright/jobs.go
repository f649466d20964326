package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"text/tabwriter"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/solve/flowshop"
)

// jobsCmd sequences jobs on machines: the converting engine's bench.
type jobsCmd struct {
	Problem string  `arg:"" help:"Machines, jobs, set-up times and due times, JSON (see flutewright schema jobs); or a flow shop." type:"path"`
	Format  string  `help:"Form of the file: json, or flowshop: a line 'jobs machines', then a line of times for each job." enum:"json,flowshop" default:"json"`
	Seconds float64 `help:"Wall-clock budget." default:"5"`
	Seed    uint64  `help:"Seed of the search." default:"1"`
	Out     string  `help:"Write the answer to this file instead of standard output." type:"path"`
	JSON    bool    `name:"json" help:"Answer in JSON."`
}

// Run reads the problem, sequences it and writes the answer.
func (c *jobsCmd) Run(e *env) error {
	if !(c.Seconds > 0 && c.Seconds <= 86_400) {
		return fault.Violations{{Field: "--seconds", Value: fmt.Sprint(c.Seconds), Rule: "must be more than 0 and at most 86,400"}}
	}
	ctx, stop := context.WithTimeout(e.ctx, time.Duration(c.Seconds*float64(time.Second)))
	defer stop()
	if c.Format == "flowshop" {
		return c.flowshop(ctx, e)
	}
	var p jobs.Pool
	if err := readDocument(c.Problem, &p); err != nil {
		return err
	}
	a, err := jobs.SolvePool(ctx, p, jobs.Options{Seed: c.Seed})
	if err != nil {
		return err
	}
	if err := jobs.CheckPool(p, a); err != nil {
		return err
	}
	if c.JSON || c.Out != "" {
		err = writeDocument(e, c.Out, a)
	} else {
		err = poolTable(e.stdout, a)
	}
	if err == nil && len(p.Jobs) > 0 && len(a.Unplanned) == len(p.Jobs) {
		return errNothingPlanned
	}
	return err
}

func poolTable(w io.Writer, a jobs.PoolAnswer) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "machine\tseq\tjob\tset-up min\tstart min\tend min\tlate min")
	for _, s := range a.Sequences {
		for k, j := range s.Jobs {
			fmt.Fprintf(t, "%s\t%d\t%s\t%.1f\t%.1f\t%.1f\t%.1f\n", s.Machine, k+1, j.Job, float64(j.SetUp), float64(j.Start), float64(j.End), float64(j.Late))
		}
	}
	for _, u := range a.Unplanned {
		fmt.Fprintf(t, "none\t\t%s\t%s\n", u.Job, u.Reason)
	}
	fmt.Fprintf(t, "cost %.2f, %.2f of it lateness; bound %.2f; %s\n", float64(a.Cost), float64(a.LateCost), float64(a.Bound), a.Status)
	return t.Flush()
}

func (c *jobsCmd) flowshop(ctx context.Context, e *env) error {
	p, err := readFlowshop(c.Problem)
	if err != nil {
		return err
	}
	r, err := flowshop.Solve(ctx, p, flowshop.Options{Seed: c.Seed, Rounds: 1_000_000 / len(p.Times), Nodes: 5_000_000})
	if err != nil {
		return err
	}
	if err := flowshop.Check(p, r); err != nil {
		return err
	}
	if c.JSON || c.Out != "" {
		return writeDocument(e, c.Out, r)
	}
	var words []string
	for _, j := range r.Sequence {
		words = append(words, strconv.Itoa(j))
	}
	_, err = fmt.Fprintf(e.stdout, "sequence  %s\nmakespan  %d\nbound     %d\nstatus    %s\n", strings.Join(words, " "), r.Makespan, r.Bound, r.Status)
	return err
}

// readFlowshop reads the plain literature format: jobs and machines, then a
// line of times for each job. Line breaks count as any other space.
func readFlowshop(path string) (flowshop.Problem, error) {
	var p flowshop.Problem
	f, err := os.Open(path)
	if err != nil {
		return p, err
	}
	defer f.Close()
	name := filepath.Base(path)
	wrong := func(value, rule string) error {
		return fault.Violations{{Field: name, Value: value, Rule: rule}}
	}
	in := bufio.NewScanner(io.LimitReader(f, mostDocument))
	in.Split(bufio.ScanWords)
	in.Buffer(nil, 1<<20)
	var numbers []int
	for in.Scan() {
		n, err := strconv.Atoi(in.Text())
		if err != nil {
			return p, wrong(in.Text(), "must be a whole number")
		}
		numbers = append(numbers, n)
	}
	if err := in.Err(); err != nil {
		return p, fmt.Errorf("read %s: %w", path, errors.Join(err, fault.Invalid))
	}
	if len(numbers) < 2 || numbers[0] < 1 || numbers[1] < 1 || numbers[0] > 100_000 || numbers[1] > 100_000 {
		return p, wrong("", "must begin with the numbers of jobs and machines")
	}
	rows, columns := numbers[0], numbers[1]
	if numbers = numbers[2:]; len(numbers) != rows*columns {
		return p, wrong(fmt.Sprint(len(numbers)), fmt.Sprintf("must hold %d × %d times", rows, columns))
	}
	for j := range rows {
		p.Times = append(p.Times, numbers[j*columns:(j+1)*columns])
	}
	return p, p.Validate()
}
