package frame

import (
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan/waste"
)

// Wasted is the waste of one run or job, foreseen and told, for the part "wasted".
type Wasted struct {
	F        Figures
	Foreseen []waste.Part
	Told     desk.WasteOf
}
