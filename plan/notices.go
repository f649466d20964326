package plan

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/calendar"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant/roll"
)

// weight of a kind of notice before money and time rank within it.
var noticeWeight = map[string]int{
	"late": 1, "unplanned": 2, "paper": 3, "strength": 4, "hold": 5, "load": 6, "tool": 7, "calendar": 8,
}

// conclude derives notices and the summary from the stations' answers.
func (m *maker) conclude(p *Plan) {
	m.lateNotices(p)
	m.unplannedNotices(p)
	m.paperNotices(p)
	m.strengthNotices(p)
	m.loadNotices(p)
	m.toolNotices(p)
	m.holdNotices(p)
	m.rollNotices(p)
	m.calendarNotices(p)
	slices.SortStableFunc(p.Notices, func(a, b Notice) int {
		return cmp.Or(cmp.Compare(noticeWeight[a.Kind], noticeWeight[b.Kind]), cmp.Compare(a.Rank, b.Rank))
	})
	for i := range p.Notices {
		p.Notices[i].Rank = i + 1
	}
	m.summarise(p)
}

func (m *maker) item(r ident.Release) string {
	for _, w := range m.all {
		if w.Release == r {
			return w.item.Description
		}
	}
	return ""
}

func (m *maker) lateNotices(p *Plan) {
	for _, f := range p.Clock.Finishes {
		if f.Late <= 0 {
			continue
		}
		text := fmt.Sprintf("%s (%s) is %s late", f.Release, m.item(f.Release), spell(f.Late.Duration()))
		if f.Overdue {
			text = fmt.Sprintf("%s (%s) was overdue before planning and is %s late", f.Release, m.item(f.Release), spell(f.Late.Duration()))
		}
		if f.WaitsFor != "" {
			text += "; it waits for " + f.WaitsFor
		}
		if f.LateCost > 0 {
			text += fmt.Sprintf("; lateness costs %.0f %s", float64(f.LateCost), m.ix.book.Plant.Display.Currency)
		}
		p.Notices = append(p.Notices, Notice{Kind: "late", Release: f.Release, Text: text, ActBy: f.LatestExit, Rank: -int(f.LateCost)})
	}
}

func (m *maker) unplannedNotices(p *Plan) {
	for _, u := range p.Unplanned {
		r, err := ident.ParseRelease(u.Order)
		if err != nil {
			continue // a name that is no release has no page to link to; Unplanned still lists it
		}
		p.Notices = append(p.Notices, Notice{Kind: "unplanned", Release: r, Text: fmt.Sprintf("%s (%s) is not planned: %s", u.Order, m.item(r), u.Reason)})
	}
}

func (m *maker) paperNotices(p *Plan) {
	for _, pos := range p.Rolls.Positions {
		if pos.Short <= 0 {
			if pos.Note != "" {
				p.Notices = append(p.Notices, Notice{Kind: "paper", Rank: 1, Text: fmt.Sprintf("%s at %s is in the house, but not in one roll for every stand: %s", pos.Paper, pos.Web, pos.Note)})
			}
			continue
		}
		text := fmt.Sprintf("%s at %s: %.0f m more are needed than are in the house, from run %d", pos.Paper, pos.Web, pos.Short.Metres(), pos.ShortRun)
		switch {
		case pos.EndedBy == nil:
			text += "; no delivery is on its way"
		case pos.EndedBy.InTime:
			text += fmt.Sprintf("; %s brings %.0f m in time, at %s", pos.EndedBy.ID, pos.EndedBy.Metres.Metres(), pos.EndedBy.ETA.Format("Mon 15:04"))
		default:
			text += fmt.Sprintf("; %s brings %.0f m only at %s", pos.EndedBy.ID, pos.EndedBy.Metres.Metres(), pos.EndedBy.ETA.Format("Mon 15:04"))
		}
		rank := 0
		if pos.EndedBy != nil && pos.EndedBy.InTime {
			rank = 1
		}
		p.Notices = append(p.Notices, Notice{Kind: "paper", Text: text, ActBy: pos.ShortAt, Rank: rank})
	}
}

func (m *maker) strengthNotices(p *Plan) {
	for _, d := range p.Demands {
		if d.Strength == nil || d.Strength.Verdict == "holds" {
			continue
		}
		text := fmt.Sprintf("%s (%s) on %s: the lowest box may bear %.0f N and would carry %.0f N", d.Release, m.item(d.Release), d.Grade, float64(d.Strength.Allowed), float64(d.Strength.Load))
		rank := 0
		if d.Strength.Verdict == "close" {
			text, rank = text+"; that is within the estimate's error of ±25 %", 1
		}
		if d.Strength.Advice != "" {
			text += "; " + d.Strength.Advice
		}
		p.Notices = append(p.Notices, Notice{Kind: "strength", Release: d.Release, Text: text, Rank: rank})
	}
}

func (m *maker) loadNotices(p *Plan) {
	for _, l := range p.Loads {
		if l.Refusal != "" {
			p.Notices = append(p.Notices, Notice{Kind: "load", Release: l.Release, Text: fmt.Sprintf("%s (%s) cannot be palletised: %s", l.Release, m.item(l.Release), l.Refusal)})
		}
	}
}

// toolNotices warn of a die or plate that is away, or will pass its limit within the order.
func (m *maker) toolNotices(p *Plan) {
	hits := map[string]int{}
	for _, j := range p.Clock.Jobs {
		for _, w := range m.ws {
			if w.Release == j.Release && j.Step == 1 {
				hits[string(w.item.Die)] += j.Sheets
				hits[string(w.item.Plate)] += j.Sheets
			}
		}
	}
	for _, t := range m.ix.book.Plant.Tools {
		n := hits[t.ID]
		if n == 0 {
			continue
		}
		if left := t.Limit - t.Hits; t.Limit > 0 && n > left-left/10 {
			p.Notices = append(p.Notices, Notice{Kind: "tool", Text: fmt.Sprintf("%s %s has %d of %d hits left and this plan takes %d; %s", t.Kind, t.ID, left, t.Limit, n, reserve(left-n))})
		}
		if t.Away && t.BackAt.After(p.Now) {
			p.Notices = append(p.Notices, Notice{Kind: "tool", Text: fmt.Sprintf("%s %s is away until %s; its job is planned after that", t.Kind, t.ID, t.BackAt.Format("Mon 15:04")), ActBy: t.BackAt})
		}
	}
}

func reserve(n int) string {
	if n < 0 {
		return fmt.Sprintf("%d short: repair it first, or split the job", -n)
	}
	return fmt.Sprintf("%d in reserve: order the repair now", n)
}

func (m *maker) holdNotices(p *Plan) {
	for _, r := range m.ix.book.Rolls {
		if !r.Hold {
			continue
		}
		k, free, needed := paperWeb{r.Paper, r.Width}, 0.0, false
		for _, o := range m.ix.book.Rolls {
			if !o.Hold && (paperWeb{o.Paper, o.Width}) == k {
				free += o.Length.Metres()
			}
		}
		for _, pos := range p.Rolls.Positions {
			needed = needed || pos.Paper == k.paper && pos.Web == k.web && pos.Need > 0
		}
		text := fmt.Sprintf("roll %s (%s at %s, %.0f m) is on hold: %s; %.0f m of it are free", r.ID, r.Paper, r.Width, r.Length.Metres(), r.HoldReason, free)
		if !needed {
			text += ", and this plan needs none"
		}
		p.Notices = append(p.Notices, Notice{Kind: "hold", Text: text})
	}
}

// rollNotices name the rolls that do not agree with themselves, in one sentence.
func (m *maker) rollNotices(p *Plan) {
	var off []string
	for _, r := range m.ix.book.Rolls {
		paper := m.ix.catalogue.Papers[r.Paper]
		if why := roll.CrossCheck(r, paper.Caliper, paper.Grammage); len(why) > 0 {
			off = append(off, fmt.Sprintf("%s %s", r.ID, why[0]))
		}
	}
	if len(off) == 0 {
		return
	}
	more := ""
	if n := len(off); n > 3 {
		off, more = off[:3], fmt.Sprintf("; and %d more", n-3)
	}
	p.Notices = append(p.Notices, Notice{Kind: "hold", Rank: 1, Text: "rolls that do not agree with themselves by more than 3 %, measure them: " + strings.Join(off, "; ") + more})
}

func (m *maker) calendarNotices(p *Plan) {
	clock, err := calendar.Compile(m.ix.book.Plant.Calendar)
	if err != nil {
		return // the jobs station has refused such a calendar before
	}
	by := map[string][]string{}
	var days []string
	for _, w := range m.all {
		if why := clock.ClosedNotice(w.Due); why != "" {
			if by[why] == nil {
				days = append(days, why)
			}
			by[why] = append(by[why], w.Release.String())
		}
	}
	for _, why := range days {
		list := by[why]
		more := ""
		if len(list) > 8 {
			more = fmt.Sprintf(" and %d more", len(list)-8)
			list = list[:8]
		}
		p.Notices = append(p.Notices, Notice{Kind: "calendar", Text: strings.Join(list, ", ") + more + ": " + why})
	}
}

// spell writes a span in the two largest of days, hours and minutes.
func spell(d time.Duration) string {
	d = d.Round(time.Minute)
	switch days, hours, minutes := int(d.Hours())/24, int(d.Hours())%24, int(d.Minutes())%60; {
	case days > 0:
		return fmt.Sprintf("%d d %d h", days, hours)
	case hours > 0:
		return fmt.Sprintf("%d h %02d min", hours, minutes)
	default:
		return fmt.Sprintf("%d min", minutes)
	}
}
