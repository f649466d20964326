package promise

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

// sooner keeps, of the ways tried that have it earlier, those that no other
// beats in time and price both, and names the cheapest that gains a day.
func (s *solver) sooner(out *Result, best worked) {
	plain := s.plainCost()
	list := slices.DeleteFunc(slices.Clone(s.tried), func(w worked) bool { return !w.at.Before(best.at.Add(-time.Minute)) })
	slices.SortStableFunc(list, func(a, b worked) int {
		return cmp.Or(cmp.Compare(a.cost(plain), b.cost(plain)), a.at.Compare(b.at))
	})
	earliest := best.at
	for _, w := range list {
		if !w.at.Before(earliest.Add(-time.Minute)) {
			continue
		}
		earliest = w.at
		out.Sooner = append(out.Sooner, Sooner{
			At: w.at, Gain: quantity.InMinutes(best.at.Sub(w.at)), Cost: w.cost(plain) - best.cost(plain), Means: s.means(w, best), Runs: s.placed(w), Others: s.moved(w),
		})
	}
	for i := range out.Sooner {
		if o := &out.Sooner[i]; o.Gain >= 24*60 && (out.DaySooner == nil || o.Cost < out.DaySooner.Cost) {
			out.DaySooner = o
		}
		if o := &out.Sooner[i]; !out.Yes && !o.At.After(out.Due) && (out.InTime == nil || o.Cost < out.InTime.Cost) {
			out.InTime = o
		}
	}
}

// means says by what w has the release earlier than the answer.
func (s *solver) means(w, best worked) (out []string) {
	if w.clock.Overtime > best.clock.Overtime {
		out = append(out, "overtime")
	}
	a, b := machinesOf(w, s.ask().Key), machinesOf(best, s.ask().Key)
	if a != b {
		out = append(out, "other machine: "+a)
	}
	if x, y := s.websOf(w), s.websOf(best); x != y && x != "" {
		out = append(out, "other web")
	}
	for _, i := range w.mine {
		if w.runs[i].Grade != s.order.Grade {
			out = append(out, "upgrade to "+string(w.runs[i].Grade))
			break
		}
	}
	if w.exit.Before(best.exit) {
		out = append(out, "earlier on the corrugator")
	}
	if w.ahead {
		out = append(out, "ahead of others at the press")
	}
	if w.thawed && (w.frozen && !w.asIs || s.beforeFrozen(w)) {
		out = append(out, "break of freeze")
	}
	if len(out) == 0 && w.exit.After(best.exit) { // what it lets go before it helps more than its own place
		out = append(out, "later on the corrugator")
	}
	return out
}

// beforeFrozen says whether the way puts the release's jobs among frozen ones.
func (s *solver) beforeFrozen(w worked) bool {
	for _, j := range w.clock.Jobs {
		frozen := 0
		for _, k := range s.Clock.Frozen {
			if k.Machine == j.Machine && k.Release != j.Release {
				frozen++
			}
		}
		if j.Release == s.ask().Key && j.Seq <= frozen {
			return true
		}
	}
	return false
}

func machinesOf(w worked, key ident.Release) string {
	var out []string
	for _, j := range w.clock.Jobs {
		if j.Release == key {
			out = append(out, fmt.Sprintf("%d %s", j.Step, j.Machine))
		}
	}
	slices.Sort(out)
	for i := range out {
		out[i] = out[i][strings.Index(out[i], " ")+1:]
	}
	return strings.Join(out, ", ")
}

func (s *solver) websOf(w worked) string {
	var out []string
	for _, i := range w.mine {
		out = append(out, w.runs[i].Web.String())
	}
	return strings.Join(out, ", ")
}
