package runs

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/flutewright/flutewright/base/quantity"
)

// Different is a plan of the same orders that is of another kind: it runs at
// least a twentieth of its web at other widths, or gives at least a stated share of its orders
// other partners.
type Different struct {
	Words    string            `json:"words"`
	Extra    quantity.Money    `json:"extra"`              // cost over that of the plan it is laid beside; negative: less
	Without  []quantity.Length `json:"webs_gone_mm"`       // run by the plan, not by this one
	With     []quantity.Length `json:"webs_new_mm"`        // run by this one only
	Webs     float64           `json:"other_webs_pct"`     // per cent of the web's area that is run at other widths
	Partners float64           `json:"other_partners_pct"` // per cent of the orders that have other partners
	Answer   Answer            `json:"plan"`
}

// DifferentPlans returns up to opt.Plans plans that differ from a and from each
// other, cheapest first. They are planned without one of the webs that a runs,
// or with the partners that meet in its runs of most paper kept apart, each with
// opt.Rounds from the seed, so that a cheaper one may have been missed. Each
// makes every order that a makes and has passed Check of p.
func DifferentPlans(ctx context.Context, p Problem, a Answer, opt ExplainOptions) ([]Different, error) {
	opt.Rounds, opt.Plans, opt.Share = cmp.Or(opt.Rounds, explainRounds), cmp.Or(opt.Plans, explainPlans), cmp.Or(opt.Share, explainShare)
	var list []Different
	for _, q := range p.others(a) {
		if ctx.Err() != nil {
			break
		}
		if q.Validate() != nil { // a pinned run asks for what is kept away here
			continue
		}
		b, err := Solve(ctx, q, Options{Seed: opt.Seed, Rounds: opt.Rounds, Start: &a})
		if err != nil {
			return nil, err
		}
		b.Totals.Bound, b.Totals.GapPct = a.Totals.Bound, 0
		if b = p.retotal(b); ctx.Err() != nil || !slices.EqualFunc(a.Unplanned, b.Unplanned, func(x, y Unplanned) bool { return x.Order == y.Order }) {
			continue // one that leaves out others is no answer to the same question
		}
		if err := Check(p, b); err != nil {
			return nil, fmt.Errorf("a different plan: %w", err)
		}
		list = append(list, different(a, b))
	}
	slices.SortStableFunc(list, func(x, y Different) int { return cmp.Compare(x.Extra, y.Extra) })
	out := []Different{}
	for _, d := range list {
		apart := func(o Answer) bool { return different(o, d.Answer).differs(opt.Share) }
		if len(out) < opt.Plans && apart(a) && !slices.ContainsFunc(out, func(o Different) bool { return !apart(o.Answer) }) {
			out = append(out, d)
		}
	}
	return out, nil
}

// otherWebs is the share of the web's area at other widths, in per cent, from
// which a plan is of another kind.
const otherWebs = 5

func (d Different) differs(share float64) bool {
	return d.Webs >= otherWebs || d.Partners >= 100*share
}

// others are tighter problems whose plans are of another kind than a.
func (p Problem) others(a Answer) []Problem {
	var out []Problem
	for _, web := range websRun(a.Runs[min(len(p.Frozen), len(a.Runs)):]) {
		q := p
		q.BarredWebs = append(slices.Clone(p.BarredWebs), web)
		out = append(out, q)
	}
	pairs := p.pairs(a)
	for _, share := range []int{1, 2, 4} { // all pairs, the half that fill most web, a quarter
		if n := (len(pairs) + share - 1) / share; n > 0 {
			q := p
			q.Apart = append(slices.Clone(p.Apart), pairs[:n]...)
			out = append(out, q)
		}
	}
	return out
}

func websRun(list []Run) []quantity.Length {
	var out []quantity.Length
	for _, r := range list {
		out = append(out, r.Web)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// pairs are the partners of the free runs, those first that share most web.
func (p Problem) pairs(a Answer) [][2]string {
	area := map[[2]string]float64{}
	for i, r := range a.Runs {
		for k, x := range r.Lanes {
			for _, y := range r.Lanes[k+1:] {
				if i >= len(p.Frozen) {
					area[[2]string{min(x.Order, y.Order), max(x.Order, y.Order)}] += r.Web.Metres() * r.Length.Metres()
				}
			}
		}
	}
	var out [][2]string
	for pair := range area {
		out = append(out, pair)
	}
	slices.SortFunc(out, func(x, y [2]string) int {
		return cmp.Or(cmp.Compare(area[y], area[x]), cmp.Compare(x[0], y[0]), cmp.Compare(x[1], y[1]))
	})
	return out
}

// different lays plan b beside plan a.
func different(a, b Answer) Different {
	d := Different{Answer: b, Extra: b.Totals.Cost - a.Totals.Cost, Without: []quantity.Length{}, With: []quantity.Length{}}
	was, is := websRun(a.Runs), websRun(b.Runs)
	for _, w := range was {
		if !slices.Contains(is, w) {
			d.Without = append(d.Without, w)
		}
	}
	for _, w := range is {
		if !slices.Contains(was, w) {
			d.With = append(d.With, w)
		}
	}
	d.Webs = elsewhere(a.Runs, b.Runs)
	before, after := partners(a), partners(b)
	changed := 0
	for order, list := range before {
		if list != after[order] {
			changed++
		}
	}
	if len(before) > 0 {
		d.Partners = 100 * float64(changed) / float64(len(before))
	}
	d.Words = d.sentence(len(a.Runs), len(b.Runs))
	return d
}

// elsewhere is the share of the web's area, in per cent, that two lists of runs
// have at different widths.
func elsewhere(a, b []Run) float64 {
	at := map[quantity.Length]float64{}
	var apart, all float64
	for _, r := range a {
		at[r.Web] += r.Web.Metres() * r.Length.Metres()
		all += r.Web.Metres() * r.Length.Metres()
	}
	for _, r := range b {
		at[r.Web] -= r.Web.Metres() * r.Length.Metres()
		all += r.Web.Metres() * r.Length.Metres()
	}
	for _, v := range at {
		apart += math.Abs(v)
	}
	if all == 0 {
		return 0
	}
	return 100 * apart / all
}

// partners names the orders that share runs with each order, in one text.
func partners(a Answer) map[string]string {
	sets := map[string][]string{}
	for _, r := range a.Runs {
		for _, l := range r.Lanes {
			sets[l.Order] = append(sets[l.Order], "")
			for _, o := range r.Lanes {
				if o.Order != l.Order {
					sets[l.Order] = append(sets[l.Order], o.Order)
				}
			}
		}
	}
	out := map[string]string{}
	for order, list := range sets {
		slices.Sort(list)
		out[order] = strings.Join(slices.Compact(list), "\x00")
	}
	return out
}

func (d Different) sentence(was, is int) string {
	var words []string
	names := func(list []quantity.Length) string {
		out := make([]string, len(list))
		for i, w := range list {
			out[i] = w.String()
		}
		return strings.Join(out, ", ")
	}
	if len(d.Without) > 0 {
		words = append(words, "without "+names(d.Without))
	}
	if len(d.With) > 0 {
		words = append(words, "with "+names(d.With))
	}
	if d.Webs >= 1 {
		words = append(words, fmt.Sprintf("%.0f %% of the web at other widths", d.Webs))
	}
	words = append(words, fmt.Sprintf("%.0f %% of the orders with other partners", d.Partners), fmt.Sprintf("%d runs instead of %d", is, was))
	return strings.Join(words, ", ")
}
