package journaltest

import (
	"maps"
	"math/rand/v2"
	"slices"
)

// Lose cuts the power: everything that was not synced is gone.
func (d *Disk) Lose() *Disk {
	return d.power(func(_ string, c *content) []byte { return c.durable })
}

// Tear cuts the power in the middle: of everything that was not synced, in the
// order in which it was written, only the first so many bytes arrived.
func (d *Disk) Tear(through int) *Disk {
	return d.power(func(_ string, c *content) []byte {
		b := slices.Clone(c.durable)
		for _, ch := range c.pending {
			if !ch.truncate {
				ch.bytes = ch.bytes[:min(through, len(ch.bytes))]
				through -= len(ch.bytes)
				if len(ch.bytes) == 0 {
					return b
				}
			}
			b = ch.apply(b)
		}
		return b
	})
}

// UnsyncedBytes is how many bytes were written and not synced.
func (d *Disk) UnsyncedBytes() int {
	n := 0
	for _, c := range d.files {
		for _, ch := range c.pending {
			n += len(ch.bytes)
		}
	}
	return n
}

// Shuffle cuts the power of a disk that writes in any order: of what was not
// synced, any sectors of so many bytes arrived, in any order, and a file grown
// for a sector that did not arrive reads as zeros there. A name that no sync
// kept may be gone, and, where the disk Returns, a file that was removed back.
func (d *Disk) Shuffle(r *rand.Rand, sector int) *Disk {
	for _, name := range slices.Sorted(maps.Keys(d.removed)) {
		if d.Returns && d.files[name] == nil && r.IntN(3) == 0 {
			d.files[name] = &content{durable: d.removed[name].durable, named: true}
		}
	}
	return d.power(func(_ string, c *content) []byte {
		if !c.named && r.IntN(4) == 0 {
			return nil
		}
		b := slices.Clone(c.durable)
		parts := sectors(c.pending, sector)
		r.Shuffle(len(parts), func(i, j int) { parts[i], parts[j] = parts[j], parts[i] })
		for _, part := range parts {
			switch r.IntN(3) {
			case 0:
				b = part.apply(b)
			case 1:
				b = part.grown(b)
			}
		}
		return b
	})
}

// grown makes room for the change without its bytes.
func (ch change) grown(b []byte) []byte {
	if ch.truncate || ch.at+int64(len(ch.bytes)) <= int64(len(b)) {
		return b
	}
	return append(b, make([]byte, ch.at+int64(len(ch.bytes))-int64(len(b)))...)
}

// sectors cuts the changes at the borders of sectors.
func sectors(changes []change, sector int) []change {
	var parts []change
	for _, ch := range changes {
		for !ch.truncate && len(ch.bytes) > 0 {
			n := min(len(ch.bytes), sector-int(ch.at)%sector)
			parts = append(parts, change{at: ch.at, bytes: ch.bytes[:n]})
			ch.at, ch.bytes = ch.at+int64(n), ch.bytes[n:]
		}
		if ch.truncate {
			parts = append(parts, ch)
		}
	}
	return parts
}

// power makes the disk that is found after a power cut, each file as after
// says; nil for a file whose name was never synced: it is gone.
func (d *Disk) power(after func(name string, c *content) []byte) *Disk {
	found := New()
	found.Returns = d.Returns
	for _, name := range slices.Sorted(maps.Keys(d.files)) {
		c := d.files[name]
		b := after(name, c)
		if b == nil && !c.named {
			continue
		}
		found.Put(name, b)
	}
	d.closed = true
	return found
}
