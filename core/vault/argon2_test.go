package vault_test

import (
	"encoding/binary"
	"math/bits"

	"golang.org/x/crypto/blake2b"
)

// reference is Argon2id written down from RFC 9106, section 3, slowly and
// plainly. The library that the vault calls takes neither a secret nor
// associated data, which the RFC's own vector has; this one does. So the vector
// tries the reference, and the reference tries what the vault calls.
type reference struct {
	password, salt, secret, data []byte
	passes, memory, lanes, tag   uint32
}

type block [128]uint64

func (a reference) key() []byte {
	perLane := a.memory / (4 * a.lanes) * 4
	seed := a.seed()
	m := make([][]block, a.lanes)
	for lane := range m {
		m[lane] = make([]block, perLane)
		for j := range uint32(2) {
			m[lane][j] = toBlock(longHash(1024, seed, le32(j), le32(uint32(lane))))
		}
	}
	for pass := range a.passes {
		for slice := range uint32(4) {
			for lane := range a.lanes {
				a.fill(m, pass, slice, lane)
			}
		}
	}
	var last block
	for lane := range m {
		last = xor(last, m[lane][perLane-1])
	}
	var b []byte
	for _, w := range last {
		b = binary.LittleEndian.AppendUint64(b, w)
	}
	return longHash(a.tag, b)
}

// seed is H0 of section 3.2.
func (a reference) seed() []byte {
	var b []byte
	for _, n := range []uint32{a.lanes, a.tag, a.memory, a.passes, 0x13, 2} {
		b = append(b, le32(n)...)
	}
	for _, field := range [][]byte{a.password, a.salt, a.secret, a.data} {
		b = append(append(b, le32(uint32(len(field)))...), field...)
	}
	h := blake2b.Sum512(b)
	return h[:]
}

// fill computes one segment.
func (a reference) fill(m [][]block, pass, slice, lane uint32) {
	perLane := uint32(len(m[lane]))
	segment := perLane / 4
	independent := pass == 0 && slice < 2
	var addresses block
	for i := range segment {
		if independent && i%128 == 0 {
			in := block{uint64(pass), uint64(lane), uint64(slice), uint64(a.lanes * perLane), uint64(a.passes), 2, uint64(i/128 + 1)}
			addresses = compress(block{}, compress(block{}, in))
		}
		if pass == 0 && slice == 0 && i < 2 {
			continue
		}
		at := slice*segment + i
		before := m[lane][(at+perLane-1)%perLane]
		j := before[0]
		if independent {
			j = addresses[i%128]
		}
		from, z := a.choose(j, pass, slice, lane, i, perLane)
		next := compress(before, m[from][z])
		if pass > 0 {
			next = xor(next, m[lane][at])
		}
		m[lane][at] = next
	}
}

// choose maps a word to a block, section 3.4.
func (a reference) choose(j uint64, pass, slice, lane, i, perLane uint32) (from, z uint32) {
	segment := perLane / 4
	from = uint32(j>>32) % a.lanes
	if pass == 0 && slice == 0 {
		from = lane
	}
	window, start := slice*segment, uint32(0)
	if pass > 0 {
		window, start = perLane-segment, (slice+1)*segment%perLane
	}
	if from == lane {
		window += i - 1
	} else if i == 0 {
		window--
	}
	x := uint64(uint32(j)) * uint64(uint32(j)) >> 32
	y := uint64(window) * x >> 32
	return from, (start + window - 1 - uint32(y)) % perLane
}

// compress is G of section 3.5.
func compress(x, y block) block {
	r := xor(x, y)
	q := r
	for i := range 8 {
		var row [16]*uint64
		for k := range row {
			row[k] = &q[16*i+k]
		}
		permute(row)
	}
	for i := range 8 {
		var column [16]*uint64
		for k := range 8 {
			column[2*k], column[2*k+1] = &q[16*k+2*i], &q[16*k+2*i+1]
		}
		permute(column)
	}
	return xor(q, r)
}

// permute is P of section 3.6.
func permute(v [16]*uint64) {
	for _, g := range [8][4]int{{0, 4, 8, 12}, {1, 5, 9, 13}, {2, 6, 10, 14}, {3, 7, 11, 15}, {0, 5, 10, 15}, {1, 6, 11, 12}, {2, 7, 8, 13}, {3, 4, 9, 14}} {
		a, b, c, d := v[g[0]], v[g[1]], v[g[2]], v[g[3]]
		for _, turn := range [2][2]int{{32, 24}, {16, 63}} {
			*a += *b + 2*uint64(uint32(*a))*uint64(uint32(*b))
			*d = bits.RotateLeft64(*d^*a, -turn[0])
			*c += *d + 2*uint64(uint32(*c))*uint64(uint32(*d))
			*b = bits.RotateLeft64(*b^*c, -turn[1])
		}
	}
}

// longHash is H' of section 3.3.
func longHash(n uint32, parts ...[]byte) []byte {
	in := le32(n)
	for _, p := range parts {
		in = append(in, p...)
	}
	var out []byte
	for n > 64 {
		v := blake2b.Sum512(in)
		out, in, n = append(out, v[:32]...), v[:], n-32
	}
	h, err := blake2b.New(int(n), nil)
	if err != nil {
		panic(err)
	}
	h.Write(in)
	return h.Sum(out)
}

func xor(x, y block) block {
	for i := range x {
		x[i] ^= y[i]
	}
	return x
}

func toBlock(b []byte) (x block) {
	for i := range x {
		x[i] = binary.LittleEndian.Uint64(b[8*i:])
	}
	return x
}

func le32(n uint32) []byte { return binary.LittleEndian.AppendUint32(nil, n) }
