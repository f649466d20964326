package sheet_test

import (
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/loads"
	"github.com/flutewright/flutewright/plan/rolls"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant/box"
	"github.com/flutewright/flutewright/plant/corrugator"
	"github.com/flutewright/flutewright/plant/demo"
)

const mm = quantity.Millimetre

func rel(order string) ident.Release { return ident.NewRelease(order, "", "") }

func at(day, hour, minute int) time.Time {
	return time.Date(2031, time.March, day, hour, minute, 0, 0, time.UTC)
}

func lengths(mms ...float64) []quantity.Length {
	out := make([]quantity.Length, len(mms))
	for i, v := range mms {
		out[i] = quantity.FromMillimetres(v)
	}
	return out
}

// handPlan is three runs of the demo book set up by hand. Run 1 is two items
// side by side on 2000 mm: 2 × 443 and 3 × 360, trim 34; its positions from the
// centre line were added up by hand.
func handPlan() *plan.Plan {
	return &plan.Plan{
		Now:     demo.Now,
		Answer:  runs.Answer{Runs: handRuns(), Totals: runs.Totals{Length: quantity.FromMetres(15333.56), WastePct: 3.4}},
		Demands: handDemands(),
		Setups:  handSetups(),
		Rolls:   rolls.Answer{Needs: handNeeds()},
		Clock: jobs.Answer{
			Runs: []jobs.RunTime{
				{Run: 1, Start: at(3, 6, 0), End: at(3, 6, 47), Minutes: 46.4, Speed: 218 * quantity.MetrePerMinute, SpeedWhy: "flute"},
				{Run: 2, Start: at(3, 6, 48), End: at(3, 6, 57), Minutes: 9, Speed: 218 * quantity.MetrePerMinute, SpeedWhy: "flute"},
				{Run: 3, Start: at(3, 7, 5), End: at(3, 7, 32), Minutes: 27, Speed: 119 * quantity.MetrePerMinute, SpeedWhy: "heavy board"},
			},
			Jobs: handJobs(),
		},
		Loads:   handLoads(),
		Summary: plan.Summary{PaperMass: 10487},
	}
}

func handRuns() []runs.Run {
	return []runs.Run{
		{Seq: 1, Grade: "B-ST", Web: 2000 * mm, Length: quantity.FromMetres(10129.56), Trim: 34 * mm, Lanes: []runs.Lane{
			{Order: "J1001", Level: 1, Outs: 2, Slit: 443 * mm, Chop: 1439 * mm, Cuts: 7039, Sheets: 14074},
			{Order: "J1024", Level: 2, Outs: 3, Slit: 360 * mm, Chop: 1085 * mm, Cuts: 9336, Sheets: 28002},
		}},
		{Seq: 2, Grade: "B-ST", Web: 2200 * mm, Length: quantity.FromMetres(1952.723), Trim: 231 * mm, Lanes: []runs.Lane{
			{Order: "J1001", Level: 1, Outs: 3, Slit: 443 * mm, Chop: 1439 * mm, Cuts: 1357, Sheets: 4065},
			{Order: "J1002", Level: 2, Outs: 2, Slit: 320 * mm, Chop: 945 * mm, Cuts: 2066, Sheets: 4128},
		}},
		{Seq: 3, Grade: "BC-HV", Web: 2200 * mm, Length: quantity.FromMetres(3251.3), Trim: 52 * mm, Lanes: []runs.Lane{
			{Order: "J1015", Level: 1, Outs: 1, Slit: 1518 * mm, Chop: 2590 * mm, Cuts: 1255, Sheets: 1253},
			{Order: "J1018", Level: 2, Outs: 1, Slit: 630 * mm, Chop: 650 * mm, Cuts: 5002, Sheets: 5000, Upgraded: true},
		}},
	}
}

func handDemands() []plan.Demand {
	demand := func(order, item, customer, grade string, sheet box.Sheet, boxes, wanted int, due time.Time) plan.Demand {
		return plan.Demand{Release: rel(order), Item: ident.Item(item), Customer: ident.Customer(customer), Grade: ident.Grade(grade),
			Sheet: sheet, Boxes: boxes, ToMake: boxes, PerSheet: 1, Net: boxes, Wanted: wanted, Due: due}
	}
	ds := []plan.Demand{
		demand("J1001", "FW-1001", "C01", "B-ST", box.Sheet{Chop: 1439 * mm, Slit: 443 * mm, Scores: lengths(151, 292)}, 18000, 18137, at(4, 14, 0)),
		demand("J1024", "FW-1024", "C09", "B-ST", box.Sheet{Chop: 1085 * mm, Slit: 360 * mm, Scores: lengths(107, 253)}, 28000, 28197, at(4, 4, 0)),
		demand("J1002", "FW-1002", "C01", "B-ST", box.Sheet{Chop: 945 * mm, Slit: 320 * mm, Scores: lengths(93, 227)}, 12000, 12100, at(4, 14, 0)),
		demand("J1015", "FW-1015", "C07", "BC-HV", box.Sheet{Chop: 2590 * mm, Slit: 1518 * mm, Scores: lengths(317, 1201)}, 1800, 1840, at(5, 7, 0)),
		demand("J1018", "FW-1018", "C07", "BC-ST", box.Sheet{Chop: 650 * mm, Slit: 630 * mm}, 5000, 5000, at(6, 7, 0)),
	}
	ds[1].Strength = &plan.Strength{BCT: 1596, Allowed: 651, Load: 673, Verdict: "close", Advice: "ask for a compression test"}
	return ds
}

func handSetups() []plan.Setup {
	one := plan.Setup{Run: 1, SetUp: corrugator.SetUp{Slits: lengths(-983, -540, -97, 263, 623, 983), EndsOrder: "J1024", EndsCount: 9336, EndsLevel: 2,
		Scores: lengths(-832, -691, -389, -248, 10, 156, 370, 516, 730, 876)}}
	two := plan.Setup{Run: 2, SetUp: corrugator.SetUp{Slits: lengths(-984.5, -541.5, -98.5, 344.5, 664.5, 984.5), EndsOrder: "J1001", EndsCount: 1357, EndsLevel: 1,
		Scores: lengths(-833.5, -692.5, -390.5, -249.5, 52.5, 193.5, 437.5, 571.5, 757.5, 891.5)}}
	three := plan.Setup{Run: 3, SetUp: corrugator.SetUp{Slits: lengths(-1074, 444, 1074), EndsOrder: "J1018", EndsCount: 5002, EndsLevel: 2, Scores: lengths(-757, 127)}}
	all := []plan.Setup{one, two, three}
	for i, web := range lengths(2000, 2200, 2200) {
		for _, x := range all[i].Slits {
			all[i].FromOp = append(all[i].FromOp, x+web/2)
		}
		for _, x := range all[i].Scores {
			all[i].ScoresOp = append(all[i].ScoresOp, x+web/2)
		}
	}
	return all
}

func handNeeds() []rolls.PlyNeed {
	need := func(run, ply int, stand, paper string, web quantity.Length, m, kg float64, uses ...rolls.RollUse) rolls.PlyNeed {
		return rolls.PlyNeed{Run: run, Ply: ply, Stand: stand, Paper: ident.Paper(paper), Web: web,
			Metres: quantity.FromMetres(m), Mass: quantity.Mass(kg), Rolls: uses}
	}
	from := func(roll string, m float64, at float64) rolls.RollUse { // at: metre of the web, 0 at its start
		return rolls.RollUse{Roll: ident.Roll(roll), Metres: quantity.FromMetres(m), At: quantity.FromMetres(at), Splice: at > 0}
	}
	return []rolls.PlyNeed{
		need(1, 1, "double backer liner", "TL140", 2000*mm, 10131, 2837, from("R0050", 5900, 0), from("R0051", 4231, 5900)),
		need(1, 2, "facer B medium", "RM110", 2000*mm, 13474, 2964, from("R0003", 480, 0), from("R0120", 6900, 361), from("R0121", 6094, 5549)),
		need(1, 3, "facer B liner", "TL140", 2000*mm, 10131, 2837, from("R0052", 5890, 0), from("R0053", 4241, 5890)),
		need(2, 1, "double backer liner", "TL140", 2200*mm, 1972, 607, from("R0060", 1972, 0)),
		need(2, 2, "facer B medium", "RM110", 2200*mm, 2623, 635, from("R0130", 2623, 0)),
		need(2, 3, "facer B liner", "TL140", 2200*mm, 1972, 607, rolls.RollUse{Truck: "IN-01", Metres: quantity.FromMetres(1972)}),
	}
}

func handJobs() []jobs.Job {
	return []jobs.Job{
		{Release: rel("J1024"), Step: 1, Machine: "FFG-1", Seq: 1, Sheets: 28197, Pieces: 28000, SetUp: 13, Run: 125, SheetsAt: at(3, 8, 47),
			Start: at(3, 8, 47), End: at(3, 11, 5), LatestStart: at(3, 19, 40), Turn: true, WaitsFor: "sheets", Why: "cheapest manned machine that takes it"},
		{Release: rel("J1001"), Step: 1, Machine: "FFG-1", Seq: 2, Sheets: 18137, Pieces: 18000, SetUp: 15, Run: 81, SheetsAt: at(3, 8, 57),
			Start: at(3, 11, 5), End: at(3, 12, 41), LatestStart: at(4, 10, 0), Turn: true},
		{Release: rel("J1015"), Step: 1, Machine: "FFG-3", Seq: 1, Sheets: 1840, Pieces: 1800, SetUp: 26, Run: 33, SheetsAt: at(3, 11, 32),
			Start: at(3, 11, 32), End: at(3, 12, 31), LatestStart: at(4, 15, 0), Turn: true},
		{Release: rel("J1027"), Step: 1, Machine: "RDC-2", Seq: 1, Sheets: 7100, Pieces: 14020, SetUp: 24, Run: 61, SheetsAt: at(3, 14, 0),
			Start: at(3, 14, 0), End: at(3, 15, 25), LatestStart: at(6, 10, 0)},
		{Release: rel("J1027"), Step: 2, Machine: "SFG-1", Seq: 1, Sheets: 14020, Pieces: 14000, SetUp: 20, Run: 70, SheetsAt: at(3, 15, 25),
			Start: at(3, 15, 25), End: at(3, 16, 55), LatestStart: at(6, 12, 0)},
	}
}

func handLoads() []loads.Load {
	return []loads.Load{
		{Release: rel("J1001"), Pallet: "P1210", Boxes: 18000, PerBundle: 25, BundleLength: 703 * mm, BundleWidth: 443 * mm, BundleHeight: 152 * mm,
			BundleMass: 6.8, Bundles: 720, PerLayer: 3, PerLayerBound: 3, Layers: 10, PerUnit: 750, Units: 24, LastUnit: 750, UnitHeight: 1670 * mm,
			UnitMass: 233, Layer: []loads.Place{{X: 0, Y: 0}, {X: 0, Y: 443 * mm}, {X: 703 * mm, Y: 0, Turned: true}}},
		{Release: rel("J1024"), Pallet: "P1210", Boxes: 28010, PerBundle: 25, BundleLength: 526 * mm, BundleWidth: 360 * mm, BundleHeight: 152 * mm,
			BundleMass: 4.2, Bundles: 1120, OddBundle: 10, PerLayer: 6, PerLayerBound: 6, Layers: 10, PerUnit: 1500, Units: 19, LastUnit: 1010,
			UnitHeight: 1670 * mm, UnitMass: 280, Layer: []loads.Place{{X: 0, Y: 0}, {X: 526 * mm, Y: 0}, {X: 0, Y: 360 * mm}, {X: 526 * mm, Y: 360 * mm}}},
		{Release: rel("J1015"), Pallet: "P1212", Boxes: 1800, PerBundle: 5, Refusal: "a bundle of 1274 × 1518 mm overhangs P1212 by 318 mm; agree an overhang or take a larger deck"},
	}
}
