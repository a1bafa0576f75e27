//go:build !unix

package solver_test

// processorSeconds is not known here.
func processorSeconds() float64 { return 0 }
