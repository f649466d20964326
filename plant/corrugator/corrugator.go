// Package corrugator holds what a corrugator can and cannot do, how fast it
// runs, what its changes cost, and where its slitters and scorers stand.
package corrugator

import (
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

// Limits are the machine's limits and losses as the trim problem states them.
// A nil limit sets none; a zero loss or price costs nothing.
type Limits struct {
	Webs              []quantity.Length `json:"webs_mm"`
	SideTrimMin       quantity.Length   `json:"side_trim_min_mm"`           // each side
	SideTrimMax       *quantity.Length  `json:"side_trim_max_mm,omitempty"` // each side
	MaxOuts           *int              `json:"max_outs,omitempty"`
	MaxOutsPerLevel   *int              `json:"max_outs_per_level,omitempty"`
	OutsByLevel       []int             `json:"outs_by_level,omitempty"` // stackers that differ: greatest outs on level 1, 2, …
	Scorers           *int              `json:"scorers,omitempty"`
	KnifeLevels       int               `json:"knife_levels,omitempty"`       // 0 counts as 1
	MaxOrdersPerRun   *int              `json:"max_orders_per_run,omitempty"` // nil: no limit
	MinSlit           quantity.Length   `json:"min_slit_mm,omitempty"`
	MinScoreToScore   quantity.Length   `json:"min_score_to_score_mm,omitempty"`
	MinScoreToSlit    quantity.Length   `json:"min_score_to_slit_mm,omitempty"`
	MinChop           quantity.Length   `json:"min_chop_mm,omitempty"`
	MaxChop           *quantity.Length  `json:"max_chop_mm,omitempty"`
	MinRun            quantity.Distance `json:"min_run_m,omitempty"`
	RejectCutsPerLane int               `json:"reject_cuts_per_lane,omitempty"`
	RunChangeLoss     quantity.Distance `json:"run_change_loss_m,omitempty"`
	WebChangeLoss     quantity.Distance `json:"web_change_loss_m,omitempty"`
	GradeChangeLoss   quantity.Distance `json:"grade_change_loss_m,omitempty"`
	Speed             quantity.Speed    `json:"speed_m_min,omitempty"`
	SectionSetup      float64           `json:"section_setup_s,omitempty"` // seconds
	MinuteCost        quantity.Money    `json:"minute_cost,omitempty"`
}

// Corrugator is the machine as the plant runs it: limits for the trim problem
// plus what decides speed and time.
type Corrugator struct {
	Code            ident.Machine                  `json:"machine"`
	Limits          Limits                         `json:"limits"`
	PreferredMinRun quantity.Distance              `json:"preferred_min_run_m,omitempty"`
	SpeedMax        map[ident.Flute]quantity.Speed `json:"speed_max_m_min"`
	HeavyOver       quantity.Grammage              `json:"heavy_over_gsm,omitempty"`
	HeavyFactor     float64                        `json:"heavy_factor,omitempty"`
	AverageFactor   float64                        `json:"average_factor"`               // planned average over allowed speed
	FullSpeedChop   quantity.Length                `json:"full_speed_chop_mm,omitempty"` // below it the knife limits speed
	KnifeSpeedPerMM float64                        `json:"knife_speed_m_min_per_mm,omitempty"`
	FluteChange     Change                         `json:"flute_change"`
	WallChange      Change                         `json:"wall_change"`
	AdhesiveChange  Change                         `json:"adhesive_change"`
	StackHeightMax  quantity.Length                `json:"stack_height_max_mm"`
	SpliceLoss      quantity.Distance              `json:"splice_loss_m,omitempty"`
	ButtMin         quantity.Distance              `json:"butt_min_m,omitempty"`
	RollMove        quantity.Minutes               `json:"roll_move_min,omitempty"` // a roll off one stand is ready on another no sooner
	RollHandling    quantity.Money                 `json:"roll_handling,omitempty"` // price of bringing one roll to a stand, or back to its place
	CostPerHour     quantity.Money                 `json:"cost_per_h"`              // when the corrugator is the bottleneck
	IdleCostPerHour quantity.Money                 `json:"idle_cost_per_h"`         // when it is not
	Bottleneck      bool                           `json:"bottleneck,omitempty"`
	PrintLinerDown  bool                           `json:"print_liner_down"` // stacks come with the print side down
	SlittersPerSect int                            `json:"slitters_per_section,omitempty"`
	WideToNarrow    bool                           `json:"wide_to_narrow"`
	SlitTrial       quantity.Length                `json:"slit_trial_mm,omitempty"` // by which a slit is tried narrower and wider where a detail is priced; 0: 4 mm
	Shifts          []string                       `json:"shifts"`                  // shifts with a crew
}

// Change is what one changeover takes.
type Change struct {
	Minutes quantity.Minutes  `json:"minutes"`
	Loss    quantity.Distance `json:"loss_m"`
}
