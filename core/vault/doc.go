// Package vault keeps the key of the records behind a PIN and a printed code.
//
// Start with [Open]. While it answers [ErrNone] there is no key yet: take a
// [NewRecipe], let the host [Derive] a key from the PIN and the recipe, and
// [Create]. To unlock: [Vault.Try] counts the try and hands out the recipe,
// Derive does the slow part (a host runs it in a worker of its own, which it
// then ends), [Vault.Unlock] opens. [Vault.Sealer] is what the journal and
// other files are sealed with. [Vault.Lock] wipes.
//
// # Threat model
//
// A random data key of 32 bytes seals the records. It never changes and is
// stored only wrapped, in slots: one for the PIN, one for the printed code, one
// for a key store of the host. Whoever opens one slot has the data key.
//
// A thief of the locked phone, who works its screen, can read nothing that was
// recorded. He learns that there are records. He can try PINs, each slower than
// the last: about a hundred in the first day, among a million PINs of six
// digits. He can delete everything. If the phone was taken while unlocked, all
// is open to him until it locks.
//
// A thief with a copy of the files sees how many entries there are, of how many
// bytes each, and how often a wrong PIN was tried, and is not slowed by that
// count: he leaves it out. Only the derivation slows him, and no derivation
// saves a short PIN. An estimate, reasoned from memory bandwidth and not measured: a try of [Usual]
// moves about 160 MB of memory, a graphics card of 1 TB/s makes at most some
// 6,000 a second, so six digits last three minutes, eight digits five hours,
// ten digits three weeks, twelve digits five years, on one card. The PIN keeps
// out who holds the phone; who can copy its files is kept out by the phone's
// own lock and storage encryption, or by a key store slot in place of a short
// PIN. The printed code has 132 bits and is not to be guessed; who finds the
// paper has the records.
//
// Changing the PIN wraps the same data key anew. A copy of the older key file
// still opens with the older PIN, and gives the key of the newer records too.
//
// Noticed: a byte altered in a record or a slot, a frame moved to another place
// or file, a frame or slot of another vault, another derivation written into a
// slot. None of it opens.
//
// Not noticed: a key file or a whole disk set back to an older copy, the count
// of wrong tries set back with it; the last records taken away (the journal
// sees only gaps); a slot taken out. Nothing on the phone remembers what it was
// like before, outside of the files that were set back.
//
// Not protected: the phone unlocked with the app open; screenshots, the
// keyboard, and whoever looks over a shoulder at the PIN; a browser, extension
// or system that is malicious, and an app that was exchanged for another; the
// memory of the running program. Keys are wiped as far as the language allows:
// the ciphers of the library hold a copy each that only the garbage collector
// clears, and so does the memory of the derivation, which is why it belongs
// into a worker that ends.
//
// What is wrong is never told: a wrong PIN, an altered slot and another vault's
// slot are all [ErrWrong], after the same work.
//
// # Promises
//
//   - After a cut at any byte of a change, the vault opens as it was before or
//     as it is after, never as neither.
//   - What a change says is made has been synced, in two files.
//   - Opening alters no file. It may write a further copy and then remove what
//     that copy makes superfluous.
//   - Slots of kinds that this version does not know are kept byte for byte.
//
// # Bytes
//
// The key is in a row of files named "keys-00000001" and upwards, beside the
// journal's. There is no rename and nothing is written over: a change writes
// its content twice, as the next two numbers, each synced before the next step,
// and then removes the lower numbers. The highest number that is whole counts.
// Two files with the same content are a settled state; finding any other, Open
// writes one more copy and syncs it before anything is removed. So one file may
// be damaged later and nothing is lost. A row that never went beyond number 1
// and is not whole was never acknowledged: it counts as none.
//
// Wrong tries are counted in a second row, "tries-00000001" and upwards, a
// single copy each.
//
// Numbers are little-endian. Nothing valid is all zero, so zero means
// unwritten. A file has at most 16 KiB:
//
//	 0       8          12         16           24         28        28+length
//	 +-------+----------+----------+------------+----------+---------+----------+
//	 | magic | version  | CRC 0–11 | number     | length   | body    | CRC of   |
//	 | 8     | u32      | u32      | u64        | u32      |         | all, u32 |
//	 +-------+----------+----------+------------+----------+---------+----------+
//
//	magic     f7 46 43 4b 0d 0a 1a 0a for keys, f7 46 43 54 0d 0a 1a 0a for tries
//	version   1. The first 16 bytes stay as they are in every version, so that
//	          "too new", "damaged" and "not ours" are three answers.
//	number    the same as in the name
//	CRC       CRC-32C (Castagnoli): against accidents, not against attackers
//
// The body of tries is one u32: the tries since the PIN last opened. The body
// of keys is a mark of 16 bytes, derived from the data key, and one or more
// slots:
//
//	0          2          4
//	+----------+----------+-----------------+
//	| kind u16 | length   | length bytes    |
//	| >= 1     | u16 >= 1 |                 |
//	+----------+----------+-----------------+
//
// Slots of kind 1 (PIN), 2 (code) and 3 (host), at most one of each, hold the
// data key sealed by XChaCha20-Poly1305, and what the kind needs:
//
//	 0         24                 72
//	 +---------+------------------+----------------------------------+
//	 | nonce   | data key, sealed | PIN: recipe, 28; code: nothing;  |
//	 | 24      | 32 + 16          | host: 1 to 2048 bytes of its own |
//	 +---------+------------------+----------------------------------+
//
//	recipe     memory in KiB u32, passes u32, lanes u32 (1), salt 16
//	key        PIN: Argon2id, version 0x13, of the digits in ASCII, 32 bytes
//	           code: HKDF-SHA-256 of its 40 digits in ASCII without the check
//	           digits, salt the mark, info "fourchette/vault/1/code"
//	           host: 32 bytes that the host gets from its own bytes
//	associated "fourchette/vault/1/slot", 0, kind u16, mark, what the kind needs
//	mark       HKDF-SHA-256, expand only, of the data key with the info
//	           "fourchette/vault/1/mark", 16 bytes
//
// A sealed payload, of the journal or another file:
//
//	 0        1         25                 25+n     41+n
//	 +--------+---------+------------------+---------+
//	 | form   | nonce   | n bytes, sealed  | tag     |
//	 | 1      | 24      |                  | 16      |
//	 +--------+---------+------------------+---------+
//
//	key        HKDF-SHA-256, expand only, of the data key with the info
//	           "fourchette/vault/1/seal/" and the purpose, 32 bytes
//	associated "fourchette/vault/1/sealed", 0, number u64, name of the place
//
// Files and payloads of version 1 stay readable for ever; testdata/vault keeps
// some.
package vault
