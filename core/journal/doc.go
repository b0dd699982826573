// Package journal keeps payloads of bytes in the order in which they were
// appended, and keeps them through a cut of the power at any moment. Start
// with [Open], which reads what is there and tells in its [Report] what it
// found; [Journal.Each] hands the payloads out, [Journal.Append] adds one.
//
// # Promises
//
//   - When Append returns nil, the payload is on the disk and stays readable,
//     whatever is cut off or fails later, as far as the disk keeps what it
//     said it has synced.
//   - A payload is read whole or not at all.
//   - What was acknowledged is never overwritten. After a torn or damaged tail
//     a new segment is begun and the tail is left as it is. Bytes of an append
//     that failed are cut off again, if the disk still lets us.
//   - Damage costs the frames it touches; those after it are still found.
//   - Open changes no byte. It writes the last frame again, just as it is, and
//     syncs it: the program may have been killed before it was synced, or a
//     sync may have failed and left it in memory only.
//
// A journal may begin later than at the first segment: when somebody has a
// complete copy of what came before ([Journal.End], then [Journal.Drop]), it is
// opened from that [Start], and earlier segments are neither read nor missed.
//
// Not promised: the journal cannot tell that its last segments were taken away
// or that the whole disk was set back to an older copy. At the very end of the
// last segment a frame that was acknowledged and then damaged can look like
// one that was cut while being written ([Report.TornTail] covers both).
//
// # Bytes
//
// A journal is a row of segments, files named "journal-00000001" and upwards.
// Other names on the disk are left alone. There is no rename and no index.
// Numbers are little-endian. Nothing valid is all zero, so zero means
// unwritten: a disk may hand out zeros where a write was lost.
//
// A segment begins with 36 bytes:
//
//	 0       8          12         16            24            32         36
//	 +-------+----------+----------+-------------+-------------+----------+
//	 | magic | version  | CRC 0–11 | segment     | first       | CRC 0–31 |
//	 | 8     | u32      | u32      | number, u64 | sequence u64| u32      |
//	 +-------+----------+----------+-------------+-------------+----------+
//
//	magic     f7 46 43 4a 0d 0a 1a 0a
//	version   1. The first 16 bytes stay as they are in every version, so that
//	          "too new", "damaged" and "not ours" are three answers.
//	number    the same as in the name
//	first     the sequence of the first frame, 1 or more
//
// Frames follow without a gap, 17 bytes to 64 KiB each:
//
//	 0           4               12                      12+length    16+length
//	 +-----------+---------------+------------------------+-----------+
//	 | length    | sequence      | payload, as sealed     | CRC of all|
//	 | u32, >= 1 | u64           | length bytes           | before u32|
//	 +-----------+---------------+------------------------+-----------+
//
//	sequence  one more than the frame before it, through all segments. A jump
//	          tells how many frames were lost.
//	CRC       CRC-32C (Castagnoli)
//
// A reader takes a frame only where length, sequence and CRC agree. After a
// place where they do not, it looks for the next byte from which they do, with
// a sequence no further on than the skipped bytes can account for.
//
// [Guard] stands in the place of a journal that was moved elsewhere for good, so
// that no program begins another one there.
//
// A segment of version 1 stays readable for ever; testdata/journals keeps one.
package journal
