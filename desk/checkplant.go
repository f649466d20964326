package desk

import (
	"fmt"
	"strconv"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/plant"
)

// checkPlant checks that the plant's parts name each other rightly, so that no
// engine meets a code that is not there.
func checkPlant(p plant.Plant) fault.Violations {
	var vs fault.Violations
	vs.Require(p.Name != "", "name", "", "must be given")
	if _, err := time.LoadLocation(p.Calendar.Zone); err != nil {
		vs.Add("calendar.zone", p.Calendar.Zone, "is not a known time zone", "use a name as Europe/London")
	}
	at := indexPlant(p)
	vs.Require(len(at.papers) == len(p.Papers), "papers", strconv.Itoa(len(p.Papers)), "a code stands twice")
	vs.Require(len(at.flutes) == len(p.Flutes), "flutes", strconv.Itoa(len(p.Flutes)), "a code stands twice")
	vs.Require(len(at.grades) == len(p.Grades), "grades", strconv.Itoa(len(p.Grades)), "a code stands twice")
	vs.Require(len(at.machines) == len(p.Machines), "machines", strconv.Itoa(len(p.Machines)), "a code stands twice")
	vs.Require(len(at.pallets) == len(p.Pallets), "pallets", strconv.Itoa(len(p.Pallets)), "a code stands twice")
	for _, f := range p.Flutes {
		vs.Require(f.TakeUp >= 1 && f.TakeUp <= 2.5, "flute "+string(f.Code)+".take_up", fmt.Sprint(f.TakeUp), "must be 1 to 2.5")
	}
	for _, v := range p.Papers {
		vs.Require(v.Grammage > 0 && v.Grammage.Gsm() <= 1000, "paper "+string(v.Code)+".grammage_gsm", fmt.Sprint(v.Grammage.Gsm()), "must be above 0 and at most 1000")
		vs.Require(v.PricePerTonne >= 0, "paper "+string(v.Code)+".price_per_t", fmt.Sprint(float64(v.PricePerTonne)), "must not be negative")
	}
	checkGrades(&vs, p, at)
	for _, w := range p.Corrugator.Limits.Webs {
		vs.Require(w > 0, "corrugator.limits.webs_mm", w.String(), "must be above 0")
	}
	return vs
}

func checkGrades(vs *fault.Violations, p plant.Plant, at plantIndex) {
	for _, g := range p.Grades {
		name := "grade " + string(g.Code)
		vs.Require(len(g.Plies) > 0, name+".plies", "", "must be given, from the outside in")
		for n, ply := range g.Plies {
			field := fmt.Sprintf("%s.plies[%d]", name, n+1)
			if _, ok := at.papers[ply.Paper]; !ok {
				vs.Add(field, string(ply.Paper), "is not a paper of the plant", "")
			}
			if _, ok := at.flutes[ply.Flute]; ply.Flute != "" && !ok {
				vs.Add(field, string(ply.Flute), "is not a flute of the plant", "")
			}
		}
		for _, up := range g.UpgradeTo {
			if _, ok := at.grades[up]; !ok {
				vs.Add(name+".may_upgrade_to", string(up), "is not a grade of the plant", "")
			}
		}
	}
}

// checkBook checks a whole book; each violation names the entry it is in.
func checkBook(b plant.Book) fault.Violations {
	var vs fault.Violations
	s := snapshotOf(b)
	vs.Under("plant", checkPlant(b.Plant).Err())
	for _, v := range b.Customers {
		vs.Under("customer "+string(v.Code), checkCustomer(v, s).Err())
	}
	for _, v := range b.Items {
		vs.Under("item "+string(v.Code), checkItem(v, s).Err())
	}
	for _, v := range b.Lines {
		vs.Under("line "+v.Key.String(), checkLine(v, s).Err())
	}
	for _, v := range b.Rolls {
		vs.Under("roll "+string(v.ID), checkRoll(v, s).Err())
	}
	for _, v := range b.Inbound {
		vs.Under("inbound "+v.ID, checkInbound(v, s).Err())
	}
	return vs
}
