// Falloff plans studio portraits: from a kit, a room and a brief to checked set-ups, or
// to a proof that there is none.
package main

import (
	"context"
	"os"
	"os/signal"

	"falloff/cmd/internal/cli"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	code := cli.Run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr, os.Getenv)
	stop()
	os.Exit(code)
}
