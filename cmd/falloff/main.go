// Falloff plans studio portraits: from a kit, a room and a brief to checked set-ups, or
// to a proof that there is none.
package main

import (
	"context"
	"os"
	"os/signal"
	"runtime/debug"

	"falloff/cmd/internal/cli"
)

// garbage lets the heap grow to five times what is alive before it is collected: a run is
// short and small, and a tenth of its time was collecting.
const garbage = 400

func main() {
	debug.SetGCPercent(garbage)
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	code := cli.Run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr, os.Getenv)
	stop()
	os.Exit(code)
}
