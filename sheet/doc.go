// Package sheet prints what the crews work from, as PDF: the corrugator's run
// list, the dry-end set-up of each run, job tickets, stack labels and load tags.
//
// Every sheet is a pure function of a book and a plan: the same two give the
// same bytes. Sizes are shown in the plant's units, pages are A4 or Letter
// after plant.Display; what a crew reads from a distance is printed large. A
// name that the plan does not hold is answered with fault.NotFound before
// anything is written.
//
// The tool advises and never moves a machine: each sheet carries the usual
// cautions and defers to the plant's own procedures and local codes.
package sheet
