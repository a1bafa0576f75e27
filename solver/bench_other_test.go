//go:build !unix

package solver

// ProcessorSeconds is not known here.
func ProcessorSeconds() float64 { return 0 }
