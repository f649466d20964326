package jobs

import (
	"fmt"
	"math"
	"slices"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

// Pool is the document of the jobs command: machines side by side, jobs with the
// minutes that each takes on each machine that can do it, and what stands
// between two of them. All times count from the same moment on and are worked
// through without a calendar.
type Pool struct {
	Machines []PoolMachine `json:"machines"`
	Jobs     []PoolJob     `json:"jobs"`
	SetUps   []PoolSetUp   `json:"set_ups,omitempty"` // one that is not stated takes none
}

// PoolMachine is one machine.
type PoolMachine struct {
	Machine     ident.Machine    `json:"machine"`
	CostPerHour quantity.Money   `json:"cost_per_h,omitempty"`
	FreeAt      quantity.Minutes `json:"free_at_min,omitempty"`
}

// PoolJob is one job: it runs on one of the machines that Minutes names.
type PoolJob struct {
	Job         string                             `json:"job"`
	Minutes     map[ident.Machine]quantity.Minutes `json:"minutes"`
	Release     quantity.Minutes                   `json:"release_min,omitempty"` // neither it nor its set-up starts before
	Due         *quantity.Minutes                  `json:"due_min,omitempty"`     // nil: it is never late
	LatePerHour quantity.Money                     `json:"late_cost_per_h,omitempty"`
	LateOnce    quantity.Money                     `json:"late_cost_once,omitempty"`
}

// PoolSetUp stands before a job, when it follows another; Before "" is the
// machine as it stands, Machine "" is every machine.
type PoolSetUp struct {
	Machine ident.Machine    `json:"machine,omitempty"`
	Before  string           `json:"before,omitempty"`
	Next    string           `json:"next"`
	Minutes quantity.Minutes `json:"minutes"`
}

// PoolAnswer is a sequence for each machine.
type PoolAnswer struct {
	Sequences []PoolSequence `json:"sequences"` // in the order of the machines
	Unplanned []PoolLeft     `json:"unplanned"`
	Cost      quantity.Money `json:"cost"` // machine hours, set-ups in them, and lateness
	LateCost  quantity.Money `json:"late_cost"`
	Bound     quantity.Money `json:"bound"` // no plan of the same jobs costs less
	Status    Status         `json:"status"`
}

// PoolSequence is one machine's jobs.
type PoolSequence struct {
	Machine ident.Machine `json:"machine"`
	Jobs    []PoolPlace   `json:"jobs"`
}

// PoolPlace is one job in its place.
type PoolPlace struct {
	Job   string           `json:"job"`
	SetUp quantity.Minutes `json:"set_up_min"`
	Start quantity.Minutes `json:"start_min"` // of the set-up
	End   quantity.Minutes `json:"end_min"`
	Late  quantity.Minutes `json:"late_min"`
}

// PoolLeft is a job that no machine can do.
type PoolLeft struct {
	Job    string `json:"job"`
	Reason string `json:"reason"`
}

// Validate returns every violation of the document.
func (p Pool) Validate() error {
	var vs fault.Violations
	machines, jobs := map[ident.Machine]bool{}, map[string]bool{"": true}
	number := func(field string, v float64) {
		vs.Require(v >= 0 && v <= 1e9, field, fmt.Sprint(v), "must be 0 to 1,000,000,000")
	}
	vs.Require(len(p.Machines) > 0, "machines", "", "there must be one")
	for i, m := range p.Machines {
		at := fmt.Sprintf("machines[%d]", i)
		vs.Require(m.Machine != "" && !machines[m.Machine], at+".machine", string(m.Machine), "must be named, and once")
		number(at+".cost_per_h", float64(m.CostPerHour))
		number(at+".free_at_min", float64(m.FreeAt))
		machines[m.Machine] = true
	}
	for i, j := range p.Jobs {
		at := fmt.Sprintf("jobs[%d]", i)
		vs.Require(!jobs[j.Job], at+".job", j.Job, "must be named, and once")
		jobs[j.Job] = true
		for m, v := range j.Minutes {
			vs.Require(machines[m], at+".minutes", string(m), "is none of the machines")
			number(at+".minutes", float64(v))
		}
		number(at+".release_min", float64(j.Release))
		number(at+".late_cost_per_h", float64(j.LatePerHour))
		number(at+".late_cost_once", float64(j.LateOnce))
		vs.Require(j.Due == nil || !math.IsNaN(float64(*j.Due)) && math.Abs(float64(*j.Due)) <= 1e9, at+".due_min", "", "must be a number of minutes")
	}
	for i, s := range p.SetUps {
		at := fmt.Sprintf("set_ups[%d]", i)
		vs.Require(s.Machine == "" || machines[s.Machine], at+".machine", string(s.Machine), "is none of the machines")
		vs.Require(jobs[s.Before], at+".before", s.Before, "is none of the jobs")
		vs.Require(s.Next != "" && jobs[s.Next], at+".next", s.Next, "is none of the jobs")
		number(at+".minutes", float64(s.Minutes))
	}
	return vs.Err()
}

// CheckPool judges an answer from the document alone: every job once, on a
// machine that can do it, one behind the other with its set-up, and the costs.
func CheckPool(p Pool, a PoolAnswer) error {
	type pair struct {
		machine      ident.Machine
		before, next string
	}
	setUps := map[pair]quantity.Minutes{}
	for _, s := range p.SetUps {
		for _, m := range p.Machines {
			if s.Machine == "" || s.Machine == m.Machine {
				setUps[pair{m.Machine, s.Before, s.Next}] = s.Minutes
			}
		}
	}
	times := map[string]int{}
	for _, u := range a.Unplanned {
		times[u.Job]++
	}
	var cost, late float64
	for i, s := range a.Sequences {
		if i >= len(p.Machines) || s.Machine != p.Machines[i].Machine {
			return fmt.Errorf("sequence %d is of %s: %w", i, s.Machine, fault.Infeasible)
		}
		free, before := float64(p.Machines[i].FreeAt), ""
		for _, place := range s.Jobs {
			times[place.Job]++
			k := slices.IndexFunc(p.Jobs, func(j PoolJob) bool { return j.Job == place.Job })
			if k < 0 {
				return fmt.Errorf("%s is no job: %w", place.Job, fault.Infeasible)
			}
			j := p.Jobs[k]
			run, able := j.Minutes[s.Machine]
			setUp := setUps[pair{s.Machine, before, j.Job}]
			start, end := float64(place.Start), float64(place.End)
			if !able || math.Abs(float64(place.SetUp-setUp)) > tick || start < free-tick || start < float64(j.Release)-tick || math.Abs(end-start-float64(setUp+run)) > tick {
				return fmt.Errorf("%s on %s from %.2f to %.2f min does not stand: %w", j.Job, s.Machine, start, end, fault.Infeasible)
			}
			if j.Due != nil && end > float64(*j.Due)+tick {
				late += float64(j.LateOnce) + (end-float64(*j.Due))/60*float64(j.LatePerHour)
			}
			cost += (end - start) / 60 * float64(p.Machines[i].CostPerHour)
			free, before = end, j.Job
		}
	}
	for _, j := range p.Jobs {
		if times[j.Job] != 1 {
			return fmt.Errorf("%s is answered %d times: %w", j.Job, times[j.Job], fault.Infeasible)
		}
	}
	slack := 1e-3 * (1 + cost + late)
	if math.Abs(cost+late-float64(a.Cost)) > slack || math.Abs(late-float64(a.LateCost)) > slack || float64(a.Bound) > float64(a.Cost)+slack {
		return fmt.Errorf("costs %.2f with %.2f of lateness; stated %.2f, %.2f, bound %.2f: %w", cost+late, late, float64(a.Cost), float64(a.LateCost), float64(a.Bound), fault.Infeasible)
	}
	return nil
}

// tick is a hundredth of a minute: times are worked through in whole milliseconds.
const tick = 0.01
