package convert_test

import (
	"math"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/box"
	"github.com/flutewright/flutewright/plant/convert"
	"pgregory.net/rapid"
)

const mm = quantity.Millimetre

// The invented machines of the demo plant, as far as these tests use them.
var (
	mini = convert.Machine{
		Code: "FFG-1", Kind: convert.FolderGluer, Max: convert.FeedSize{Across: 2050 * mm, Feed: 760 * mm}, Min: convert.FeedSize{Across: 620 * mm, Feed: 210 * mm},
		MinPanel: 95 * mm, MaxColours: 3, Flutes: []ident.Flute{"E", "B", "C"}, PlanSpeed: 13500, MinOrder: 500, CostPerHour: 365,
		SetUp: convert.SetUp{Base: 9, PerColour: 2, SlotShift: 2, FluteChange: 3}, Loss: convert.Loss{SetUpSheets: 15, PerColourSheets: 6, RunningPct: 0.6},
	}
	standard = convert.Machine{
		Code: "FFG-2", Kind: convert.FolderGluer, Max: convert.FeedSize{Across: 2500 * mm, Feed: 1250 * mm}, Min: convert.FeedSize{Across: 760 * mm, Feed: 290 * mm},
		MinPanel: 130 * mm, MaxColours: 4, Flutes: []ident.Flute{"B", "C", "EB", "BC"}, PlanSpeed: 9500,
		SetUp: convert.SetUp{Base: 13, PerColour: 2.5, SlotShift: 3, FluteChange: 4}, Loss: convert.Loss{SetUpSheets: 20, PerColourSheets: 8, RunningPct: 0.8},
	}
	jumbo = convert.Machine{
		Code: "FFG-3", Kind: convert.FolderGluer, MaxColours: 2, PlanSpeed: 3300,
		SetUp: convert.SetUp{Base: 18, PerColour: 4}, Loss: convert.Loss{SetUpSheets: 12, PerColourSheets: 5, RunningPct: 1.2},
	}
	narrow = convert.Machine{
		Code: "RDC-2", Kind: convert.DieCutter, MaxColours: 3, PrintsBelow: true, PlanSpeed: 7000,
		SetUp: convert.SetUp{Base: 12, PerColour: 2.5, DieChange: 5}, Loss: convert.Loss{SetUpSheets: 12, PerColourSheets: 5, RunningPct: 0.9},
	}
	lockBottom = convert.Machine{
		Code: "SFG-1", Kind: convert.SpecialtyFolderGluer, PlanSpeed: 8000,
		SetUp: convert.SetUp{Base: 35}, Loss: convert.Loss{SetUpSheets: 25, RunningPct: 0.8},
	}
)

func slotted(style box.Style, chop, slit quantity.Length, flute ident.Flute, colours int) convert.Spec {
	return convert.Spec{Style: style, Sheet: box.Sheet{Chop: chop * mm, Slit: slit * mm}, Flute: flute, Colours: colours}
}

func TestSheetsWanted(t *testing.T) {
	tests := []struct {
		source      string
		pieces, ups int
		steps       []convert.Machine
		colours     int
		want        int
	}{
		{"planning desk, order J1015: 1,840 sheets, not 1,800", 1800, 1, []convert.Machine{jumbo}, 1, 1840},
		{"costing example, order J1001: 18,136", 18000, 1, []convert.Machine{mini}, 2, 18136},
		{"hand: pads are the sheets themselves", 5000, 1, nil, 0, 5000},
		{"hand: pads cut from double sheets", 4999, 2, nil, 0, 2500},
		{"hand: ⌈(14,000 + 25)/0.992⌉ = 14,139 blanks; ⌈(14,139/2 + 27)/0.991⌉ = ⌈7,160.9⌉", 14000, 2, []convert.Machine{narrow, lockBottom}, 3, 7161},
		{"hand: nothing wanted, nothing set up", 0, 1, []convert.Machine{mini}, 2, 0},
	}
	for _, tt := range tests {
		if got := convert.SheetsWanted(tt.pieces, tt.ups, tt.steps, tt.colours); got != tt.want {
			t.Errorf("%s: got %d, want %d", tt.source, got, tt.want)
		}
	}
}

func TestPiecesExpected(t *testing.T) {
	if got := convert.PiecesExpected(2400, 1, []convert.Machine{standard}, 1); got != 2353 {
		t.Errorf("planning desk, order J1003 at 2,400 sheets: got %d pieces, want 2353", got)
	}
	rapid.Check(t, func(t *rapid.T) {
		steps := rapid.SampledFrom([][]convert.Machine{nil, {mini}, {jumbo}, {narrow}, {narrow, lockBottom}}).Draw(t, "steps")
		pieces, ups, colours := rapid.IntRange(1, 100000).Draw(t, "pieces"), rapid.IntRange(1, 16).Draw(t, "ups"), rapid.IntRange(0, 3).Draw(t, "colours")
		wanted := convert.SheetsWanted(pieces, ups, steps, colours)
		if got := convert.PiecesExpected(wanted, ups, steps, colours); got < pieces {
			t.Fatalf("%d sheets wanted for %d pieces give only %d", wanted, pieces, got)
		}
		if got := convert.PiecesExpected(wanted-1, ups, steps, colours); got > pieces+ups {
			t.Fatalf("one sheet fewer than %d still gives %d of %d pieces", wanted, got, pieces)
		}
	})
}

func TestRefuse(t *testing.T) {
	narrowPanel := slotted("0201", 1200, 500, "B", 1)
	narrowPanel.Panels = []quantity.Length{400 * mm, 94 * mm, 400 * mm, 92 * mm}
	tests := []struct {
		source  string
		machine convert.Machine
		spec    convert.Spec
		step    int
		want    []string // parts of the refusal; none: it can be made
	}{
		{"planning desk, J1003 on FFG-1", mini, slotted("0203", 1289, 1020, "C", 1), 1, []string{"feed 1,020 > 760 mm", "larger machine"}},
		{"planning desk, J1005 on FFG-1", mini, slotted("0201", 2005, 580, "B", 1), 1, nil},
		{"planning desk, J1013 on FFG-1", mini, slotted("0202", 1929, 604, "C", 1), 1, nil},
		{"hand: flute and colours at once", mini, slotted("0201", 1200, 500, "BC", 4), 1, []string{"flute BC", "colours 4 > 3"}},
		{"hand: too small both ways", standard, slotted("0201", 700, 250, "B", 1), 1, []string{"across 700 < 760", "feed 250 < 290"}},
		{"hand: across", mini, slotted("0201", 2050, 760, "B", 1), 1, nil},
		{"hand: across by a millimetre", mini, slotted("0201", 2051, 760, "B", 1), 1, []string{"across 2,051 > 2,050 mm"}},
		{"hand: panel", mini, narrowPanel, 1, []string{"panel 92 < 95 mm"}},
		{"hand: a mailer is die cut", mini, slotted("0427", 1200, 500, "B", 1), 1, []string{"0427", "rotary die cutter"}},
		{"hand: pads need no machine", mini, slotted("0110", 1200, 500, "B", 0), 1, []string{"no converting step"}},
		{"hand: lock bottom, first step", narrow, slotted("0215", 989, 1136, "B", 3), 1, nil},
		{"hand: lock bottom, second step prints nothing", lockBottom, slotted("0215", 989, 1136, "B", 3), 2, nil},
		{"hand: lock bottom, steps not swapped", lockBottom, slotted("0215", 989, 1136, "B", 3), 1, []string{"rotary die cutter"}},
	}
	for _, tt := range tests {
		got := convert.Refuse(tt.machine, tt.spec, tt.step)
		if (got == "") != (tt.want == nil) {
			t.Errorf("%s: got %q", tt.source, got)
		}
		for _, part := range tt.want {
			if !strings.Contains(got, part) {
				t.Errorf("%s: %q does not say %q", tt.source, got, part)
			}
		}
	}
	if convert.Warn(mini, 499) == "" || convert.Warn(mini, 500) != "" {
		t.Error("the least order is a warning below 500 pieces only")
	}
}

func TestSteps(t *testing.T) {
	tests := map[box.Style]int{"0110": 0, "0201": 1, "0204": 1, "0215": 2, "0301": 1, "0427": 1, "0501": 1, "0711": 2, "0933": 1}
	for style, want := range tests {
		if got := len(convert.Steps(style)); got != want {
			t.Errorf("style %s: %d steps, want %d", style, got, want)
		}
	}
}

func TestMinutesAndCost(t *testing.T) {
	j1005, j1001, j1039 := slotted("0201", 2005, 580, "B", 1), slotted("0201", 1439, 443, "B", 2), slotted("0201", 2010, 648, "BC", 1)
	tests := []struct {
		source     string
		machine    convert.Machine
		spec       convert.Spec
		before     *convert.Spec
		fed        int
		setUp, run float64
		to         float64 // tolerance: the source's own rounding
	}{
		{"planning desk, J1005 to FFG-1: 11 + 98 min", mini, j1005, nil, 22154, 11, 98, 0.5},
		{"costing example, J1001: 15 min set-up after another size, 80.6 run", mini, j1001, &j1005, 18136, 15, 80.6, 0.05},
		{"scenario 2, J1039: press 27 min of net 1,500, set-up 22", jumbo, j1039, nil, 1500, 22, 27, 0.5},
		{"hand: same box again", mini, j1001, &j1001, 0, 13, 0, 0},
		{"hand: another flute and size", mini, j1001, &j1039, 0, 18, 0, 0},
	}
	for _, tt := range tests {
		if got := float64(convert.SetUpMinutes(tt.machine, tt.spec, tt.before)); math.Abs(got-tt.setUp) > 1e-9 {
			t.Errorf("%s: set-up %g, want %g", tt.source, got, tt.setUp)
		}
		if got := float64(convert.RunMinutes(tt.machine, tt.fed)); math.Abs(got-tt.run) > tt.to {
			t.Errorf("%s: run %g, want %g", tt.source, got, tt.run)
		}
	}
	if got := float64(convert.Cost(mini, 15, 80.6, 0, 0)); math.Abs(got-582) > 0.5 {
		t.Errorf("costing example, 95.6 min at 365 an hour: got %.1f, want 582", got)
	}
	if got := float64(convert.Cost(mini, 0, 60, 100, 0.5)); got != 415 {
		t.Errorf("hand: an hour and 100 sheets at 0.50: got %g, want 415", got)
	}
}

func TestTurn(t *testing.T) {
	tests := []struct {
		source  string
		machine convert.Machine
		down    bool
		colours int
		want    bool
	}{
		{"print liner down, prints above", mini, true, 1, true},
		{"print liner down, prints below", narrow, true, 1, false},
		{"print liner up, prints above", mini, false, 1, false},
		{"print liner up, prints below", narrow, false, 1, true},
		{"nothing printed", mini, true, 0, false},
		{"a gluer prints nothing", lockBottom, true, 3, false},
	}
	for _, tt := range tests {
		if got := convert.Turn(tt.machine, tt.down, tt.colours); got != tt.want {
			t.Errorf("%s: got %v", tt.source, got)
		}
	}
}
