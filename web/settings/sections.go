package settings

import (
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/calendar"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/convert"
	"github.com/flutewright/flutewright/plant/load"
	"github.com/flutewright/flutewright/web/frame"
)

// part is one page of settings.
type part struct {
	Key   string
	Words string
	Lead  string
	build func(b *form, p *plant.Plant)
}

// parts in the order of the material's way. Machines have a page each.
var parts = []part{
	{"corrugator", "Corrugator", "What the corrugator can and cannot do, how fast it runs and what its changes cost.", corrugatorPart},
	{"board", "Papers, flutes and grades", "What board is made of.", boardPart},
	{"allowances", "Allowances", "What board thickness and creasing add to a box's inside size, for each flute; signed and dated when changed.", allowancesPart},
	{"calendar", "Working time", "Shifts, working days and closed days; the clock's changes follow from the time zone.", calendarPart},
	{"crews", "Crews and overtime", "How many converting machines a shift can man at once, and what hours beyond it cost.", crewsPart},
	{"stops", "Planned stops", "Times in which a machine does not run.", stopsPart},
	{"between", "Cure and dispatch", "What lies between the machines and the customer's dock.", betweenPart},
	{"prices", "Prices", "Prices that several stations share.", pricesPart},
	{"floor", "Sheet floor", "Lanes in which sheets stand; without any the floor is not limited.", floorPart},
	{"freezes", "Freezes", "How far ahead each area's plan is left alone, and who must agree to break it.", freezesPart},
	{"supplies", "Supplies and substitutes", "Where paper is bought, and which paper may stand in for another.", suppliesPart},
	{"tools", "Plates and dies", "Wear and whereabouts of tools.", toolsPart},
	{"packing", "Pallets, trailers and tags", "What units stand on, what carries them and how they are numbered.", packingPart},
}

func calendarPart(b *form, p *plant.Plant) {
	b.group("", "")
	b.text(entry{name: "calendar.zone", label: "Time zone", hint: "such as America/Chicago"}, &p.Calendar.Zone)
	codes(b, entry{name: "calendar.working_days", label: "Working days", hint: "Mon; Tue; …", wide: true}, &p.Calendar.WorkingDays)
	codes(b, entry{name: "calendar.closed", label: "Closed days", hint: "dates as 2031-12-25", wide: true}, &p.Calendar.Closed)
	list(b, "calendar.shifts", "Shifts", "A shift that ends at or before its start ends on the next day.", &p.Calendar.Shifts, 2, func(b *form, s *calendar.Shift) {
		b.text(entry{name: "shift", label: "Shift"}, &s.Name)
		b.text(entry{name: "start", label: "Start"}, &s.Start)
		b.text(entry{name: "end", label: "End"}, &s.End)
	})
}

func crewsPart(b *form, p *plant.Plant) {
	list(b, "crews", "Crews", "Without a row for a shift every machine that is manned on it has its own crew.", &p.Crews, 2, func(b *form, c *plant.Crew) {
		b.text(entry{name: "shift", label: "Shift"}, &c.Shift)
		b.count(entry{name: "crews", label: "Crews"}, &c.Crews)
		codes(b, entry{name: "can", label: "Machines they can run", hint: "empty: all"}, &c.Can)
	})
	b.group("Overtime", "")
	b.money(entry{name: "overtime.per_h", label: "An hour, on top of the machine's own cost"}, &p.Overtime.PerHour)
	b.money(entry{name: "overtime.corrugator_per_h", label: "An hour of the corrugator's crew", hint: "none: the corrugator works no overtime"}, &p.Overtime.Corrugator)
	b.minutes(entry{name: "overtime.most_min", label: "At most a day"}, &p.Overtime.Most)
}

func stopsPart(b *form, p *plant.Plant) {
	list(b, "stops", "Stops", "", &p.Stops, 3, func(b *form, s *plant.Stop) {
		code(b, entry{name: "machine", label: "Machine"}, &s.Machine)
		b.moment(entry{name: "from", label: "From"}, &s.From)
		b.moment(entry{name: "until", label: "Until"}, &s.Until)
		b.text(entry{name: "cause", label: "Cause"}, &s.Cause)
	})
}

func betweenPart(b *form, p *plant.Plant) {
	b.group("Cure, in wall time", "")
	b.minutes(entry{name: "cure.single_wall_min", label: "Single wall"}, &p.Cure.SingleWall)
	b.minutes(entry{name: "cure.double_wall_min", label: "Double wall"}, &p.Cure.DoubleWall)
	b.minutes(entry{name: "cure.white_min", label: "White"}, &p.Cure.White)
	b.hours(entry{name: "cure.floor_max_min", label: "Sheets are flagged after"}, &p.Cure.FloorMax)
	b.group("Dispatch", "")
	b.minutes(entry{name: "dispatch.load_forming_min", label: "Load forming"}, &p.Dispatch.LoadForming)
	b.minutes(entry{name: "dispatch.loading_min", label: "Loading"}, &p.Dispatch.Loading)
	b.speed(entry{name: "dispatch.road_speed_m_min", label: "Road speed on average"}, &p.Dispatch.RoadSpeed)
}

func pricesPart(b *form, p *plant.Plant) {
	b.group("", "")
	b.perTonne(entry{name: "prices.waste_credit_per_t", label: "Waste paper brings"}, &p.Prices.WasteCreditPerTonne)
	b.number(entry{name: "prices.late_pct_per_day", label: "A day late, of the order's value"}, "%", &p.Prices.LatePctPerDay)
	b.money(entry{name: "prices.late_each", label: "Each late delivery"}, &p.Prices.LateEach)
	b.number(entry{name: "prices.upgrade_extra_pct", label: "Upgrade beyond its paper"}, "%", &p.Prices.UpgradeExtraPct)
	b.money(entry{name: "prices.default_price_per_1000", label: "A thousand boxes where a line states none"}, &p.Prices.DefaultPer1000)
}

func floorPart(b *form, p *plant.Plant) {
	list(b, "floor_lanes", "Lanes", "", &p.FloorLanes, 4, func(b *form, l *plant.FloorLane) {
		b.text(entry{name: "lane", label: "Lane"}, &l.Lane)
		b.run(entry{name: "length_m", label: "Length"}, &l.Length)
		choice(b, entry{name: "along", label: "Along it lies"}, &l.Along, frame.Option{Value: "", Words: "the chop"}, frame.Option{Value: "slit", Words: "the slit"})
		b.length(entry{name: "gap_mm", label: "Gap"}, &l.Gap)
	})
}

func freezesPart(b *form, p *plant.Plant) {
	list(b, "freezes", "Freezes", "An area is the corrugator, a converting machine, or trucks.", &p.Freezes, 3, func(b *form, f *plant.Freeze) {
		b.text(entry{name: "area", label: "Area"}, &f.Area)
		b.hours(entry{name: "minutes", label: "Left alone for"}, &f.Minutes)
		b.text(entry{name: "owner", label: "Who must agree"}, &f.Owner)
	})
}

func suppliesPart(b *form, p *plant.Plant) {
	list(b, "supplies", "Supplies", "", &p.Supplies, 3, func(b *form, s *plant.Supply) {
		code(b, entry{name: "paper", label: "Paper"}, &s.Paper)
		b.text(entry{name: "supplier", label: "Supplier"}, &s.Supplier)
		b.hours(entry{name: "lead_min", label: "Call-off to gate"}, &s.Lead)
		b.text(entry{name: "call_off_by", label: "Call off by", hint: "12:00"}, &s.CallOffBy)
		b.mass(entry{name: "truckload_kg", label: "Truckload"}, &s.Truckload)
		b.number(entry{name: "cover_days", label: "Cover to keep", hint: "none: only shortages are called off"}, "days", &s.CoverDays)
	})
	list(b, "substitutes", "Substitutes", "Used only when a person says so.", &p.Substitutes, 3, func(b *form, s *plant.Substitute) {
		code(b, entry{name: "for", label: "For"}, &s.For)
		code(b, entry{name: "use", label: "Use"}, &s.Use)
		b.numbers(entry{name: "plies", label: "Plies"}, &s.Plies)
		b.lengths(entry{name: "widths_mm", label: "Widths"}, &s.Widths)
		codes(b, entry{name: "grades", label: "Grades"}, &s.Grades)
		codes(b, entry{name: "items", label: "Items"}, &s.Items)
		b.text(entry{name: "note", label: "Note"}, &s.Note)
	})
}

func toolsPart(b *form, p *plant.Plant) {
	list(b, "tools", "Plates and dies", "", &p.Tools, 3, func(b *form, t *plant.Tool) {
		b.text(entry{name: "tool", label: "Tool"}, &t.ID)
		choice(b, entry{name: "kind", label: "Kind"}, &t.Kind, frame.Choices("print plate", "cutting die")...)
		b.count(entry{name: "colours", label: "Colours"}, &t.Colours)
		b.count(entry{name: "ups", label: "Ups"}, &t.Ups)
		b.count(entry{name: "hits", label: "Hits"}, &t.Hits)
		b.count(entry{name: "limit", label: "Limit"}, &t.Limit)
		b.yes(entry{name: "strict", label: "Never past it"}, &t.Strict)
		b.yes(entry{name: "away", label: "Away"}, &t.Away)
		b.moment(entry{name: "back_at", label: "Back at"}, &t.BackAt)
		b.text(entry{name: "condition", label: "Condition"}, &t.Condition)
	})
}

func packingPart(b *form, p *plant.Plant) {
	list(b, "pallets", "Pallets", "", &p.Pallets, 2, func(b *form, v *load.Pallet) {
		code(b, entry{name: "pallet", label: "Pallet"}, &v.Code)
		b.length(entry{name: "length_mm", label: "Length"}, &v.Length)
		b.length(entry{name: "width_mm", label: "Width"}, &v.Width)
		b.length(entry{name: "height_mm", label: "Height"}, &v.Height)
		b.mass(entry{name: "mass_kg", label: "Weighs"}, &v.Mass)
		b.mass(entry{name: "max_load_kg", label: "Bears"}, &v.MaxLoad)
		b.money(entry{name: "price", label: "Price"}, &v.Price)
	})
	list(b, "trailers", "Trailers", "Inside sizes.", &p.Trailers, 2, func(b *form, v *load.Trailer) {
		b.text(entry{name: "trailer", label: "Trailer"}, &v.Code)
		b.length(entry{name: "length_mm", label: "Length"}, &v.Length)
		b.length(entry{name: "width_mm", label: "Width"}, &v.Width)
		b.length(entry{name: "height_mm", label: "Height"}, &v.Height)
		b.mass(entry{name: "payload_kg", label: "Payload"}, &v.Payload)
	})
	b.group("Tags", "Numbers that were given out stay.")
	b.text(entry{name: "tags.gs1_prefix", label: "GS1 company prefix", hint: "empty: an own number range"}, &p.Tags.GS1Prefix)
	b.count(entry{name: "tags.extension", label: "Extension digit"}, &p.Tags.Extension)
	b.text(entry{name: "tags.own_prefix", label: "Own prefix"}, &p.Tags.OwnPrefix)
}

// machinePart is the page of one converting machine.
func machinePart(b *form, m *convert.Machine, path string) {
	at := func(name string) string { return path + "." + name }
	b.group("", "")
	code(b, entry{name: at("machine"), label: "Machine"}, &m.Code)
	choice(b, entry{name: at("kind"), label: "Kind"}, &m.Kind, frame.Choices(string(convert.FolderGluer), string(convert.DieCutter), string(convert.SpecialtyFolderGluer))...)
	b.text(entry{name: at("note"), label: "Note"}, &m.Note)
	codes(b, entry{name: at("shifts"), label: "Crewed shifts", hint: "none: not manned"}, &m.Shifts)
	b.count(entry{name: at("crew"), label: "Crew"}, &m.Crew)
	b.group("Sheets it takes", "Across the machine × in feed direction; empty: no limit.")
	b.length(entry{name: at("min_sheet.across_mm"), label: "Least across"}, &m.Min.Across)
	b.length(entry{name: at("min_sheet.feed_mm"), label: "Least in feed"}, &m.Min.Feed)
	b.length(entry{name: at("max_sheet.across_mm"), label: "Most across"}, &m.Max.Across)
	b.length(entry{name: at("max_sheet.feed_mm"), label: "Most in feed"}, &m.Max.Feed)
	b.length(entry{name: at("min_panel_mm"), label: "Least panel"}, &m.MinPanel)
	codes(b, entry{name: at("flutes"), label: "Flutes", hint: "empty: all"}, &m.Flutes)
	b.count(entry{name: at("max_colours"), label: "Colours"}, &m.MaxColours)
	b.yes(entry{name: at("prints_below"), label: "Prints from below"}, &m.PrintsBelow)
	b.group("Speed and cost", "")
	b.number(entry{name: at("plan_speed_per_h"), label: "Speed, planned"}, "sheets/h", &m.PlanSpeed)
	b.money(entry{name: at("cost_per_h"), label: "Cost an hour"}, &m.CostPerHour)
	b.count(entry{name: at("min_order"), label: "Least order"}, &m.MinOrder)
	b.group("Set-up", "")
	for _, v := range []struct {
		name, label string
		v           *quantity.Minutes
	}{{"base_min", "Base", &m.SetUp.Base}, {"per_colour_min", "Each colour", &m.SetUp.PerColour}, {"slot_shift_min", "Slots moved", &m.SetUp.SlotShift},
		{"flute_change_min", "Other flute", &m.SetUp.FluteChange}, {"die_change_min", "Other die", &m.SetUp.DieChange}} {
		b.minutes(entry{name: at("set_up." + v.name), label: v.label}, v.v)
	}
	b.group("Losses", "")
	b.count(entry{name: at("loss.set_up_sheets"), label: "Sheets a set-up"}, &m.Loss.SetUpSheets)
	b.count(entry{name: at("loss.per_colour_sheets"), label: "Sheets a colour"}, &m.Loss.PerColourSheets)
	b.number(entry{name: at("loss.running_pct"), label: "While running"}, "%", &m.Loss.RunningPct)
}

// signed marks the allowances that a form has changed.
func signed(before, after *plant.Plant, who string, now time.Time) {
	for i := range after.Allowances {
		a := &after.Allowances[i]
		if !slices.Contains(before.Allowances, *a) {
			a.Author, a.Since = who, now
		}
	}
}

func flutesOf(p *plant.Plant) []ident.Flute {
	out := make([]ident.Flute, 0, len(p.Flutes)+len(p.Allowances))
	for _, a := range p.Allowances {
		out = append(out, a.Flute)
	}
	for _, f := range p.Flutes {
		if !slices.Contains(out, f.Code) {
			out = append(out, f.Code)
		}
	}
	return out
}
