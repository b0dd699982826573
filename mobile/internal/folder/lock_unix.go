//go:build unix

package folder

import (
	"errors"
	"os"
	"syscall"
)

// lock takes the folder until f is closed. The system gives it back when the
// program dies, so no stale lock can shut her out of her records.
func lock(f *os.File) error {
	err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	if errors.Is(err, syscall.EWOULDBLOCK) {
		return ErrInUse
	}
	return err
}
