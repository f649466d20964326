// Package board is about papers, flutes and the grades made of them: mass,
// caliper, edge crush and the strength of a box made of the board.
package board

import (
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

// Paper is a paper as bought: a liner or a medium.
type Paper struct {
	Code          ident.Paper       `json:"paper"`
	Kind          string            `json:"kind"` // kraft liner, test liner, recycled medium, …
	Description   string            `json:"description,omitempty"`
	Grammage      quantity.Grammage `json:"grammage_gsm"`
	SCT           quantity.LineLoad `json:"sct_cd_kn_m,omitempty"` // short-span compression, across
	RCT           quantity.LineLoad `json:"rct_cd_kn_m,omitempty"` // ring crush, across
	Caliper       quantity.Length   `json:"caliper_mm,omitempty"`
	Burst         quantity.Pressure `json:"burst_kpa,omitempty"`
	Cobb60        quantity.Grammage `json:"cobb60_gsm,omitempty"`
	MoisturePct   float64           `json:"moisture_pct,omitempty"`
	MoistureBand  float64           `json:"moisture_band_pct,omitempty"` // points that a roll may be off it; 0: the usual
	Surface       string            `json:"surface,omitempty"`           // brown, white
	PricePerTonne quantity.Money    `json:"price_per_t"`
	Webs          []quantity.Length `json:"webs_mm"` // widths kept in stock
}

// Flute is one corrugation profile.
type Flute struct {
	Code       ident.Flute       `json:"flute"`
	TakeUp     float64           `json:"take_up"` // medium metres per board metre
	Height     quantity.Length   `json:"flute_height_mm"`
	PerMetre   float64           `json:"flutes_per_m,omitempty"`
	Starch     quantity.Grammage `json:"dry_starch_gsm_per_line,omitempty"`
	KECT       float64           `json:"k_ect,omitempty"` // factor on summed component strength
	FacerSpeed quantity.Speed    `json:"facer_speed_m_min,omitempty"`
}

// Ply is one layer of a grade; a ply with a flute is a medium.
type Ply struct {
	Paper ident.Paper `json:"paper"`
	Flute ident.Flute `json:"flute,omitempty"`
}

// Grade is a board: plies from the outside (print side) in.
type Grade struct {
	Code          ident.Grade       `json:"grade"`
	Description   string            `json:"description,omitempty"`
	Flute         ident.Flute       `json:"flute"` // allowance key: B, C, BC, …
	Plies         []Ply             `json:"plies"`
	DryAdhesive   quantity.Grammage `json:"dry_adhesive_gsm,omitempty"`
	StatedECT     quantity.LineLoad `json:"ect_stated_kn_m,omitempty"`
	KECT          float64           `json:"k_ect,omitempty"` // fitted for this grade; 0: the flute's, or double wall's
	StatedCaliper quantity.Length   `json:"caliper_stated_mm,omitempty"`
	ECTMin        quantity.LineLoad `json:"ect_min_kn_m,omitempty"`
	CaliperMin    quantity.Length   `json:"caliper_min_mm,omitempty"`
	UpgradeTo     []ident.Grade     `json:"may_upgrade_to,omitempty"`
	Surface       string            `json:"surface,omitempty"`
}

// Walls returns the number of mediums: 1 single wall, 2 double wall.
func (g Grade) Walls() int {
	n := 0
	for _, p := range g.Plies {
		if p.Flute != "" {
			n++
		}
	}
	return n
}

// Catalogue looks up papers and flutes by code.
type Catalogue struct {
	Papers map[ident.Paper]Paper
	Flutes map[ident.Flute]Flute
}
