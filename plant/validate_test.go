package plant_test

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/demo"
)

func TestDemoBookIsValid(t *testing.T) {
	if err := demo.Book().Validate(); err != nil {
		t.Error(err)
	}
}

// Each change breaks one rule; the fault stands at its JSON path.
func TestBookValidate(t *testing.T) {
	tests := []struct {
		source string
		change func(*plant.Book)
		want   string // the field at fault
	}{
		{"grade's paper", func(b *plant.Book) { b.Plant.Grades[3].Plies[1].Paper = "NO" }, "plant.grades[3].plies[1].paper"},
		{"grade's flute", func(b *plant.Book) { b.Plant.Grades[0].Flute = "X" }, "plant.grades[0].flute"},
		{"ply's flute", func(b *plant.Book) { b.Plant.Grades[0].Plies[1].Flute = "X" }, "plant.grades[0].plies[1].flute"},
		{"two liners", func(b *plant.Book) { b.Plant.Grades[0].Plies[1].Flute = "" }, "plant.grades[0].plies"},
		{"upgrade", func(b *plant.Book) { b.Plant.Grades[0].UpgradeTo = []ident.Grade{"NO"} }, "plant.grades[0].may_upgrade_to[0]"},
		{"allowance", func(b *plant.Book) { b.Plant.Allowances = b.Plant.Allowances[1:] }, "plant.grades[0].flute"},
		{"machine's shift", func(b *plant.Book) { b.Plant.Machines[2].Shifts = []string{"noon"} }, "plant.machines[2].shifts[0]"},
		{"corrugator's shift", func(b *plant.Book) { b.Plant.Corrugator.Shifts = []string{"noon"} }, "plant.corrugator.shifts[0]"},
		{"webs rise", func(b *plant.Book) { slices.Reverse(b.Plant.Corrugator.Limits.Webs) }, "plant.corrugator.limits.webs_mm[1]"},
		{"web of nothing", func(b *plant.Book) { b.Plant.Corrugator.Limits.Webs[0] = 0 }, "plant.corrugator.limits.webs_mm[0]"},
		{"no webs", func(b *plant.Book) { b.Plant.Corrugator.Limits.Webs = nil }, "plant.corrugator.limits.webs_mm"},
		{"pallet", func(b *plant.Book) { b.Plant.Pallets[0].Width = -quantity.Metre }, "plant.pallets[0].width_mm"},
		{"paper twice", func(b *plant.Book) {
			b.Plant.Papers = append(b.Plant.Papers, board.Paper{Code: b.Plant.Papers[0].Code, Grammage: 0.1})
		}, "plant.papers["},
		{"take-up", func(b *plant.Book) { b.Plant.Flutes[0].TakeUp = math.NaN() }, "plant.flutes[0].take_up"},
		{"zone", func(b *plant.Book) { b.Plant.Calendar.Zone = "Mars/Olympus" }, "plant.calendar.zone"},
		{"display", func(b *plant.Book) { b.Plant.Display.Dates = "ydm" }, "plant.display.dates"},
		{"stop", func(b *plant.Book) { b.Plant.Stops[0].Machine = "NO" }, "plant.stops[0].machine"},
		{"knife levels", func(b *plant.Book) { b.Plant.Corrugator.Limits.KnifeLevels = -1 }, "plant.corrugator.limits.knife_levels"},
		{"lane", func(b *plant.Book) { b.Plant.FloorLanes = []plant.FloorLane{{Lane: "1", Length: -1}} }, "plant.floor_lanes[0].length_m"},
		{"lane twice", func(b *plant.Book) {
			b.Plant.FloorLanes = []plant.FloorLane{{Lane: "1", Length: 30e9}, {Lane: "1", Length: 30e9}}
		}, "plant.floor_lanes[1]"},
		{"crew's shift", func(b *plant.Book) { b.Plant.Crews = []plant.Crew{{Shift: "noon", Crews: 2}} }, "plant.crews[0].shift"},
		{"crew's machine", func(b *plant.Book) {
			b.Plant.Crews = []plant.Crew{{Shift: b.Plant.Calendar.Shifts[0].Name, Crews: 2, Can: []ident.Machine{"NO"}}}
		}, "plant.crews[0].can[0]"},
		{"overtime", func(b *plant.Book) { b.Plant.Overtime.Most = 1500 }, "plant.overtime.most_min"},
		{"freeze", func(b *plant.Book) { b.Plant.Freezes = []plant.Freeze{{Area: "yard", Minutes: 60}} }, "plant.freezes[0].area"},
		{"supply", func(b *plant.Book) {
			b.Plant.Supplies = []plant.Supply{{Paper: b.Plant.Papers[0].Code, Supplier: "Mill", CallOffBy: "noon"}}
		}, "plant.supplies[0].call_off_by"},
		{"substitute", func(b *plant.Book) {
			code := b.Plant.Papers[0].Code
			b.Plant.Substitutes = []plant.Substitute{{For: code, Use: code}}
		}, "plant.substitutes[0].use"},
		{"item's grade", func(b *plant.Book) { b.Items[4].Grade = "NO" }, "items[4].grade"},
		{"line's item", func(b *plant.Book) { b.Lines[7].Item = "NO" }, "lines[7].item"},
		{"line's quantity", func(b *plant.Book) { b.Lines[7].Quantity = -3 }, "lines[7].quantity"},
		{"line twice", func(b *plant.Book) { b.Lines[7].Key = b.Lines[2].Key }, "lines[7]"},
		{"roll's paper", func(b *plant.Book) { b.Rolls[9].Paper = "NO" }, "rolls[9].paper"},
		{"delivery", func(b *plant.Book) { b.Inbound[0].Rolls = 0 }, "inbound[0].rolls"},
	}
	for _, tt := range tests {
		b := demo.Book()
		tt.change(&b)
		err := b.Validate()
		var v fault.Violations
		if !errors.As(err, &v) || !slices.ContainsFunc(v, func(v fault.Violation) bool { return strings.HasPrefix(v.Field, tt.want) && v.Rule != "" }) {
			t.Errorf("%s: no fault at %s: %v", tt.source, tt.want, err)
		}
	}
}

func TestEmptyPlantHasManyFaultsAtOnce(t *testing.T) {
	var v fault.Violations
	if err := (plant.Plant{}).Validate(); !errors.As(err, &v) || len(v) < 5 {
		t.Errorf("%v", err)
	}
}
