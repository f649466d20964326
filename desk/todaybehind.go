package desk

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plant/trace"
)

// slack is how far behind the plan a machine may be before it is worth a
// sentence (common practice, no published source).
const slack = 15 * time.Minute

// behind sets the corrugator's runs against the clock.
func (l *looking) behind() {
	told := 0
	for _, r := range l.plan.Runs {
		done := l.runDone(r.Seq)
		if !done.Started.IsZero() || !done.Ended.IsZero() {
			told++
		}
		if !done.Ended.IsZero() {
			continue
		}
		t := l.times[r.Seq]
		late := l.now.Sub(t.End)
		if late < slack {
			return
		}
		if told == 0 {
			l.find(Matter{Kind: "behind", Text: fmt.Sprintf("nobody has told of any run of plan %d, though run %d was to end %s: say what runs, or plan again", l.id, r.Seq, l.words.clock(t.End, l.now))})
			return
		}
		m := Matter{Kind: "behind", Breaks: true, ActBy: l.now}
		hit := l.loseFloat(late, func(ident.Release) bool { return true })
		m.Text = fmt.Sprintf("the corrugator is %s behind plan %d: run %d was to end %s", span(late), l.id, r.Seq, l.words.clock(t.End, l.now))
		m.Text += floatWords(hit)
		m.Money = l.value(hit)
		l.find(m)
		return
	}
}

// loseFloat are the releases still to be made that were in time and are not, that much later.
func (l *looking) loseFloat(late time.Duration, of func(ident.Release) bool) []ident.Release {
	var hit []ident.Release
	for _, f := range l.plan.Clock.Finishes {
		if f.Late == 0 && f.Float.Duration() < late && f.MadeAt.After(l.now) && of(f.Release) {
			hit = append(hit, f.Release)
		}
	}
	return hit
}

func floatWords(hit []ident.Release) string {
	switch len(hit) {
	case 0:
		return "; no order loses its float yet"
	case 1:
		return "; 1 order loses its float: " + hit[0].String()
	}
	return fmt.Sprintf("; %d orders lose their float: %s", len(hit), few(hit))
}

// machinesBehind sets each converting machine's jobs against the clock. A
// machine that is told to stand is told of by its stop; one of which nothing at
// all was told is named with the others of its kind in one sentence.
func (l *looking) machinesBehind() {
	by := map[ident.Machine][]jobs.Job{}
	for _, j := range l.plan.Clock.Jobs {
		by[j.Machine] = append(by[j.Machine], j)
	}
	var silent []ident.Machine
	for _, m := range l.Plant.Machines {
		if _, stands := l.Floor.Stops[m.Code]; stands {
			continue
		}
		list := by[m.Code]
		slices.SortFunc(list, func(a, b jobs.Job) int { return cmp.Compare(a.Seq, b.Seq) })
		if first, told := l.overdue(list); first != nil && !told {
			silent = append(silent, m.Code)
		} else if first != nil {
			l.machineBehind(*first, list)
		}
	}
	if len(silent) > 0 {
		names := make([]string, len(silent))
		for i, m := range silent {
			names[i] = string(m)
		}
		l.find(Matter{Kind: "behind", Machine: silent[0], Text: fmt.Sprintf("nobody has told of any job of plan %d on %s, though jobs there were to end by now: say what runs, or plan again", l.id, strings.Join(names, ", "))})
	}
}

// overdue is the first job of a machine that was to end slack ago and has not;
// told says whether anything was told of the machine's jobs in this plan.
func (l *looking) overdue(list []jobs.Job) (first *jobs.Job, told bool) {
	for i, j := range list {
		done, known := l.Floor.Jobs[trace.Job{Release: j.Release, Machine: j.Machine}]
		told = told || known
		if !done.Ended.IsZero() {
			continue
		}
		if first == nil && l.now.Sub(j.End) >= slack && !l.complete(j.Release) {
			first = &list[i]
		}
	}
	return first, told
}

// complete says whether a release needs no more making, whoever told of it.
func (l *looking) complete(r ident.Release) bool {
	line := l.lines[r]
	return line == nil || l.Done[r].Finished() >= line.Quantity
}

func (l *looking) machineBehind(first jobs.Job, list []jobs.Job) {
	late := l.now.Sub(first.End)
	hit := l.loseFloat(late, func(r ident.Release) bool {
		return slices.ContainsFunc(list, func(j jobs.Job) bool { return j.Release == r && j.Seq >= first.Seq })
	})
	l.find(Matter{
		Kind: "behind", Breaks: true, ActBy: l.now, Machine: first.Machine, Money: l.value(hit),
		Text: fmt.Sprintf("%s is %s behind plan %d: job %d, %s, was to end %s", first.Machine, span(late), l.id, first.Seq, first.Release, l.words.clock(first.End, l.now)) + floatWords(hit),
	})
}
