// Package webs decides which web widths of paper are worth keeping: it plans
// the same orders on candidate sets of widths and lays what trim a set saves
// beside what keeping its widths costs.
//
// Choosing a few stock sizes for a cutting problem is the assortment problem;
// each set is judged by the plan of package runs, so that everything a run
// costs is in the comparison.
package webs

import (
	"fmt"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/runs"
)

const (
	// MostExact is up to how many sets all are priced; beyond, the search is greedy.
	MostExact = 256
	// mostCandidates and mostMost are beyond what a roll store holds.
	mostCandidates = 60
	mostDays       = 3660
	daysPerYear    = 365
)

// Problem asks for the best set of at most Most of the Candidates.
//
// Of Trim the orders, grades, limits and prices hold. The paper in the house
// (papers), frozen and pinned runs and webs barred for every run are left out:
// they speak of one day, the set of many. A width that the corrugator runs
// today keeps the grades that are stocked in it; a new one would be kept in
// every paper.
type Problem struct {
	Trim       runs.Problem      `json:"trim"`
	Candidates []quantity.Length `json:"candidates_mm"`
	Most       int               `json:"most"`                          // widths in a set, at least 1
	KeepCost   quantity.Money    `json:"keep_cost_per_web_y,omitempty"` // of one width for a year; 0: keeping costs nothing
	Days       float64           `json:"days,omitempty"`                // that the orders cover; needed where keeping costs something
}

// Options for Solve; the zero value takes 10 s with seed 0.
type Options struct {
	Seconds    float64 // of the whole search, shared equally by the sets
	Rounds     int     // for each set, instead of seconds: the same seed then gives the same result
	Seed       uint64  // the same for every set
	OnProgress func(Progress)
}

// Progress of a search, after each set.
type Progress struct {
	Done int            `json:"done"`
	Of   int            `json:"of"`   // at most
	Best quantity.Money `json:"best"` // cost of the best set so far
}

// Status says how far the search has come.
type Status string

const (
	Exact   Status = "every set priced"
	Greedy  Status = "sets added, swapped and dropped one width at a time" // others may be better
	Stopped Status = "stopped"                                             // before its end: other sets may be better
)

// Used is what one width of a set runs.
type Used struct {
	Web    quantity.Length   `json:"web_mm"`
	Length quantity.Distance `json:"length_m"`
}

// Set is one set of widths with what the orders cost on it.
type Set struct {
	Webs      []quantity.Length `json:"webs_mm"`   // rising
	Unplanned int               `json:"unplanned"` // orders that no legal run on these webs makes
	Trim      quantity.Money    `json:"plan_cost"` // paper and everything else that the plan costs
	Keep      quantity.Money    `json:"keep_cost"` // of its widths, for the days of the orders
	Cost      quantity.Money    `json:"cost"`      // both
	Bound     quantity.Money    `json:"bound"`     // no plan of the same orders on this set costs less, keeping included
	WastePct  float64           `json:"waste_pct"`
	Runs      int               `json:"runs"`
	Used      []Used            `json:"used"` // one for each of Webs
	Status    runs.Status       `json:"status"`

	Answer runs.Answer `json:"-"` // the plan it is judged by
}

// Result is every set that was priced, the best first: those that leave fewer
// orders unplanned before cheaper ones.
type Result struct {
	Sets   []Set   `json:"sets"`
	Best   []Set   `json:"best_by_count"`   // the best of each number of widths, rising
	Today  *Set    `json:"today,omitempty"` // the corrugator's webs as they are; it may stand outside the candidates
	Status Status  `json:"status"`
	Of     int     `json:"sets_possible"`
	Days   float64 `json:"days,omitempty"`
	// Bound is below what any set of at most Most candidates costs that leaves as
	// few orders unplanned as the best; 0 where the search was stopped or greedy.
	Bound quantity.Money `json:"bound,omitempty"`
}

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
