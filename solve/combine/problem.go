// Package combine plans runs on a line that cuts webs into strips and strips
// into pieces: which items stand side by side on which stock width, with how
// many strips each, for what length.
//
// It knows no trade: widths and lengths are whole numbers of one unit, costs are
// plain numbers. The method is a linear relaxation by column generation, a dive
// that fixes one run after another, and destroy-and-repair, which removes a few runs
// and dives again on what they carried; a programme of whole runs gives the bound
// beside it. docs/theory/trim.md tells how. Background: Gilmore &
// Gomory, Operations Research 11 (1963) 863–888, for the columns; Haessler & Talbot,
// Management Science 29 (1983) 200–209, for the trim problem of a corrugator; Shaw
// (1998) for destroy-and-repair.
package combine

// Problem is one instance; Solve never changes it.
type Problem struct {
	Line   Line
	Stocks []Stock
	Items  []Item
	Limits []float64 // greatest use of each resource
	Apart  [][2]int  // items that must not share a run

	// Front are runs that stand first, in this sequence and unchanged, whatever
	// the limits say of them. What they make counts towards the items, what they
	// draw towards the resources, and each counts as a part.
	Front []Run
	// Hold are runs that must be in the plan with this stock and these lanes, at
	// any place and on any level. Length 0 leaves the length to the search.
	Hold []Run
}

// Line holds the limits of the machine and what a change costs.
type Line struct {
	TrimLeast, TrimMost int64 // of a run's whole trim
	Outs                int   // strips of a run
	LevelOuts           []int // greatest strips on each knife level; its length is the number of levels
	Orders              int   // items of a run
	Marks               int   // marks of a run, over all strips
	RunLeast            int64 // length of a run
	Rejects             int64 // cuts of each strip that are lost when a run begins

	RunLoss   float64 // length lost with each run
	WidthLoss float64 // length lost with a change of width, at the wider and the dearer
	KindLoss  float64 // the same for a change of kind
}

// Stock is one width of one kind of material.
type Stock struct {
	Kind   int
	Width  int64
	Price  float64 // per unit of area
	Credit float64 // per unit of area that is not good pieces
	Rate   float64 // time cost per unit of length
	Floor  float64 // least time cost of a run
	Draws  []Draw
}

// Draw is the use of a resource per unit of length.
type Draw struct {
	Resource  int
	PerLength float64
}

// Item is what is wanted of one size.
type Item struct {
	Width, Length     int64
	Marks             int // of each strip
	Class             int // items of different classes cannot share a run; 0 shares with all
	Least, Want, Most int64
	Short, Over       float64 // cost of each piece under or over Want
	Split             float64 // cost of each run beyond the first that holds the item
	Parts             int     // greatest number of runs that hold the item; 0: no limit
	Kinds             []int   // kinds it may be cut from
	Barred            []int   // stocks that it must not be cut from all the same
}

// Lane is the strips of one item in a run, side by side on one level.
type Lane struct {
	Item, Outs int
	Level      int // from 0
}

// Run is one set-up and its length. Cuts of a lane are Length / item length, rounded down.
type Run struct {
	Stock  int
	Length int64
	Lanes  []Lane // in their order across the web
}

// Status says why a search ended.
type Status int

const (
	Stopped Status = iota
	RoundLimit
	Optimal
)

// Result is the best plan found. Bound is not above the cost of any plan that makes the same items.
type Result struct {
	Runs   []Run // Front first, then in the sequence of cheapest changes found
	Left   []int // items that no run makes, beyond what Front makes of them
	Unheld []int // runs of Hold that no legal plan was found with
	Cost   float64
	Bound  float64
	Rounds int
	Status Status
}

// Options of a search. Without Rounds and Done it ends at the optimum only.
type Options struct {
	Seed     uint64
	Rounds   int            // 0: no limit
	Workers  int            // threads used; 0: as many as there are cores. The plan does not depend on it
	Done     func() bool    // asked often, from several goroutines; true ends the search. nil: never
	Share    func() float64 // share of the search that is done, 0 to 1, where Done ends it
	Start    []Run          // a legal plan to begin from; nil: build one
	Unproven bool           // the plan alone is of interest: no bound is proven beyond what the search gives
	// Progress is called after each round in which Due is true.
	Progress func(round int, cost, bound float64)
	First    func(cost float64) // called once, with the first legal plan
}

// good returns the good pieces of a lane of a run.
func (p *Problem) good(item, outs int, length int64) int64 {
	return int64(outs) * max(0, length/p.Items[item].Length-p.Line.Rejects)
}

// runCost is the cost of a run without changes to its neighbours.
func (p *Problem) runCost(stock int, length int64, goodArea float64) float64 {
	s := &p.Stocks[stock]
	paid := float64(s.Width) * (float64(length) + p.Line.RunLoss)
	return s.Price*paid - s.Credit*(paid-goodArea) + max(s.Rate*float64(length), s.Floor)
}
