package box

import (
	"fmt"
	"strconv"

	"github.com/flutewright/flutewright/base/fault"
)

// StyleInfo describes one code or family of the case code.
type StyleInfo struct {
	Style    Style  `json:"style"`
	Name     string `json:"name"`
	Computed bool   `json:"computed"` // by formula; otherwise the sheet must be stated
}

// computed are the styles with a formula here. Names after handbook practice;
// the codes are those of the FEFCO-ESBO international fibreboard case code.
var computed = []StyleInfo{
	{"0110", "plain sheet or pad", true},
	{"0200", "half slotted box, flaps at one end", true},
	{"0201", "regular slotted box, outer flaps meet", true},
	{"0202", "slotted box, outer flaps overlap by a stated amount", true},
	{"0203", "slotted box, outer flaps overlap fully", true},
	{"0204", "slotted box, inner and outer flaps meet", true},
	{"0501", "sleeve", true},
}

// ComputedStyles lists the styles whose blank is computed, by code.
func ComputedStyles() []StyleInfo { return append([]StyleInfo(nil), computed...) }

// families of the case code with the span of numbers in use (from memory of the
// code's list; generous, since a plant's own die drawing rules in any case).
var families = []struct {
	from, to uint64
	name     string
}{
	{100, 110, "roll or sheet"},
	{200, 231, "slotted box"},
	{300, 352, "telescope box"},
	{400, 473, "folder or tray"},
	{501, 512, "slide or sleeve box"},
	{601, 621, "rigid box"},
	{700, 774, "ready-glued box"},
	{900, 976, "interior fitment"},
}

// Describe returns what s is; a code outside the list is a violation of kind Invalid.
func (s Style) Describe() (StyleInfo, error) {
	for _, c := range computed {
		if c.Style == s {
			return c, nil
		}
	}
	if n, err := strconv.ParseUint(string(s), 10, 16); err == nil && len(s) == 4 {
		for _, f := range families {
			if n >= f.from && n <= f.to {
				return StyleInfo{s, f.name, false}, nil
			}
		}
	}
	return StyleInfo{}, fault.Violations{{Field: "style", Value: fmt.Sprintf("%.20s", string(s)),
		Rule: "is not a code of the fibreboard case code", Remedy: "use four digits such as 0201"}}
}

// mustBeComputed is nil for a style with a formula.
func (s Style) mustBeComputed() error {
	info, err := s.Describe()
	if err != nil {
		return err
	}
	if !info.Computed {
		return fault.Violations{{Field: "style", Value: string(s), Rule: "(" + info.Name + ") has no formula here: its sheet must be stated",
			Remedy: "give chop and slit from the die drawing or the approved sample"}}
	}
	return nil
}
