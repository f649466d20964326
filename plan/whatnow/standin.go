package whatnow

import (
	"fmt"
	"slices"
	"strings"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/roll"
)

// standIns are the ways that keep the runs and let another paper stand in for
// the one that is gone, in every ply of the lacking runs' grades where the
// plant's rules permit it; a run that lacks paper all the same stands back.
func (r *repair) standIns(w way, grades map[ident.Grade]bool) (ways []way) {
	i := slices.IndexFunc(r.Book.Rolls, func(v roll.Roll) bool { return gone(r.Event, v) })
	missing := r.Book.Rolls[i].Paper // the event is checked: such a roll is in the house
	var tried []ident.Paper
	for _, s := range w.book.Plant.Substitutes {
		if s.For != missing || slices.Contains(tried, s.Use) {
			continue
		}
		tried = append(tried, s.Use)
		places := permitted(w.book.Plant, missing, s.Use, grades)
		if len(places) == 0 {
			continue
		}
		c := w
		c.choices.Exchanges = slices.Concat(w.choices.Exchanges, places)
		lacking := r.lacking(plan.Exchanged(w.book, c.choices.Exchanges))
		c.runs = r.standBack(lacking)
		c.title = fmt.Sprintf("Let %s stand in for %s in %s", s.Use, missing, plies(places))
		c.name = fmt.Sprintf("%s stands in for %s: a name must stand for it", s.Use, missing)
		c.note = s.Note
		if n := len(lacking); n > 0 {
			c.title += fmt.Sprintf("; %s back until paper comes", plural(n, "run stands", "runs stand"))
		}
		ways = append(ways, c)
	}
	return ways
}

// permitted are the plies of some grades in which the plant lets one paper stand in for another.
func permitted(p plant.Plant, missing, use ident.Paper, grades map[ident.Grade]bool) (out []plan.Exchange) {
	for _, g := range p.Grades {
		for i, ply := range g.Plies {
			allows := func(s plant.Substitute) bool {
				return s.For == missing && s.Use == use && (len(s.Plies) == 0 || slices.Contains(s.Plies, i+1)) && (len(s.Grades) == 0 || slices.Contains(s.Grades, g.Code))
			}
			if grades[g.Code] && ply.Paper == missing && slices.ContainsFunc(p.Substitutes, allows) {
				out = append(out, plan.Exchange{Grade: g.Code, Ply: i + 1, For: missing, Use: use})
			}
		}
	}
	return out
}

// plies is "ply 1 of B-ST and ply 3 of BC-HV".
func plies(list []plan.Exchange) string {
	var out []string
	for _, x := range list {
		out = append(out, fmt.Sprintf("ply %d of %s", x.Ply, x.Grade))
	}
	if n := len(out); n > 1 {
		return strings.Join(out[:n-1], ", ") + " and " + out[n-1]
	}
	return strings.Join(out, "")
}
