//go:build linux || darwin

package cli

import (
	"syscall"
	"unsafe"
)

// terminalColumns asks the terminal for its width; 0 where fd is not a terminal.
func terminalColumns(fd uintptr) int {
	var size struct{ rows, columns, x, y uint16 }
	if _, _, e := syscall.Syscall(syscall.SYS_IOCTL, fd, syscall.TIOCGWINSZ, uintptr(unsafe.Pointer(&size))); e != 0 {
		return 0
	}
	return int(size.columns)
}
