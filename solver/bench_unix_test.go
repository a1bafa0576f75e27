//go:build unix

package solver

import "syscall"

// ProcessorSeconds is the processor time of this process so far.
func ProcessorSeconds() float64 {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return float64(u.Utime.Nano()+u.Stime.Nano()) / 1e9
}
