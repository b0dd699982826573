// Package records keeps births on a disk: those that are open or recent in
// memory, all others in an archive that is asked for one at a time. Start with
// [Open]; [Records.Live] is today's list, [Records.Birth] any birth,
// [Records.Append] writes an event, [Records.Older] and [Records.Numbered] go
// through what was closed long ago, and [Records.Tidy] moves births there.
//
// It joins three packages: core/journal takes every event, one write and one
// flush; core/archive keeps what the journal handed over; core/birth works a
// birth out from its events. What a birth comes to depends on the set of its
// events alone, so it is the same wherever they lie.
//
// # What is doubtful
//
// A line that cannot be read does not say whose it was. So a birth is Damaged
// unless its record was begun on this device after the last loss, or somebody
// looked through it since; sequences of the journal tell, no clock. A birth of
// which the archive cannot read something is Damaged by name: up to the start of
// the journal, after which somebody may look through it. So is one of which an
// event's id is there twice, with other bytes.
//
// # Bytes
//
// A birth is an item of the archive. Its key is the device, 8 bytes, and the
// count of the birth, u64 big-endian, so that the births of a device stand in
// the order in which they were opened. Its mark is twice the sequence below
// which lines may be lost, plus 1 when it is counted among those that moved. The
// item with the empty key holds payloads that are no event of any birth: those
// that cannot be read, those that say under which device this phone writes, and
// marks, c0.
// Of a deleted birth the item holds the deletion, and its mark is 0.
//
// A line of a list begins with four LEB128 numbers: 1 for a deleted birth, else
// 0; the last sequence that vouches for the birth's wholeness; the one below
// which lines may be lost; the Lamport time of the opening. What follows is the
// caller's.
//
// The note of a commit:
//
//	form      1
//	device    LEB128 length and bytes: who writes here
//	seq, lamport, whole from, archived    LEB128 numbers: the writer's counts;
//	          the sequence below which lines of any birth may be lost; the number of
//	          births that moved
//	own       LEB128 count and ids: the devices as which this phone wrote
//	devices   LEB128 count, and for each its id and its highest count of births
package records
