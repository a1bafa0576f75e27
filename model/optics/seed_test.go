package optics_test

import (
	"flag"
	"os"
	"testing"
)

// Random tests draw the same each time, unless -rapid.seed says otherwise.
func TestMain(m *testing.M) {
	if err := flag.Set("rapid.seed", "1"); err != nil {
		panic(err)
	}
	os.Exit(m.Run())
}
