package whatnow

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/roll"
)

// paperGone cuts the orders of the runs that lack paper anew on other webs,
// alone or with the rest of their grades. Doing nothing lets those runs stand
// back until their paper comes; what no delivery covers is not made.
func (r *repair) paperGone(ctx context.Context) (nothing way, ways []way, err error) {
	b := withoutPaper(r.st.book, r.Event)
	r.leave = true
	lacking := r.lacking(b)
	x := wordsOf(r.Book)
	what := string(r.Event.Roll)
	if r.Event.Roll == "" {
		what = fmt.Sprintf("%s at %s", r.Event.Paper, x.width(r.Event.Web))
	}
	nothing = way{book: b, jobs: r.st.jobs, note: "no run draws on what is gone"}
	nothing.runs, nothing.title = r.standBack(lacking), "Do nothing: "+what+" is not missed"
	if len(lacking) == 0 {
		return nothing, nil, nil
	}
	nothing.title = fmt.Sprintf("Do nothing: the %d runs that lack %s stand back until it comes", len(lacking), what)
	cut := fmt.Sprintf("Cut the %d runs anew on other webs", len(lacking))
	if len(lacking) == 1 {
		nothing.title = fmt.Sprintf("Do nothing: the run that lacks %s stands back until it comes", what)
		cut = "Cut the run anew on other webs"
	}
	nothing.note = r.unmade(nothing.runs)
	with := way{book: b, runs: r.st.runs, jobs: r.st.jobs}
	grades := map[ident.Grade]bool{}
	free := map[int]bool{}
	for i := range lacking {
		free[i], grades[r.st.runs[i].Grade] = true, true
	}
	ways = r.standIns(with, grades)
	ways = append(ways, r.anew(ctx, with, free, cut)...)
	all := maps.Clone(free)
	for i, run := range r.st.runs {
		if i >= r.fixedRuns() && grades[run.Grade] {
			all[i] = true
		}
	}
	if len(all) > len(free) {
		ways = append(ways, r.anew(ctx, with, all, "Cut all runs of the grades anew that lack it")...)
	}
	every := map[int]bool{}
	for i := r.fixedRuns(); i < len(r.st.runs) && i < mostPaperRuns; i++ {
		every[i] = true
	}
	for i := range free {
		every[i] = true
	}
	ways = append(ways, r.anew(ctx, with, every, "Cut all runs anew")...)
	return nothing, ways, nil
}

// anew is the way with the free runs cut anew where they stood; and the same
// with what becomes late brought forward.
func (r *repair) anew(ctx context.Context, w way, free map[int]bool, title string) []way {
	fresh, err := r.recut(ctx, w.book, w.choices, w.runs, free)
	if err != nil {
		r.out = append(r.out, Refused{Way: title, Reason: plainly(err)})
		return nil
	}
	out := r.inPlace(ctx, w, free, fresh, title)
	return append(out, r.reordered(out[0], title+", runs and machines sequenced anew"))
}

// draws is what a run draws of each paper at its web.
func draws(b plant.Book, r runs.Run) map[roll.PaperWeb]quantity.Distance {
	out := map[roll.PaperWeb]quantity.Distance{}
	for _, g := range b.Plant.Grades {
		if g.Code != r.Grade {
			continue
		}
		for _, ply := range g.Plies {
			up := 1.0
			for _, f := range b.Plant.Flutes {
				if f.Code == ply.Flute && ply.Flute != "" {
					up = f.TakeUp
				}
			}
			out[roll.PaperWeb{Paper: ply.Paper, Web: r.Web}] += quantity.Distance(float64(r.Length) * up)
		}
	}
	return out
}

// lacking finds the runs, by place, that neither the house nor a delivery before
// their planned start covers, with the delivery that will: zero where none does.
func (r *repair) lacking(b plant.Book) map[int]time.Time {
	if len(b.Rolls) == 0 {
		return nil
	}
	have := map[roll.PaperWeb]quantity.Distance{}
	for _, v := range b.Rolls {
		if !v.Hold {
			have[roll.PaperWeb{Paper: v.Paper, Web: v.Width}] += v.Length
		}
	}
	inbound := slices.Clone(b.Inbound)
	slices.SortStableFunc(inbound, func(a, c roll.Inbound) int { return a.ETA.Compare(c.ETA) })
	out := map[int]time.Time{}
	for i, run := range r.st.runs {
		need := draws(b, run)
		var waits time.Time
		never := false
		for k, metres := range need {
			at, ok := r.covered(have, inbound, k, metres)
			never = never || !ok
			if at.After(waits) {
				waits = at
			}
		}
		switch {
		case never:
			out[i] = time.Time{}
		case waits.After(r.st.start[run.Seq]) && waits.After(r.Now):
			out[i] = waits
		default:
			for k, metres := range need {
				have[k] -= metres
			}
		}
	}
	return out
}

// covered says from when there are so many metres; false when never.
func (r *repair) covered(have map[roll.PaperWeb]quantity.Distance, inbound []roll.Inbound, k roll.PaperWeb, metres quantity.Distance) (time.Time, bool) {
	left := metres - have[k]
	if left <= 0 {
		return time.Time{}, true
	}
	for _, in := range inbound {
		if in.Paper == k.Paper && in.Width == k.Web && in.ETA.After(r.Now) {
			if left -= in.Metres(); left <= 0 {
				return in.ETA, true
			}
		}
	}
	return time.Time{}, false
}

// standBack takes the lacking runs out of the sequence and puts each before the
// first run that starts after its paper comes; those that get none are left out.
func (r *repair) standBack(lacking map[int]time.Time) []runs.Run {
	var out []runs.Run
	var waits []int
	for i, run := range r.st.runs {
		at, lacks := lacking[i]
		switch {
		case !lacks:
			for len(waits) > 0 && !r.st.start[run.Seq].Before(lacking[waits[0]]) {
				out = append(out, r.st.runs[waits[0]])
				waits = waits[1:]
			}
			out = append(out, run)
		case !at.IsZero():
			waits = append(waits, i)
			slices.SortStableFunc(waits, func(x, y int) int { return lacking[x].Compare(lacking[y]) })
		}
	}
	for _, i := range waits {
		out = append(out, r.st.runs[i])
	}
	return out
}

// unmade names the orders of the plan that the runs leave out.
func (r *repair) unmade(left []runs.Run) string {
	in := map[ident.Release]bool{}
	for _, run := range left {
		for _, k := range ordersOf(run) {
			in[k] = true
		}
	}
	var out []ident.Release
	for _, run := range r.st.runs {
		for _, k := range ordersOf(run) {
			if !in[k] && !slices.Contains(out, k) {
				out = append(out, k)
			}
		}
	}
	if len(out) == 0 {
		return ""
	}
	return "no delivery covers " + list(out)
}
