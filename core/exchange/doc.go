// Package exchange is the one file in which records leave a phone and come back.
//
// Start with [NewWriter], which takes entries and gives out a file in pieces,
// and [NewReader], which takes such a file in pieces and gives the entries back
// with a [Report]. Neither knows what an entry says, nor any disk: each holds
// one block of the file and no more, whatever the file's size.
//
// # What it keeps to
//
//   - Entries come back byte for byte as they went in, in the same order, or
//     not at all.
//   - The file opens with its code and with nothing else. Its key is random and
//     its own: the code of one file opens no other, and not the phone.
//   - Every altered, moved, foreign or missing block is noticed, and so is a cut
//     at any byte. A damaged block costs the entries in it; those after it are
//     still read, and how many were lost is told as far as it can be known.
//   - Not ours, too new, damaged and the wrong code are four answers.
//
// What is seen without the code: that it is such a file, and about how long the
// records are, to the block. Not noticed: that the whole file is an older one.
// Who has the code can write a file of anything: what the entries say is still
// to be doubted by whoever takes them in.
//
// # Bytes
//
// Numbers are little-endian. The first 8192 bytes hold the head twice, at 0 and
// at 4096, with zeros behind each: one flash page may be lost. Blocks of 65536
// bytes follow to the end of the file.
//
// A head has 124 bytes and is laid out as a key file of core/vault:
//
//	 0       8          12         16       24        28        120
//	 +-------+----------+----------+--------+---------+---------+----------+
//	 | magic | version  | CRC 0–11 | 1, u64 | 92, u32 | body    | CRC of   |
//	 | 8     | u32      | u32      |        |         | 92      | all, u32 |
//	 +-------+----------+----------+--------+---------+---------+----------+
//
//	magic     f7 46 43 58 0d 0a 1a 0a
//	version   1. The first 16 bytes stay as they are in every version, so that
//	          "too new", "damaged" and "not ours" are three answers.
//	CRC       CRC-32C (Castagnoli): against accidents, not against attackers
//	body      the mark of the file's key (16 bytes), then one slot of kind 2: the
//	          key, wrapped by the printed code as core/vault has it
//
// A block is one sealed payload of core/vault (form, nonce, 65495 bytes sealed,
// tag) for the purpose "export", under the file's key. It is bound to the name
// "export" and to its number in the file, counted from 1. There are no lengths
// outside the seal, so nothing is ever allocated by what a file claims. Inside:
//
//	 0      1           9
//	 +------+-----------+-----------------------------+-------+
//	 | last | before    | entries: length u16 >= 1,   | zeros |
//	 | u8   | u64       | and so many bytes; ...      |       |
//	 +------+-----------+-----------------------------+-------+
//
//	last      1 in the last block, else 0: a file without one was cut
//	before    the entries in all blocks before this one
//
// Files of version 1 stay readable for ever; testdata/exports keeps one.
package exchange
