package main

import (
	"github.com/flutewright/flutewright/plan/runs"
)

// trimCmd is the corrugator engine alone.
type trimCmd struct {
	Problem string  `arg:"" help:"Trim problem, JSON (see flutewright schema problem)." type:"path"`
	Seconds float64 `help:"Wall-clock budget." default:"5"`
	Seed    uint64  `help:"Seed of the search." default:"1"`
	Rounds  int     `help:"End after so many rounds instead of seconds: the same seed then gives the same plan."`
	Explain bool    `help:"Say beside the plan what frees each unplanned order, why each run is on its web, what other plans there are, and what small changes of an order are worth, a week, too; takes up to four times --seconds more."`
	Out     string  `help:"Write the plan to this file instead of standard output." type:"path"`
}

// Run reads the problem, plans it and writes the answer; an interrupt ends the search, not the command.
func (c *trimCmd) Run(e *env) error {
	var p runs.Problem
	if err := readDocument(c.Problem, &p); err != nil {
		return err
	}
	a, err := runs.Solve(e.ctx, p, runs.Options{Seconds: c.Seconds, Seed: c.Seed, Rounds: c.Rounds})
	if err != nil {
		return err
	}
	if err := runs.Check(p, a); err != nil {
		return err
	}
	if err := c.write(e, p, a); err != nil {
		return err
	}
	if len(a.Runs) == 0 && len(p.Orders) > 0 {
		return errNothingPlanned
	}
	return nil
}

// explained is a plan with what is said of it.
type explained struct {
	runs.Answer
	Explain runs.Explained `json:"explain"`
}

// write writes the plan, explained where that is asked. An interrupt ends the explaining too.
func (c *trimCmd) write(e *env, p runs.Problem, a runs.Answer) error {
	if !c.Explain {
		return writeDocument(e, c.Out, a)
	}
	opt := runs.ExplainOptions{Seed: c.Seed}
	if c.Rounds == 0 {
		opt.Seconds = 4 * c.Seconds
	}
	why, err := runs.Explain(e.ctx, p, a, opt)
	if err != nil {
		return err
	}
	return writeDocument(e, c.Out, explained{a, why})
}
