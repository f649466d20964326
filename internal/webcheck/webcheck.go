// Package webcheck holds checks of the desk's pages that need Node: the types
// of the ES modules and accessibility by axe-core. Running the desk needs neither.
package webcheck
