package desk

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/rolls"
	"github.com/flutewright/flutewright/plant/roll"
)

// paper looks at what is out of stock, short, or on hold.
func (l *looking) paper() {
	free, positions := map[roll.PaperWeb]quantity.Distance{}, map[roll.PaperWeb]rolls.Position{}
	for _, r := range l.Rolls {
		if !r.Hold {
			free[roll.PaperWeb{Paper: r.Paper, Web: r.Width}] += r.Length
		}
	}
	list := l.PaperPositions(l.plan, l.id, l.now)
	for _, p := range list {
		positions[roll.PaperWeb{Paper: p.Paper, Web: p.Web}] = p
	}
	said := map[roll.PaperWeb]bool{}
	for _, r := range l.Rolls {
		k := roll.PaperWeb{Paper: r.Paper, Web: r.Width}
		if r.Hold {
			l.rollHeld(r, free[k], positions[k])
			said[k] = true
		}
	}
	for _, in := range l.Inbound {
		k := roll.PaperWeb{Paper: in.Paper, Web: in.Width}
		if free[k] == 0 && !said[k] && in.ETA.After(l.now) {
			l.stockOut(k, in, positions[k])
			said[k] = true
		}
	}
	for _, p := range list {
		if k := (roll.PaperWeb{Paper: p.Paper, Web: p.Web}); p.Short > 0 && !said[k] {
			l.short(p)
		}
	}
}

// calls tells what must be called off in the day ahead, in one sentence; what
// only keeps the days of cover breaks nothing and stays on the list.
func (l *looking) calls(raw *plan.Plan) {
	var due []string
	m := Matter{Kind: "call off", Breaks: true}
	for _, c := range l.CallOff(raw, l.id, l.now).Calls {
		if c.Short == 0 || c.By.After(l.now.Add(dayAhead)) {
			continue
		}
		if !c.By.IsZero() && (m.ActBy.IsZero() || c.By.Before(m.ActBy)) {
			m.ActBy = c.By
		}
		from := c.Supplier
		if from == "" {
			from = "no supplier named"
		}
		due = append(due, fmt.Sprintf("%s of %s at %s (%s) for %s missing from %s", counted(c.Rolls, "roll", "rolls"), c.Paper, l.words.width(c.Web), from, l.words.metres(c.Short), l.words.clock(c.NeededAt, l.now)))
		m.Money += l.value(l.drawing(roll.PaperWeb{Paper: c.Paper, Web: c.Web}))
	}
	if len(due) == 0 {
		return
	}
	m.Text = "call off " + strings.Join(due[:min(3, len(due))], "; ")
	if n := len(due) - 3; n > 0 {
		m.Text += fmt.Sprintf("; and %d more", n)
	}
	l.find(m)
}

// drawing returns the releases on runs that draw a paper at a width without a roll in the house for it.
func (l *looking) drawing(k roll.PaperWeb) []ident.Release {
	runs := map[int]bool{}
	for _, n := range l.plan.Rolls.Needs {
		if n.Paper != k.Paper || n.Web != k.Web || !l.runDone(n.Run).Ended.IsZero() {
			continue
		}
		covered := quantity.Distance(0)
		for _, u := range n.Rolls {
			if u.Roll != "" {
				covered += u.Metres
			}
		}
		if n.Metres-covered >= quantity.FromMetres(1) {
			runs[n.Run] = true
		}
	}
	var out []ident.Release
	for _, r := range l.plan.Runs {
		if !runs[r.Seq] {
			continue
		}
		for _, key := range releasesOn(r) {
			if !slices.Contains(out, key) {
				out = append(out, key)
			}
		}
	}
	return out
}

// stockOut tells of a paper at a width of which nothing usable is in the house while a delivery is on its way.
func (l *looking) stockOut(k roll.PaperWeb, in roll.Inbound, p rolls.Position) {
	m := Matter{Kind: "paper", ActBy: in.ETA, Breaks: in.ETA.Before(l.now.Add(2*dayAhead)) || p.Short > 0}
	m.Text = fmt.Sprintf("%s at %s: %s until %s, when %s brings %s", k.Paper, l.words.width(k.Web), l.words.metres(0), l.words.clock(in.ETA, l.now), in.ID, l.words.metres(in.Metres()))
	if p.Short > 0 {
		wait := l.drawing(k)
		m.Money, m.ActBy = l.value(wait), p.ShortAt
		m.Text += fmt.Sprintf("; run %d is the first to draw it, %s, and %s on that truck", p.ShortRun, l.words.clock(p.ShortAt, l.now), counted(len(wait), "order hangs", "orders hang"))
	} else {
		m.Text += "; the plan draws none before"
	}
	l.find(m)
}

// rollHeld tells of a roll on hold beside what is free of its paper and width.
func (l *looking) rollHeld(r roll.Roll, free quantity.Distance, p rolls.Position) {
	k := roll.PaperWeb{Paper: r.Paper, Web: r.Width}
	m := Matter{Kind: "hold", Roll: r.ID, Breaks: p.Need > 0}
	m.Text = fmt.Sprintf("%s (%s at %s, %s) is on hold%s while %s of it are free", r.ID, r.Paper, l.words.width(r.Width), l.words.metres(r.Length), because(r.HoldReason), l.words.metres(free))
	switch {
	case p.Need == 0:
		m.Text += "; the plan draws none"
	case p.Short == 0:
		m.Text += fmt.Sprintf("; the plan draws %s", l.words.metres(p.Need))
	default:
		wait := l.drawing(k)
		m.Money, m.ActBy = l.value(wait), p.ShortAt
		m.Text += fmt.Sprintf("; the plan draws %s, %s are missing from run %d on, %s%s", l.words.metres(p.Need), l.words.metres(p.Short), p.ShortRun, l.words.clock(p.ShortAt, l.now), l.endedBy(p))
	}
	l.find(m)
}

func (l *looking) endedBy(p rolls.Position) string {
	switch {
	case p.EndedBy == nil:
		return "; no delivery is on its way"
	case p.EndedBy.InTime:
		return fmt.Sprintf("; %s brings %s in time", p.EndedBy.ID, l.words.metres(p.EndedBy.Metres))
	}
	return fmt.Sprintf("; %s brings %s only %s", p.EndedBy.ID, l.words.metres(p.EndedBy.Metres), l.words.clock(p.EndedBy.ETA, l.now))
}

// short tells of a paper of which some is there, but not enough.
func (l *looking) short(p rolls.Position) {
	wait := l.drawing(roll.PaperWeb{Paper: p.Paper, Web: p.Web})
	l.find(Matter{
		Kind: "paper", Money: l.value(wait), ActBy: p.ShortAt, Breaks: (p.EndedBy == nil || !p.EndedBy.InTime) && p.ShortAt.Before(l.now.Add(2*dayAhead)),
		Text: fmt.Sprintf("%s at %s: %s are missing from run %d on, %s%s", p.Paper, l.words.width(p.Web), l.words.metres(p.Short), p.ShortRun, l.words.clock(p.ShortAt, l.now), l.endedBy(p)),
	})
}

// rest takes over what the plan itself has to say and a day can wait for: one
// sentence a kind where several orders share it.
func (l *looking) rest() {
	var noLoad []ident.Release
	for _, n := range l.plan.Notices {
		if n.Release != (ident.Release{}) && (l.lines[n.Release] == nil || l.Done[n.Release].Shipped > 0) {
			continue
		}
		switch n.Kind {
		case "load":
			noLoad = append(noLoad, n.Release)
		case "late", "unplanned", "hold":
			// told from the ledger above
		case "paper":
			if note := paperNote(n); note {
				l.find(Matter{Kind: n.Kind, Text: n.Text, ActBy: n.ActBy})
			}
		default:
			l.find(Matter{Kind: n.Kind, Text: n.Text, ActBy: l.ahead(n), Release: n.Release, Money: l.value([]ident.Release{n.Release})})
		}
	}
	if len(noLoad) > 0 {
		l.find(Matter{Kind: "load", Money: l.value(noLoad), ActBy: l.firstMade(noLoad), Text: fmt.Sprintf("%s cannot be palletised as agreed: %s", counted(len(noLoad), "order", "orders"), few(noLoad))})
	}
}

// paperNote says whether a plan's word on paper is of rolls that are there but in the wrong pieces; missing metres are told above.
func paperNote(n plan.Notice) bool { return n.ActBy.IsZero() }

// ahead is the latest hour of a plan's own word: its own, or when the order's first sheet would be made.
func (l *looking) ahead(n plan.Notice) time.Time {
	if !n.ActBy.IsZero() || n.Release == (ident.Release{}) {
		return n.ActBy
	}
	return l.firstRun([]ident.Release{n.Release})
}

// firstRun is when the first run of any of these releases starts.
func (l *looking) firstRun(all []ident.Release) (at time.Time) {
	for _, r := range all {
		for _, seq := range l.onRuns[r] {
			if t := l.times[seq].Start; at.IsZero() || t.Before(at) {
				at = t
			}
		}
	}
	return at
}

// firstMade is when the first of these releases is to be made.
func (l *looking) firstMade(all []ident.Release) (at time.Time) {
	for _, r := range all {
		if f := l.ends[r]; f != nil && !f.MadeAt.IsZero() && (at.IsZero() || f.MadeAt.Before(at)) {
			at = f.MadeAt
		}
	}
	return at
}
