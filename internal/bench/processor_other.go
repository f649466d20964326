//go:build !unix

package main

const processorTold = false

// processor is not told here; what needs it refuses to run.
func processor() float64 { return 0 }
