package trace

import "github.com/flutewright/flutewright/base/ident"

// Account is what facts say of one release: its counts at every stage, what of
// it stands on the floor, and its jobs.
type Account struct {
	Quantities
	Counts Counts
	Stacks []Stack                    // not yet fed, in the order they are fed; without a number: not set down as a stack
	Jobs   map[ident.Machine]Progress // as Jobs gives them
	On     map[ident.Machine]JobState // started last and not ended
}

// Counts are the five counts of a release side by side, with what explains the
// gaps between them. All but Bundled and Tagged, which are boxes, are sheets.
type Counts struct {
	Knife   int `json:"knife"`    // good cuts of its runs
	ToFloor int `json:"to_floor"` // set down in stacks by the stacker
	Fed     int `json:"fed"`      // taken off the floor into the first machine
	Bundled int `json:"bundled"`  // boxes
	Tagged  int `json:"tagged"`   // boxes in units

	Opening   int     `json:"opening,omitempty"`    // sheets found that no run is known to have made
	Recount   int     `json:"recount,omitempty"`    // what counting stacks again added, or took away (< 0)
	Between   int     `json:"between,omitempty"`    // sheets past the first machine, not yet in the last
	Unset     int     `json:"unset,omitempty"`      // cut, but not set down as stacks
	Owed      int     `json:"owed,omitempty"`       // fed or thrown away, though no sheets were there: cannot be
	WasteCut  int     `json:"waste_cut,omitempty"`  // waste sheets told by the runs
	WasteFed  int     `json:"waste_fed,omitempty"`  // waste pieces told by the jobs
	PressGood int     `json:"press_good,omitempty"` // good boxes off the last machine
	Early     int     `json:"early,omitempty"`      // boxes found in units before the first count
	Lost      int     `json:"lost,omitempty"`       // thrown away from the floor
	LostWhy   []Share `json:"lost_why,omitempty"`   // by reason, the most first
	WasteWhy  []Share `json:"waste_why,omitempty"`  // reasons booked for waste that runs and jobs have counted
}

// Share is a part of a count and what it is for.
type Share struct {
	Why     string        `json:"why"`
	Machine ident.Machine `json:"machine,omitempty"`
	Sheets  int           `json:"sheets"`
}

// AccountOf folds the facts of one release; facts of others are passed over.
// Order and repeats change nothing. Sheets are fed from the stacks that the
// jobs name, then from the oldest; those of one release alike.
//
//	made  = Σ runs max(good at the knife, set down) + found + recounts
//	made  = on the floor + fed + thrown away − taken though none was there
//
// A stack counted again holds what was counted; the difference is a recount.
func AccountOf(facts []Fact, r ident.Release, way Way) Account {
	var own []Fact
	for _, f := range Standing(facts) {
		if f.Release == r {
			own = append(own, f)
		}
	}
	return accountOf(own, r, way)
}

// accountOf takes standing facts of one release in time.
func accountOf(standing []Fact, r ident.Release, way Way) Account {
	b := newBooking(way)
	for _, f := range standing {
		b.add(f)
	}
	return b.account(r)
}
