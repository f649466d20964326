// Package calendar says when people are there: shifts, crews, closed days, one
// time zone, and nights of 7 and 9 hours when the clocks change.
package calendar

// Shift is a named span of a working day in local time. A shift that ends at
// or before its start ends on the next day.
type Shift struct {
	Name  string `json:"shift"`
	Start string `json:"start"` // "06:00"
	End   string `json:"end"`   // "14:00"
}

// Calendar is the plant's working time.
type Calendar struct {
	Zone        string   `json:"zone"`         // IANA name; "UTC" if none
	WorkingDays []string `json:"working_days"` // Mon … Sun
	Shifts      []Shift  `json:"shifts"`
	Closed      []string `json:"closed,omitempty"` // local dates, 2006-01-02, on which no shift starts
}
