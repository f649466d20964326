package desk

import (
	"context"
	"encoding/json"
	"io"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant/trace"
)

// Kind of a book entry.
type Kind string

const (
	KindPlant    Kind = "plant"    // one entry, its key is PlantKey
	KindCustomer Kind = "customer" // key: customer code
	KindItem     Kind = "item"     // key: item code
	KindLine     Kind = "line"     // key: ident.Release.String
	KindRoll     Kind = "roll"     // key: roll number
	KindInbound  Kind = "inbound"  // key: delivery number
	KindNumbers  Kind = "numbers"  // key: ident.Release.String, or numbersNext: unit numbers given out; not of the book
)

// PlantKey is the key of the one plant entry.
const PlantKey = "plant"

// Entry is one thing of the book as it is kept. A nil Body is a removed entry.
type Entry struct {
	Kind    Kind
	Key     string
	Version int // 1 when new, one more with every change
	Body    json.RawMessage
	Changed time.Time
	By      string
}

// Put states what an entry is to become.
type Put struct {
	Kind    Kind
	Key     string
	Version int             // the version that was seen; 0: the entry must be new
	Body    json.RawMessage // nil removes the entry; its history stays
	Asleep  bool            // a closed line: leaves the snapshot after a while
}

// Change is what is taken in one transaction: all of it or nothing.
type Change struct {
	At       time.Time
	Who, Why string
	Puts     []Put
	Facts    []trace.Fact
	Confirms int64 // staged import that this change takes in; 0: none
}

// Visitor takes what Store.Load finds, in the order of its fields.
type Visitor struct {
	Entry   func(Entry) error
	Also    func() []trace.Subject // asked once, after the entries, unless after is 0: what else these touch; nil: nothing
	Touched func(trace.Subject)    // what all facts follow of; with after 0 they follow of everything awake
	Fact    func(trace.Fact) error // in no special order; those of holds come with every load
}

// Store keeps book, plans and ledger. Methods are safe for use by many goroutines.
type Store interface {
	// Revision returns the number of the newest state of book and ledger.
	Revision(ctx context.Context) (int64, error)
	// Load shows v what changed after revision after (0: all there is), entries
	// by kind and key, in one consistent view, and returns that view's
	// revision. With after 0, entries asleep since before since are left out.
	Load(ctx context.Context, after int64, since time.Time, v Visitor) (int64, error)
	// Entry returns one entry, asleep or not. fault.NotFound if there is none or it was removed.
	Entry(ctx context.Context, kind Kind, key string) (Entry, error)
	// Apply takes a change in one transaction and returns how many facts were
	// new. *Stale if an entry is not at the version seen; fault.Conflict if a
	// fact's id is known with other content or the staged import was taken before.
	Apply(ctx context.Context, c Change) (newFacts int, err error)
	// History returns the edits of one entry, newest first.
	History(ctx context.Context, kind Kind, key string) ([]Edit, error)

	// Stage keeps an import under a new number.
	Stage(ctx context.Context, s Staged) (int64, error)
	// Staged returns it; fault.NotFound.
	Staged(ctx context.Context, id int64) (Staged, error)

	// NewPlan keeps a plan's head under a new number, state running.
	NewPlan(ctx context.Context, h PlanHead) (ident.Plan, error)
	// RestartPlan sets an interrupted plan to running; fault.Conflict in any other state.
	RestartPlan(ctx context.Context, h PlanHead) error
	// EndPlan keeps how a running plan ended; p is nil where there is nothing
	// usable. From then on nothing can change it.
	EndPlan(ctx context.Context, h PlanHead, p *plan.Plan) error
	// PlanHead, Plan return a plan; fault.NotFound.
	PlanHead(ctx context.Context, id ident.Plan) (PlanHead, error)
	Plan(ctx context.Context, id ident.Plan) (*plan.Plan, PlanHead, error)
	// PlanHeads returns all heads, newest first.
	PlanHeads(ctx context.Context) ([]PlanHead, error)
	// Force puts a plan in force for an area; earlier ones stay in the record.
	Force(ctx context.Context, f InForce) error
	// Forced returns what was put in force, newest first; area "" means all areas.
	Forced(ctx context.Context, area string) ([]InForce, error)
	// Ruling returns the newest plan in force per area.
	Ruling(ctx context.Context) (map[string]ident.Plan, error)

	// Facts returns facts newest first.
	Facts(ctx context.Context, q FactQuery) ([]trace.Fact, error)

	// Copy writes everything that is kept as one document.
	Copy(ctx context.Context, w io.Writer) (Copied, error)
}

// Worker runs long work in the background.
type Worker interface {
	// Start runs f in the background under an id and calls done with what it
	// returned, or with an error that holds a caught panic. fault.Conflict if
	// the id is running, fault.Refused when shutting down.
	Start(id string, f func(ctx context.Context) error, done func(error)) error
	// Cancel ends the context of the work with that id; false if it is not running.
	Cancel(id string) bool
}
