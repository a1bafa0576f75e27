package cli

import (
	"fmt"
	"os"
	"time"
)

// patience is how long somebody at a terminal waits without a word.
const patience = time.Second

// afterASecond narrates what takes longer than that to somebody who sits at a terminal;
// files and other programs get no narration that depends on the clock.
func (a *app) afterASecond() func(string) {
	f, ok := a.stderr.(*os.File)
	if !ok || terminalColumns(f.Fd()) == 0 {
		return nil
	}
	begun := time.Now()
	return func(line string) {
		if time.Since(begun) > patience {
			fmt.Fprintln(a.stderr, line)
		}
	}
}
