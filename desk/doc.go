// Package desk holds the use cases: what a person or a machine can do with the
// book, the plans and the ledger. One file a use case.
//
// It owns the clock, what belongs into one transaction, and the snapshot of
// the book that everything reads. It names what it needs of the outside as
// interfaces (Store, Worker, OrderReader, TableReader); adapters implement
// them and cmd joins the two.
//
// Errors carry a fault.Kind where the caller can do something about it:
// fault.Violations for bad input, fault.NotFound, fault.Conflict (as *Stale,
// with both values), fault.Refused. Anything else is internal.
package desk
