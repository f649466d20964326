package plan

import (
	"fmt"
	"strings"

	"github.com/flutewright/flutewright/base/calendar"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/roll"
)

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
			p.Notices = append(p.Notices, Notice{Kind: "tool", Text: fmt.Sprintf("%s %s is away until %s; its job is planned after that", t.Kind, t.ID, m.clockTime(t.BackAt)), ActBy: t.BackAt})
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
	say := m.say()
	for _, r := range m.ix.book.Rolls {
		if !r.Hold {
			continue
		}
		k, free, needed := roll.PaperWeb{Paper: r.Paper, Web: r.Width}, quantity.Distance(0), false
		for _, o := range m.ix.book.Rolls {
			if !o.Hold && (roll.PaperWeb{Paper: o.Paper, Web: o.Width}) == k {
				free += o.Length
			}
		}
		for _, pos := range p.Rolls.Positions {
			needed = needed || pos.Paper == k.Paper && pos.Web == k.Web && pos.Need > 0
		}
		text := fmt.Sprintf("roll %s (%s at %s, %s) is on hold: %s; %s of it are free", r.ID, r.Paper, say.width(r.Width), say.metres(r.Length), r.HoldReason, say.metres(free))
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
	last := m.opt.Now
	for _, f := range p.Clock.Finishes {
		if f.MadeAt.After(last) {
			last = f.MadeAt
		}
	}
	for _, u := range clock.Uneven(m.opt.Now, last) {
		p.Notices = append(p.Notices, Notice{Kind: "calendar", ActBy: u.From, Text: u.String()})
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
