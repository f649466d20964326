package promise

import (
	"fmt"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant/roll"
)

// wait is from when a run has its paper, and what it waits for.
type wait struct {
	at   time.Time
	what string
}

// paperFor walks the runs in sequence and says from when each has its paper, by
// seq. lacking is the first paper that never comes, "" when all do. A paper
// that no arrival names sets no limit.
func (p Problem) paperFor(list []runs.Run) (ready map[int]wait, lacking string) {
	ready = map[int]wait{}
	if len(p.Paper) == 0 {
		return ready, ""
	}
	arrivals := map[roll.PaperWeb][]Arrival{}
	named := map[ident.Paper]bool{}
	for _, a := range p.Paper {
		k := roll.PaperWeb{Paper: a.Paper, Web: a.Web}
		arrivals[k] = append(arrivals[k], a)
		named[a.Paper] = true
	}
	plies := map[ident.Grade][]runs.Ply{}
	for _, g := range p.Trim.Grades {
		plies[g.Grade] = g.Plies
	}
	drawn := map[roll.PaperWeb]quantity.Distance{}
	for _, r := range list {
		for _, ply := range plies[r.Grade] {
			if !named[ply.Paper] {
				continue
			}
			k := roll.PaperWeb{Paper: ply.Paper, Web: r.Web}
			drawn[k] += quantity.FromMetres(r.Length.Metres() * takeUp(ply))
			w, ok := cover(arrivals[k], drawn[k])
			if !ok && lacking == "" {
				lacking = string(ply.Paper)
			}
			if w.at.After(ready[r.Seq].at) {
				ready[r.Seq] = w
			}
		}
	}
	return ready, lacking
}

func takeUp(ply runs.Ply) float64 {
	if ply.TakeUp == 0 {
		return 1
	}
	return ply.TakeUp
}

// cover is the arrival by which so much has come.
func cover(list []Arrival, need quantity.Distance) (wait, bool) {
	var have quantity.Distance
	for _, a := range list {
		if have += a.Metres; have >= need || a.Metres == 0 && !a.At.IsZero() {
			if a.At.IsZero() {
				return wait{}, true
			}
			return wait{a.At, fmt.Sprintf("%s, %s", a.Paper, a.From)}, true
		}
	}
	return wait{}, false
}
