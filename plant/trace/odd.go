package trace

import (
	"fmt"

	"github.com/flutewright/flutewright/plant/order"
)

// OddOnes says in words what about f is out of order, read with the facts of
// its release that are there already. An odd fact is taken all the same: what
// happened comes late, and typed by people.
func OddOnes(before []Fact, f Fact) []string {
	var out []string
	if f.Kind == Correction {
		for _, b := range before {
			if b.ID == f.Corrects {
				return nil
			}
		}
		return []string{fmt.Sprintf("the fact %s, which this takes back, has not arrived yet", f.Corrects)}
	}
	started, ended := false, false
	for _, b := range Standing(before) {
		if sameWork(b, f) {
			started = started || b.Kind == startOf(f.Kind)
			ended = ended || b.Kind == endOf(f.Kind)
			if b.Kind == endOf(f.Kind) && f.At.After(b.At) && b.Kind != f.Kind {
				out = append(out, fmt.Sprintf("%s comes after its end at %s", f.Kind, b.At.Format("2006-01-02 15:04")))
			}
			if b.Kind == startOf(f.Kind) && f.At.Before(b.At) {
				out = append(out, fmt.Sprintf("%s lies before its start at %s", f.Kind, b.At.Format("2006-01-02 15:04")))
			}
		}
	}
	switch {
	case f.Kind == endOf(f.Kind) && ended:
		out = append(out, string(f.Kind)+" twice; both counts are added")
	case f.Kind == JobCounted && !started, f.Kind == endOf(f.Kind) && !started:
		out = append(out, string(f.Kind)+" without a start")
	}
	return out
}

// sameWork reports whether two facts speak of the same run, or of the same job on a machine.
func sameWork(a, b Fact) bool {
	if a.Release != b.Release && a.Kind != RunStarted && b.Kind != RunStarted {
		return false
	}
	switch startOf(b.Kind) {
	case RunStarted:
		return startOf(a.Kind) == RunStarted && a.Plan == b.Plan && a.Run == b.Run
	case JobStarted:
		return startOf(a.Kind) == JobStarted && a.Machine == b.Machine
	}
	return false
}

func startOf(k Kind) Kind {
	switch k {
	case RunStarted, RunEnded:
		return RunStarted
	case JobStarted, JobCounted, JobEnded:
		return JobStarted
	}
	return ""
}

func endOf(k Kind) Kind {
	switch startOf(k) {
	case RunStarted:
		return RunEnded
	case JobStarted:
		return JobEnded
	}
	return ""
}

// Excess says in words where a release counts more than there can be: more fed
// than made, more boxes than the sheets give, more than ordered with its
// tolerance, more shipped than made. perSheet is pieces per sheet.
func Excess(q Quantities, ordered, perSheet int, overPct float64) []string {
	var out []string
	n := order.Thousands
	say := func(bad bool, format string, args ...any) {
		if bad {
			out = append(out, fmt.Sprintf(format, args...))
		}
	}
	say(q.SheetsMade > 0 && q.SheetsFed > q.SheetsMade, "%s sheets fed, but only %s made", n(q.SheetsFed), n(q.SheetsMade))
	say(q.SheetsMade == 0 && q.SheetsFed > 0, "%s sheets fed, but none counted as made", n(q.SheetsFed))
	say(q.Shipped > max(q.BoxesGood, q.InUnits),
		"%s boxes shipped, but only %s counted as made", n(q.Shipped), n(max(q.BoxesGood, q.InUnits)))
	limit := float64(ordered) * (1 + overPct/100)
	say(ordered > 0 && float64(q.Finished()) > limit, "%s boxes counted, %s ordered with at most %g %% over", n(q.Finished()), n(ordered), overPct)
	return out
}
