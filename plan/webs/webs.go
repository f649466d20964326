// Package webs decides which web widths of paper are worth keeping: it prices
// the same orders on candidate sets of widths and lays what trim a set saves
// beside what keeping its widths costs.
//
// Choosing a few stock sizes for a cutting problem is the assortment problem.
// Each set is judged by the relaxation that a plan's bound begins from, solved to
// its end: between two good sets lies less than the chance of two searches, and
// on a book of thousands of orders far less. The best set and today's are then
// planned whole, to show what the judgement is worth.
package webs

import (
	"fmt"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/runs"
)

const (
	// MostExact is up to how many sets all are judged; beyond, the search is greedy.
	MostExact = 256
	// mostCandidates is beyond what a roll store holds.
	mostCandidates = 60
	mostDays       = 3660
	daysPerYear    = 365
)

// Problem asks for the best set of at most Most of the Candidates.
//
// Of Trim the orders, grades, limits and prices hold. The paper in the house
// (papers), frozen and pinned runs, webs barred for every run and lateness are
// left out: they speak of one day, the set of many. A width that the corrugator runs
// today keeps the grades that are stocked in it; a new one would be kept in
// every paper.
type Problem struct {
	Trim       runs.Problem      `json:"trim"`
	Candidates []quantity.Length `json:"candidates_mm"`
	Most       int               `json:"most"`                          // widths in a set, at least 1
	KeepCost   quantity.Money    `json:"keep_cost_per_web_y,omitempty"` // of one width for a year; 0: keeping costs nothing
	Days       float64           `json:"days,omitempty"`                // that the orders cover; needed where keeping costs something
	// Together is how many days' orders are planned at once, counted from the first
	// due time: orders of different stretches never share a run. 0: all at once,
	// which finds partners that no planner had. Orders without a due time are one stretch.
	Together float64 `json:"together_d,omitempty"`
}

// Options for Solve; the zero value takes 10 s with seed 0.
type Options struct {
	Seconds    float64 // of the whole search. Judging ends after three quarters of it; plans share what is left
	Rounds     int     // of each stretch's plan, instead of seconds: the same seed then gives the same result
	Seed       uint64  // of every plan
	OnProgress func(Progress)
}

// Progress of a search, after each set and each plan.
type Progress struct {
	Done    int            `json:"done"`
	Of      int            `json:"of"`      // at most
	Best    quantity.Money `json:"best"`    // cost of the best set so far
	Planned int            `json:"planned"` // sets
}

// Status says how far the search has come.
type Status string

const (
	Exact   Status = "every set judged"
	Greedy  Status = "sets added, swapped and dropped one width at a time" // others may be better
	Stopped Status = "stopped"                                             // before its end: other sets may be better
)

// Used is what one width of a set runs.
type Used struct {
	Web    quantity.Length   `json:"web_mm"`
	Length quantity.Distance `json:"length_m"`
}

// Set is one set of widths with what the orders cost on it. All money and area
// is for the orders at hand: see Result.Year.
type Set struct {
	Webs []quantity.Length `json:"webs_mm"`        // rising
	Left []string          `json:"left,omitempty"` // orders too wide for these webs, or barred from them
	// Over are orders that no legal run on these webs makes, but one with more side
	// trim than the machine's most does: somebody must find a partner or another way
	// for them. They are charged as cut so, so that sets can be set against each other.
	Over     []string       `json:"over_trim,omitempty"`
	OverCost quantity.Money `json:"over_trim_cost,omitempty"`
	// orders that no legal run on these webs makes
	Trim     quantity.Money `json:"trim_cost"` // paper, less the credit of its waste, and minutes: of the relaxation, so no plan that makes all but Left and Over costs less
	Keep     quantity.Money `json:"keep_cost"` // of its widths, for the days of the orders
	Cost     quantity.Money `json:"cost"`      // all three
	Web      quantity.Area  `json:"web_m2"`    // of paper run
	Waste    quantity.Area  `json:"waste_m2"`  // of it in no good sheet
	WastePct float64        `json:"waste_pct"`
	Used     []Used         `json:"used"`           // one for each of Webs
	Plan     *Planned       `json:"plan,omitempty"` // of the best set and today's

	whole bool // the relaxation is solved to its end
}

// Planned is what came of planning every stretch of the orders on a set.
type Planned struct {
	Cost      quantity.Money `json:"cost"`      // keeping is not in it
	Unplanned int            `json:"unplanned"` // orders
	Runs      int            `json:"runs"`
	WastePct  float64        `json:"waste_pct"`

	Answers []runs.Answer `json:"-"` // one for each stretch
}

// Result is every set that was judged and that none of its parts matches, the
// best first: those that leave fewer orders out before cheaper ones.
type Result struct {
	Sets   []Set   `json:"sets"`
	Best   []Set   `json:"best_by_count"` // the best of each number of widths, rising
	Today  Set     `json:"today"`         // the corrugator's webs as they are; it may stand outside the candidates
	All    Set     `json:"all"`           // every candidate and every web of today, keeping free: no set trims less
	Spare  int     `json:"sets_spare"`    // sets that were judged and hold a width that brings nothing
	Status Status  `json:"status"`
	Of     int     `json:"sets_possible"`
	Days   float64 `json:"days,omitempty"`
	// Stretches is the number of parts of the orders that were planned apart.
	Stretches int `json:"stretches"`
}

// idle reports whether nothing runs on the width.
func (u Used) idle() bool { return u.Length <= 0 }

// without returns a set's widths without those on which nothing runs; nil where
// each is run, or none.
func (s Set) without() []quantity.Length {
	var out []quantity.Length
	for _, u := range s.Used {
		if !u.idle() {
			out = append(out, u.Web)
		}
	}
	if len(out) == len(s.Webs) {
		return nil
	}
	return out
}

// Year is a year's share of money spent on the orders at hand; the money itself where
// it is not known how many days they cover.
func (r Result) Year(m quantity.Money) quantity.Money {
	if r.Days <= 0 {
		return m
	}
	return m * quantity.Money(daysPerYear/r.Days)
}

// Beyond is what a set's trim costs beyond that of all widths together, for the
// orders at hand. It means little where the set leaves other orders out.
func (r Result) Beyond(s Set) quantity.Money { return max(0, s.Paper()-r.All.Paper()) }

// Paper is what the orders cost on the set, those over the most trim with them.
func (s Set) Paper() quantity.Money { return s.Trim + s.OverCost }

// Comparable reports whether two sets leave as many orders out, so that their
// costs may be set against each other.
func Comparable(a, b Set) bool { return len(a.Left) == len(b.Left) }

// keeping is what n widths cost for the days of the orders.
func (p Problem) keeping(n int) quantity.Money {
	return p.KeepCost * quantity.Money(float64(n)*p.Days/daysPerYear)
}

// Possible returns how many sets of 1 to most of n widths there are, at most a million.
func Possible(n, most int) int {
	const enough = 1_000_000
	sum, ways := 0, 1
	for k := 1; k <= min(most, n); k++ {
		ways = ways * (n - k + 1) / k
		if sum += ways; sum > enough {
			return enough
		}
	}
	return sum
}

// String names the widths of a set: "1800, 2200 mm".
func (s Set) String() string {
	out := ""
	for i, w := range s.Webs {
		if i > 0 {
			out += ", "
		}
		out += fmt.Sprintf("%g", w.Metres()*1000)
	}
	return out + " mm"
}
