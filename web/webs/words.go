package webs

import (
	"fmt"
	"math"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	engine "github.com/flutewright/flutewright/plan/webs"
	"github.com/flutewright/flutewright/web/frame"
)

// row is one set in a year's money.
type row struct {
	engine.Set
	Beyond, KeepY, Together quantity.Money
	WasteY                  quantity.Area   // all that it wastes in a year
	More                    int             // orders left out that all widths together make
	Against                 *quantity.Money // Together less today's; nil where the two leave other numbers of orders
	Shares                  []share
}

// share is how much of a set's metres one width runs.
type share struct {
	Web quantity.Length
	Pct float64
}

func rowOf(r engine.Result, s engine.Set) row {
	out := row{Set: s, Beyond: r.Year(r.Beyond(s)), KeepY: r.Year(s.Keep), WasteY: s.Waste * quantity.Area(r.Year(1)), More: max(0, len(s.Left)-len(r.All.Left))}
	out.Together = out.Beyond + out.KeepY
	if engine.Comparable(s, r.Today) {
		more := r.Year(s.Cost - r.Today.Cost)
		out.Against = &more
	}
	whole := 0.0
	for _, u := range s.Used {
		whole += u.Length.Metres()
	}
	for _, u := range s.Used {
		out.Shares = append(out.Shares, share{u.Web, 100 * u.Length.Metres() / math.Max(whole, 1e-9)})
	}
	return out
}

// money writes an amount with its unit, without a sign.
func money(f frame.Figures, m quantity.Money) string {
	return f.WholeMoney(max(m, -m)) + " " + f.MoneyUnit()
}

// change says how something moves: "5,000 EUR more trim".
func change(f frame.Figures, m quantity.Money, what string) string {
	if m < 0 {
		return money(f, m) + " less " + what
	}
	return money(f, m) + " more " + what
}

// verdict sets the best set against today's, in a year's money.
func verdict(f frame.Figures, s desk.WebsSearch) string {
	r := s.Result
	best, today := r.Sets[0], r.Today
	if !engine.Comparable(best, today) {
		return fmt.Sprintf("It leaves %s out and today's widths leave %s, so the two costs cannot be set against each other.", frame.Plural(len(best.Left), "order"), f.Count(len(today.Left)))
	}
	saved, widths := r.Year(today.Cost-best.Cost), frame.Plural(len(today.Webs), "width")
	trim, keep := change(f, r.Year(best.Paper()-today.Paper()), "trim"), change(f, r.Year(best.Keep-today.Keep), "keeping")
	switch {
	case saved >= 0.5:
		return fmt.Sprintf("Against today's %s it saves %s a year: %s, %s.", widths, money(f, saved), trim, keep)
	case saved <= -0.5:
		return fmt.Sprintf("Today's %s cost %s a year less: %s and %s go with the best set of these candidates.", widths, money(f, saved), trim, keep)
	}
	return fmt.Sprintf("It costs as much as today's %s.", widths)
}

// steps says what each further width brings.
func steps(f frame.Figures, s desk.WebsSearch) []string {
	r := s.Result
	var out []string
	for i := 1; i < len(r.Best); i++ {
		a, b := r.Best[i-1], r.Best[i]
		step := fmt.Sprintf("From %d to %s: ", len(a.Webs), frame.Plural(len(b.Webs), "width"))
		trim, keep := r.Year(a.Paper()-b.Paper()), r.Year(b.Keep-a.Keep)
		switch {
		case len(b.Left) < len(a.Left):
			step += fmt.Sprintf("%s more can be made.", frame.Plural(len(a.Left)-len(b.Left), "order"))
		case !engine.Comparable(a, b):
			step += fmt.Sprintf("%s fewer can be made.", frame.Plural(len(b.Left)-len(a.Left), "order"))
		case keep == 0:
			step += fmt.Sprintf("trim falls by %s a year.", money(f, trim))
		case trim >= keep:
			step += fmt.Sprintf("trim falls by %s a year, keeping rises by %s: worth %s.", money(f, trim), money(f, keep), money(f, trim-keep))
		default:
			step += fmt.Sprintf("trim falls by %s a year, keeping rises by %s: %s too dear.", money(f, trim), money(f, keep), money(f, keep-trim))
		}
		out = append(out, step)
	}
	if last := len(r.Best); r.Status != engine.Stopped && last < min(s.Ask.Most, len(s.Ask.Candidates)) {
		out = append(out, "No further width of these candidates brings anything.")
	}
	return out
}

// planned says what came of planning the best set and today's whole; "" where that was cut short.
func planned(f frame.Figures, r engine.Result) string {
	best, today := r.Sets[0], r.Today
	if best.Plan == nil || today.Plan == nil {
		return ""
	}
	of := func(s engine.Set) string {
		words := fmt.Sprintf("%s in %s, wasting %s %%", money(f, s.Plan.Cost), frame.Plural(s.Plan.Runs, "run"), f.Pct(s.Plan.WastePct, 2))
		switch {
		case s.Plan.Unplanned > len(s.Left)+len(s.Over):
			words += fmt.Sprintf(", with %s left out", frame.Plural(s.Plan.Unplanned, "order"))
		case s.Plan.Unplanned == len(s.Left)+len(s.Over) && s.Trim > 0:
			words += fmt.Sprintf(", %s %% above what it is judged by", f.Pct(100*(float64(s.Plan.Cost/s.Trim)-1), 1))
		}
		return words
	}
	return fmt.Sprintf("Planned whole, these orders cost %s, on the best set; on today's widths %s. A plan is a search and has its chance; the judgement has none, and runs that are not whole make it too low for every set alike.", of(best), of(today))
}
