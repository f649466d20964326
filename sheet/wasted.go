package sheet

import (
	"strings"

	"github.com/flutewright/flutewright/plan/waste"
)

// wasteName is a part of the planned waste as a crew reads it: "set-up sheets".
func wasteName(p waste.Part) string {
	name, _, _ := strings.Cut(p.What, ", ")
	return name
}

// wasteFigure is how much of it there is: "27 sheets, 3.6 kg".
func (w words) wasteFigure(p waste.Part) string {
	if p.Sheets == 0 {
		return w.mass(p.Mass)
	}
	return w.Number(p.Sheets, 0) + " sheets, " + w.mass(p.Mass)
}
