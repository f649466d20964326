package trace

import (
	"fmt"
	"slices"
	"strconv"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
)

// most is the greatest count of one fact: a typing error above it.
const (
	most      = 10_000_000
	mostWords = "10,000,000"
)

// Kinds lists all kinds of facts in the order of the material's way.
func Kinds() []Kind {
	return []Kind{
		RollCame, RollFound, RollMounted, RollOff, RunStarted, RunEnded, RunsSwapped, StackMade, StackMoved, StackFound,
		JobStarted, JobCounted, JobEnded, Bundled, UnitFound, UnitShipped, Stopped, Running, WasteBooked, Held, Released, Correction,
	}
}

// Check returns what is wrong with a fact by itself.
func Check(f Fact) fault.Violations {
	var vs fault.Violations
	vs.Require(f.ID != "", "fact", "", "an id must be given: it makes a repeat harmless")
	vs.Require(len(f.ID) <= 200, "fact", string(f.ID[:min(len(f.ID), 20)])+"…", "an id has at most 200 characters")
	vs.Require(f.At.Year() >= 2000 && f.At.Year() < 2100, "at", f.At.String(), "must lie in the years 2000 to 2099")
	vs.Require(slices.Contains(Kinds(), f.Kind), "kind", string(f.Kind), fmt.Sprintf("must be one of %q", Kinds()))
	vs.Require(f.Source != "", "source", "", "must say where the fact comes from: desk, import, a machine")
	count(&vs, "good", f.Good)
	count(&vs, "waste", f.Waste)
	vs.Require(f.Run >= 0, "run", strconv.Itoa(f.Run), "must not be negative")
	vs.Require(f.Corrects == "" || f.Kind == Correction, "corrects", string(f.Corrects), "only a correction takes back a fact")
	needs(&vs, f)
	return vs
}

func count(vs *fault.Violations, field string, n int) {
	vs.Require(n >= 0 && n <= most, field, strconv.Itoa(n), "must be 0 to "+mostWords)
}

// needs requires what each kind cannot do without.
func needs(vs *fault.Violations, f Fact) {
	noRelease := f.Release == (ident.Release{})
	switch f.Kind {
	case RunStarted:
		vs.Require(f.Run > 0, "run", "", "must be given")
	case RunEnded:
		vs.Require(f.Run > 0 || !noRelease, "run", "", "a run or an order must be given")
		vs.Require(f.Good == 0 || !noRelease, "order", "", "good sheets belong to an order")
	case JobStarted, JobCounted, JobEnded:
		vs.Require(!noRelease, "order", "", "must be given")
		vs.Require(f.Machine != "", "machine", "", "must be given")
	case StackMade, StackFound, Bundled, UnitFound:
		vs.Require(!noRelease, "order", "", "must be given")
		vs.Require(f.Good > 0, "good", strconv.Itoa(f.Good), "must be at least 1")
	case UnitShipped:
		vs.Require(!noRelease, "order", "", "must be given")
		vs.Require(f.Good > 0 || f.Unit != "", "good", "0", "boxes or the unit's number must be given")
	case RollFound, RollCame, RollMounted, RollOff:
		vs.Require(f.Roll != "", "roll", "", "must be given")
		vs.Require(f.Kind != RollMounted || f.Place != "", "place", "", "must name the stand")
		vs.Require(f.Kind != RollCame || f.Paper != "" && f.Width > 0, "paper", "", "paper and width must be given")
	case StackMoved:
		vs.Require(f.Stack != "", "stack", "", "must be given")
		vs.Require(f.Place != "", "place", "", "must be given")
	case RunsSwapped:
		vs.Require(f.Run > 0 && f.Other > 0 && f.Run != f.Other, "run", strconv.Itoa(f.Run), "two different runs must be given")
	case Stopped, Running:
		vs.Require(f.Machine != "", "machine", "", "must be given")
	case WasteBooked:
		vs.Require(f.Mass > 0 || f.Waste > 0, "mass", "", "kilograms or sheets must be given")
		vs.Require(f.Reason != "", "reason", "", "must be given")
	case Held, Released:
		vs.Require(f.Roll != "" || f.Stack != "" || f.Unit != "" || !noRelease, "roll", "", "a roll, stack, unit or order must be given")
	case Correction:
		vs.Require(f.Corrects != "", "corrects", "", "must name the fact that is taken back")
		vs.Require(f.Corrects != f.ID, "corrects", string(f.Corrects), "a fact cannot take itself back")
	}
}
