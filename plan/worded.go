package plan

import (
	"slices"
	"strings"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

// Worded returns the plan with the sentences of its engines in a plant's units;
// figures stay as they are, and so do the descriptions that people gave to
// items. A metric plant gets p itself. p is not changed.
func Worded(p *Plan, f quantity.Format, description func(ident.Item) string) *Plan {
	if !f.US {
		return p
	}
	out := *p
	items := map[ident.Release]ident.Item{}
	out.Demands = slices.Clone(p.Demands)
	for i := range out.Demands {
		d := &out.Demands[i]
		items[d.Release] = d.Item
		d.Fault = f.Say(d.Fault)
		if d.Strength != nil {
			s := *d.Strength
			s.Advice = f.Say(s.Advice)
			d.Strength = &s
		}
	}
	out.Unplanned = slices.Clone(p.Unplanned)
	for i := range out.Unplanned {
		out.Unplanned[i].Reason = f.Say(out.Unplanned[i].Reason)
	}
	out.Notices = slices.Clone(p.Notices)
	for i := range out.Notices {
		n := &out.Notices[i]
		n.Text = sayAround(f, n.Text, "("+description(items[n.Release])+")")
	}
	out.Rolls.Positions = slices.Clone(p.Rolls.Positions)
	for i := range out.Rolls.Positions {
		out.Rolls.Positions[i].Note = f.Say(out.Rolls.Positions[i].Note)
	}
	out.wordClock(f)
	out.Loads = slices.Clone(p.Loads)
	for i := range out.Loads {
		l := &out.Loads[i]
		l.Refusal, l.Warnings = f.Say(l.Refusal), said(f, l.Warnings)
	}
	return &out
}

// wordClock words the reasons of runs, jobs and finishes.
func (p *Plan) wordClock(f quantity.Format) {
	c := &p.Clock
	c.Runs, c.Jobs, c.Refused = slices.Clone(c.Runs), slices.Clone(c.Jobs), slices.Clone(c.Refused)
	for i := range c.Runs {
		c.Runs[i].SpeedWhy = f.Say(c.Runs[i].SpeedWhy)
	}
	for i := range c.Jobs {
		c.Jobs[i].Why = f.Say(c.Jobs[i].Why)
	}
	for i := range c.Refused {
		c.Refused[i].Reason = f.Say(c.Refused[i].Reason)
	}
}

func said(f quantity.Format, list []string) []string {
	out := slices.Clone(list)
	for i := range out {
		out[i] = f.Say(out[i])
	}
	return out
}

// sayAround words a sentence but for the words of people in it.
func sayAround(f quantity.Format, sentence, theirs string) string {
	before, after, found := strings.Cut(sentence, theirs)
	if !found || theirs == "()" {
		return f.Say(sentence)
	}
	return f.Say(before) + theirs + f.Say(after)
}
