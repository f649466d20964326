package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"runtime"
	"strings"
)

// measured is a run of general solvers beside the trim engine, kept in a file of
// its own since it takes long.
type measured struct {
	Date    string       `json:"date"`
	Machine string       `json:"machine"`
	Seconds float64      `json:"seconds"` // processor time for each solver and book
	Books   []beside     `json:"books"`
	Missing []string     `json:"missing,omitempty"` // solvers that were not there
	Failed  []brokenPeer `json:"failed,omitempty"`
}

// beside is one book: the trim engine's plans, then the solvers'.
type beside struct {
	Orders         int        `json:"orders"`
	Columns        int        `json:"columns"` // given to the solvers
	Listed         int        `json:"listed"`  // of so many
	Second         float64    `json:"cost_after_1_s"`
	SecondSpent    float64    `json:"processor_s_of_1_s"`
	Processor      float64    `json:"cost_after_2_processor_s"`
	ProcessorSpent float64    `json:"processor_s_of_2"`
	Peers          []peerPlan `json:"peers"`
}

// peerPlan is a solver's plan of a book.
type peerPlan struct {
	Name    string  `json:"name"`
	Version string  `json:"version"`
	Seconds float64 `json:"processor_s"`
	Status  string  `json:"status"`
	Says    float64 `json:"says,omitempty"` // its own figure
	Bound   float64 `json:"bound,omitempty"`
	Cost    float64 `json:"cost,omitempty"` // of its runs, lengths found anew and checked; 0: none or not legal
	Fault   string  `json:"fault,omitempty"`
}

// brokenPeer is a solver that gave no answer at all.
type brokenPeer struct {
	Name   string `json:"name"`
	Orders int    `json:"orders"`
	Why    string `json:"why"`
}

// cents rounds what the record keeps.
func cents(v float64) float64 { return math.Round(100*v) / 100 }

// machine says where the figures were measured.
func machine() string {
	return fmt.Sprintf("%s/%s, %d cores, %s, %s", runtime.GOOS, runtime.GOARCH, runtime.NumCPU(), chip(), runtime.Version())
}

// chip is the processor's name where the system tells it.
func chip() string {
	raw, err := os.ReadFile("/proc/cpuinfo")
	if err != nil {
		return "processor not told"
	}
	for _, line := range strings.Split(string(raw), "\n") {
		if name, value, _ := strings.Cut(line, ":"); strings.TrimSpace(name) == "model name" {
			return strings.TrimSpace(value)
		}
	}
	return "processor not told"
}

// keep writes the record.
func (m *measured) keep(file string) error {
	raw, err := json.MarshalIndent(m, "", "  ")
	if err != nil {
		return err
	}
	return os.WriteFile(file, append(raw, '\n'), 0o644)
}

// lastMeasured reads a record that was kept.
func lastMeasured(file string) (*measured, error) {
	raw, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	var m measured
	return &m, json.Unmarshal(raw, &m)
}

// besideTable writes the solvers' table, of a new run or of the last one kept.
func besideTable(b *bytes.Buffer, run bool) error {
	const file = "docs/peers.json"
	if !run {
		m, err := lastMeasured(file)
		if err == nil {
			m.table(b, false)
		}
		return err
	}
	m, err := besides()
	if err != nil {
		return err
	}
	m.table(b, true)
	err = m.keep(file)
	for _, f := range m.Failed {
		err = errors.Join(err, errors.New(f.Name+": "+f.Why))
	}
	return err
}

// recorded is a solver's cost of the book of so many orders in the record before.
func recorded(orders int, solver string) string {
	for _, b := range books {
		if cost := map[string]float64{"HiGHS": b.highs, "CBC": b.cbc}[solver]; b.n == orders && cost > 0 {
			return fmt.Sprintf("%.0f", cost)
		}
	}
	return ""
}

// table writes the record as the benchmark shows it.
func (m *measured) table(b *bytes.Buffer, now bool) {
	when := "they ran with this benchmark"
	if !now {
		when = "they did not run again with this benchmark (`make bench PEERS=1` lets them)"
	}
	fmt.Fprintf(b, "## General solvers beside the trim engine\n\nThe same books of one grade as a mixed-integer programme written without the engine's code (`internal/bench/peers`), %.0f s of processor\ntime for each solver as it comes, one thread, a relative gap of 0.000001 asked for; from %d orders on they get the %d columns an order of\nleast reduced cost only, which is to their favour. Measured on %s, %s;\n%s. The engine stood in the same run, alone: after 1 s, and after 2 s of\nprocessor time, which is 1 s of two cores that nothing else uses (where 1 s brought less, other work had them). Of a solver's answer its runs count: their lengths are found anew, the\ncheapest there are, and the plan passes the engine's check. A bound of some columns bounds no plan of all, so it is shown for whole\nlists only. Recorded before: what an earlier build reached on a programme of these books, 60 s, not run again.\n\n",
		m.Seconds, few, tenAnOrder, m.Date, m.Machine, when)
	fmt.Fprint(b, "| orders | columns of all | solver | processor s | ended | says | its runs cost | bound | recorded before | engine after 1 s (processor s of 2) | engine after 2 processor s | the last dearer than the solver by % |\n|---|---|---|---|---|---|---|---|---|---|---|---|\n")
	for _, k := range m.Books {
		for _, p := range k.Peers {
			cost, bound, dearer, says := "none", "", "", "nothing"
			if p.Says > 0 {
				says = fmt.Sprintf("%.0f", p.Says)
			}
			switch {
			case p.Cost > 0:
				cost, dearer = fmt.Sprintf("%.0f", p.Cost), fmt.Sprintf("%.3f", gap(k.Processor, p.Cost))
			case p.Fault != "":
				cost = "not legal: " + p.Fault
			}
			if k.Columns == k.Listed && p.Bound > 0 {
				bound = fmt.Sprintf("%.0f", p.Bound)
			}
			fmt.Fprintf(b, "| %d | %d of %d | %s %s | %.0f | %s | %s | %s | %s | %s | %.0f (%.1f) | %.0f | %s |\n", k.Orders, k.Columns, k.Listed, p.Name, p.Version, p.Seconds, p.Status,
				says, cost, bound, recorded(k.Orders, p.Name), k.Second, k.SecondSpent, k.Processor, dearer)
		}
	}
	for _, f := range m.Failed {
		fmt.Fprintf(b, "\n%s failed on %d orders: %s\n", f.Name, f.Orders, f.Why)
	}
	if len(m.Missing) > 0 {
		fmt.Fprintf(b, "\nNot installed on that machine, so not run: %s.\n", strings.Join(m.Missing, ", "))
	}
	b.WriteString("\n")
}
