package desk

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/runs"
)

// Pair is one figure of two plans.
type Pair[T any] struct {
	A T `json:"a"`
	B T `json:"b"`
}

// Comparison lays two plans side by side.
type Comparison struct {
	A, B      PlanHead
	Cost      Pair[quantity.Money]    // board, presses and lateness
	BoardCost Pair[quantity.Money]    //
	PressCost Pair[quantity.Money]    //
	LateCost  Pair[quantity.Money]    //
	Metres    Pair[quantity.Distance] // of web
	WastePct  Pair[float64]           //
	Late      Pair[int]               // orders
	LateHours Pair[float64]           //
	Runs      Pair[int]               //
	Planned   Pair[int]               // orders
	Uncovered Pair[quantity.Distance] // paper metres not covered in time
	OnlyA     []runs.Run              // runs that the other plan does not have, in A's sequence
	OnlyB     []runs.Run              //
	Orders    []OrderApart            // orders that differ, the greatest change of lateness first
}

// OrderApart is one order on which two plans differ.
type OrderApart struct {
	Release ident.Release
	Sheets  Pair[int]              // planned on the corrugator
	Late    Pair[quantity.Minutes] // 0: in time
	Machine Pair[ident.Machine]    // of the last step; "": on none
	Planned Pair[bool]             // has a finish
}

// Compare lays plan a beside plan b. Both must be usable.
func (d *Desk) Compare(ctx context.Context, a, b ident.Plan) (Comparison, error) {
	pa, ha, err := d.Plan(ctx, a)
	if err != nil {
		return Comparison{}, err
	}
	pb, hb, err := d.Plan(ctx, b)
	if err != nil {
		return Comparison{}, err
	}
	sa, sb, ta, tb := pa.Summary, pb.Summary, pa.Totals, pb.Totals
	c := Comparison{
		A: ha, B: hb,
		Cost:      pair(sa.Cost, sb.Cost),
		BoardCost: pair(sa.BoardCost, sb.BoardCost),
		PressCost: pair(sa.PressCost, sb.PressCost),
		LateCost:  pair(sa.LateCost, sb.LateCost),
		Metres:    pair(ta.Length, tb.Length),
		WastePct:  pair(ta.WastePct, tb.WastePct),
		Late:      pair(sa.Late, sb.Late),
		LateHours: pair(sa.LateHours, sb.LateHours),
		Runs:      pair(len(pa.Runs), len(pb.Runs)),
		Planned:   pair(sa.Planned, sb.Planned),
		Uncovered: pair(pa.Rolls.Uncovered, pb.Rolls.Uncovered),
		OnlyA:     runsWithout(pa.Runs, pb.Runs),
		OnlyB:     runsWithout(pb.Runs, pa.Runs),
		Orders:    ordersApart(pa, pb),
	}
	return c, nil
}

func pair[T any](a, b T) Pair[T] { return Pair[T]{a, b} }

// runsWithout returns the runs of a that b has not, however they are
// numbered; of two equal runs in a, one in b matches only one.
func runsWithout(a, b []runs.Run) []runs.Run {
	left := map[string]int{}
	for _, r := range b {
		left[runText(r)]++
	}
	var out []runs.Run
	for _, r := range a {
		if left[runText(r)] > 0 {
			left[runText(r)]--
			continue
		}
		out = append(out, r)
	}
	return out
}

// runText names what a run makes; lanes in any order, length to the metre.
func runText(r runs.Run) string {
	lanes := make([]string, len(r.Lanes))
	for i, l := range r.Lanes {
		lanes[i] = fmt.Sprintf("%s×%d", l.Order, l.Outs)
	}
	slices.Sort(lanes)
	return fmt.Sprintf("%s %v %.0f %s", r.Grade, r.Web, r.Length.Metres(), strings.Join(lanes, "+"))
}

// fate is how one plan treats one order.
type fate struct {
	sheets  int
	late    quantity.Minutes
	machine ident.Machine
	planned bool
}

func fates(p *plan.Plan) map[ident.Release]fate {
	out := map[ident.Release]fate{}
	for _, d := range p.Demands {
		out[d.Release] = fate{}
	}
	for _, m := range p.Orders {
		if r, err := ident.ParseRelease(m.Order); err == nil {
			f := out[r]
			f.sheets = m.Planned
			out[r] = f
		}
	}
	last := map[ident.Release]int{}
	for _, j := range p.Clock.Jobs {
		if f := out[j.Release]; j.Step >= last[j.Release] {
			last[j.Release], f.machine = j.Step, j.Machine
			out[j.Release] = f
		}
	}
	for _, n := range p.Clock.Finishes {
		f := out[n.Release]
		f.late, f.planned = n.Late, true
		out[n.Release] = f
	}
	return out
}

func ordersApart(a, b *plan.Plan) []OrderApart {
	fa, fb := fates(a), fates(b)
	var out []OrderApart
	seen := map[ident.Release]bool{}
	for _, side := range []map[ident.Release]fate{fa, fb} {
		for r := range side {
			if x, y := fa[r], fb[r]; !seen[r] && x != y {
				seen[r] = true
				out = append(out, OrderApart{r, pair(x.sheets, y.sheets), pair(x.late, y.late), pair(x.machine, y.machine), pair(x.planned, y.planned)})
			}
		}
	}
	slices.SortFunc(out, func(x, y OrderApart) int {
		return cmp.Or(cmp.Compare(lateChange(y), lateChange(x)), ident.Compare(x.Release, y.Release))
	})
	return out
}

func lateChange(o OrderApart) quantity.Minutes { return max(o.Late.A-o.Late.B, o.Late.B-o.Late.A) }
