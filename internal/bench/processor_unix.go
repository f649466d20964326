//go:build unix

package main

import "syscall"

const processorTold = true

// processor is what this process has had of the cores, in seconds.
func processor() float64 {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		panic(err) // the call has no other fault than a wrong address
	}
	return float64(u.Utime.Nano()+u.Stime.Nano()) / 1e9
}
