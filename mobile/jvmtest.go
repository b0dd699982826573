//go:build jvmtest

package mobile

import (
	"math/rand/v2"
	"runtime"
	"runtime/debug"
	"time"

	"fourchette/core/companion"
	"fourchette/core/journal"
	"fourchette/core/journal/journaltest"
	"fourchette/mobile/internal/folder"
)

// What only the tests and measurements on a plain JVM are given. No
// application is built with this tag.

// Panicking is a Core whose every call panics, to see that no panic crosses.
func Panicking() *Core { return &Core{core: panicking{}} }

type panicking struct{}

func (panicking) Call(string, []byte) []byte { panic("this call panics on purpose") }
func (panicking) Close() error               { panic("this close panics on purpose") }

// Mallocs counts the objects that Go has allocated since the library was
// loaded.
func Mallocs() int64 {
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return int64(m.Mallocs)
}

// Heap is how many bytes of Go's heap are in use, after a collection.
func Heap() int64 {
	debug.FreeOSMemory()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return int64(m.HeapAlloc)
}

// Goroutines counts them.
func Goroutines() int32 { return int32(runtime.NumGoroutine()) }

// DiskSuite runs the suite that every host's disk passes on folders that are
// made in this one, and says how many checks there were.
func DiskSuite(path string) (checks int32, err error) {
	defer caught(&err)
	var held []*folder.Disk
	defer func() {
		for _, d := range held {
			d.Close()
		}
	}()
	err = journaltest.Suite(func() (journal.Disk, error) {
		d, err := folder.Open(path + "/" + string(rune('a'+len(held))))
		if err == nil {
			held = append(held, d)
		}
		return d, err
	})
	return int32(len(held)), err
}

// Fixed opens a core whose clocks stand still and whose randomness comes from
// the seed: the same calls give the same bytes on every host.
func Fixed(folder string, pack []byte, seed int64) (core *Core, err error) {
	defer caught(&err)
	noon := time.Date(2026, 3, 14, 12, 0, 0, 0, time.UTC)
	return open(folder, nil, companion.Host{
		Wall:    func() time.Time { return noon },
		Running: func() time.Duration { return time.Hour },
		Random:  rand.NewChaCha8([32]byte{byte(seed)}),
		Pack:    pack,
	})
}
