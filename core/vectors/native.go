package main

import (
	"runtime"
	"strings"
	"time"

	"fourchette/core/companion"
)

// native is the core in this very program, without a disk: vectors are about
// what can be answered without a record.
type native struct{ *companion.Companion }

// openNative gives the core clocks that stand still and no chance, so that a
// reply which depends on either differs from the other hosts' and is found.
func openNative(pack []byte) (host, error) {
	noon := time.Date(2026, 1, 1, 12, 0, 0, 0, time.UTC)
	core, err := companion.Open(companion.Host{
		Interface: companion.Interface,
		Wall:      func() time.Time { return noon },
		Running:   func() time.Duration { return 0 },
		Random:    strings.NewReader(""),
		Pack:      pack,
	})
	if err != nil {
		return nil, err
	}
	return native{core}, nil
}

func (n native) Call(topic string, request []byte) ([]byte, error) {
	return n.Companion.Call(topic, request), nil
}

func (n native) Bench(topic string, request []byte, times int) (cost, error) {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	start := time.Now()
	for range times {
		n.Companion.Call(topic, request)
	}
	took := time.Since(start)
	runtime.ReadMemStats(&after)
	return cost{
		nanoseconds: float64(took.Nanoseconds()) / float64(times),
		allocations: float64(after.Mallocs-before.Mallocs) / float64(times),
	}, nil
}
