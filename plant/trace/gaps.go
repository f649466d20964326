package trace

// Gap is what lies between two of a release's counts, and what explains it.
type Gap struct {
	From, To string // the two counts, in words
	Boxes    bool   // counted in boxes, else in sheets
	Before   int
	After    int
	Known    []Share // parts that facts explain
	Open     int     // what no fact explains; less than nothing: more than there can be
	Untold   bool    // the later count was never told: no gap can be worked out
}

// The words of the five counts, in the order of the way.
const (
	AtKnife  = "knife"
	ToFloor  = "to the floor"
	FedIn    = "fed"
	BundledN = "bundled"
	TaggedN  = "tagged"
)

// Gaps sets the five counts of a release side by side and returns the four gaps
// between them. Pieces is how many boxes a sheet gives. A count that is not told
// leaves its gap untold; the next gap is then worked out from the count before.
func (a Account) Gaps(pieces int) [4]Gap {
	pieces = max(pieces, 1)
	c := a.Counts
	floor := Gap{From: AtKnife, To: ToFloor, Before: c.Knife, After: c.ToFloor, Untold: c.ToFloor == 0 || c.Knife == 0}
	if !floor.Untold {
		floor.explain("cut, not set down as stacks", c.Unset)
		floor.explain("taken before they were set down", max(0, c.Knife-c.ToFloor)-c.Unset)
	}
	stands := 0
	for _, s := range a.Stacks {
		stands += s.Sheets
	}
	fed := Gap{From: ToFloor, To: FedIn, Before: max(c.Knife, c.ToFloor) + c.Opening, After: c.Fed, Untold: c.Fed == 0}
	if !fed.Untold {
		fed.explain("stand there", stands)
		fed.explain("counted again", -c.Recount)
		for _, s := range c.LostWhy {
			fed.explain("thrown away: "+s.Why, s.Sheets)
		}
	}
	bundled := Gap{From: FedIn, To: BundledN, Boxes: true, Before: c.Fed * pieces, After: c.Bundled, Untold: c.Bundled == 0}
	if !bundled.Untold {
		bundled.explain("between two machines", c.Between*pieces)
		bundled.explain("waste told by the machines", c.WasteFed)
	}
	tagged := Gap{From: BundledN, To: TaggedN, Boxes: true, Before: c.Bundled, After: c.Tagged - c.Early, Untold: c.Tagged == 0}
	if c.Bundled == 0 {
		tagged.From, tagged.Before = "good off the last machine", c.PressGood
	}
	out := [4]Gap{floor, fed, bundled, tagged}
	for i := range out {
		g := &out[i]
		if g.Untold {
			continue
		}
		g.Open = g.Before - g.After
		for _, k := range g.Known {
			g.Open -= k.Sheets
		}
	}
	return out
}

func (g *Gap) explain(why string, n int) {
	if n != 0 {
		g.Known = append(g.Known, Share{Why: why, Sheets: n})
	}
}
