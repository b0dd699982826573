package browser

import (
	"errors"
	"fmt"
	"slices"
)

// Try runs f for a program that is no test. What f reports comes back as one
// error; a fatal report ends f. What f left to clean up has been cleaned up.
func Try(f func(T)) error {
	t := &trial{}
	func() {
		defer t.recover()
		f(t)
	}()
	for _, clean := range slices.Backward(t.cleanups) {
		clean()
	}
	return errors.Join(t.errs...)
}

type trial struct {
	errs     []error
	cleanups []func()
}

// ended is the panic of a fatal report.
type ended struct{}

func (t *trial) recover() {
	if p := recover(); p != nil && p != (ended{}) {
		t.errs = append(t.errs, fmt.Errorf("panic: %v", p))
	}
}

func (t *trial) Helper() {}

func (t *trial) Cleanup(f func()) { t.cleanups = append(t.cleanups, f) }

func (t *trial) Errorf(format string, args ...any) {
	t.errs = append(t.errs, fmt.Errorf(format, args...))
}

func (t *trial) Fatalf(format string, args ...any) {
	t.Errorf(format, args...)
	panic(ended{})
}
