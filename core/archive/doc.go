// Package archive keeps what a journal would otherwise read through at every
// start: entries that belong together, under a key, where one key is found by
// reading little. Start with [Open]; [Archive.Live] are the items that a start
// needs, [Archive.Find] reads any other, [Archive.Before] lists them, and
// [Archive.Commit] takes entries over from the journal.
//
// # The two together
//
// Whatever happens is appended to the journal, one write and one flush. Now and
// then a commit takes over everything the journal has: items that are still
// needed at every start become live, the others move into volumes. The journal
// then begins anew at the commit's Start, and its older segments are removed.
// So a start reads the live items and what was appended since, and what it reads
// does not grow with history. An entry for an item in a volume is appended to
// the journal as any other; who reads takes both, and the next commit writes the
// item anew with all its entries.
//
// # Promises
//
//   - Payloads come back byte for byte, with the journal's sequence.
//   - There is no moment without a complete copy. A commit is written whole and
//     synced, in two files, before the first file that it replaces is removed; and
//     the directories of earlier commits go first, so that one which is still
//     there has all that it names. After a cut at any byte the next Open finds the
//     commit before or the one after.
//   - Nothing is written over and nothing renamed. A volume never changes.
//   - Open changes no byte.
//   - Damage costs the items it touches, and their keys are known: from the page
//     that lists them, or from the item where the page is damaged. Where both are,
//     the volume's count tells, and every key that may have been there is in doubt
//     ([ErrDamaged] instead of [ErrNone]). A commit's second file stands in for
//     the first. A volume of which something cannot be read is never merged away;
//     only Forget gives up what cannot be read, and the key stays.
//   - What Forget names is in no file after a Commit that returned nil.
//
// Where no directory can be read at all, Open answers ErrDamaged, and [Salvage]
// puts together what the volumes and the live items still have.
//
// Not promised: it cannot tell that the whole disk was set back to an older
// copy. Were both files of the only commit taken away, the journal would tell
// how many entries are missing before its first. What flash keeps of removed
// files is not in our hands; sealed, it is unreadable without the key.
//
// # Bytes
//
// Two kinds of files stand beside the journal's segments: volumes, named
// "archive-00000001" and upwards, and directories, "contents-00000001" and
// upwards. Numbers are used once. Both begin as a segment does and consist of
// the same frames, with sequences from 1 (package journal): header 36 bytes,
// frames of length, sequence, payload, CRC-32C; sealed to the file's name and
// the frame's sequence. All numbers are little-endian; "var" is a LEB128 number
// of up to ten bytes; "text" is a var length and as many bytes.
//
//	magic     f7 46 43 41 0d 0a 1a 0a for volumes, f7 46 43 44 0d 0a 1a 0a for
//	          directories
//	version   1, each; too new, damaged and not ours are three answers
//
// The payload of a frame, before it is sealed, is a part of a sheet:
//
//	 0      1      2      3
//	 +------+------+------+---------------------+
//	 | kind | part | left | up to 60 KiB        |
//	 | u8   | u8   | u8   |                     |
//	 +------+------+------+---------------------+
//
//	part      0 for the first, counting up; left: how many follow
//
// The parts of a sheet follow each other without a gap. Joined, they are
//
//	0          4
//	+----------+-------------------------------------------------------+
//	| length   | content, packed as one block in the block format of   |
//	| u32      | LZ4; unpacked it has length bytes, at most 8 MiB      |
//	+----------+-------------------------------------------------------+
//
// Contents by kind:
//
//	1 item       text key (0 to 64 bytes), var mark, var count, and for each entry
//	             var sequence less that of the entry before, text payload (1 or more)
//	2 leaf       lines with ascending keys: text key, var offset and var bytes of the
//	             item's frames, text summary; 0 bytes: given up
//	3 branch     lines with ascending keys: text first key, var offset and var bytes
//	             of a leaf or branch below
//	4 directory  var commit, the number of the first of its two files; var segment
//	             and var sequence of the journal's start; var count and var numbers of
//	             segments before it that stay; text note; var count and text keys of
//	             the live items; var count of volumes, the oldest first, and for each
//	             var number, size, items, missing, offset and bytes of the topmost
//	             page, text first and last key
//
// A volume holds items with ascending keys; behind the items that a leaf names
// comes the leaf, behind all leaves the branches, level by level, the topmost
// page last. A page ends when it has 8 KiB, a volume when it has 8 MiB. Where a
// key is in several volumes the newest counts. A commit merges the newest
// volumes into the one it writes while they are at most twice as large as what
// comes after them, and not full. So there is one volume for each 8 MiB, and a
// few smaller ones.
//
// A directory holds the live items and, last, the directory itself. It is
// written twice, as two files. The highest number that is whole counts. A row
// that never went beyond number 1 and is not whole was never acknowledged.
//
// Files of version 1 stay readable for ever; testdata/archive keeps some.
package archive
