package vault_test

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"slices"
	"strings"
	"testing"

	"golang.org/x/crypto/chacha20poly1305"

	"fourchette/core/journal"
	"fourchette/core/journal/journaltest"
	"fourchette/core/vault"
)

// The whole way, as the package comment tells it, with a true PIN.
func TestTheWay(t *testing.T) {
	d, random := journaltest.New(), seeded(1)
	if _, _, err := vault.Open(d, random, 0); !errors.Is(err, vault.ErrNone) {
		t.Fatal(err)
	}
	must(t, vault.CheckPIN("281946"))
	recipe, err := vault.NewRecipe(random, vault.Usual)
	must(t, err)
	key, err := vault.Derive("281946", recipe)
	must(t, err)
	v, err := vault.Create(d, random, 0, recipe, key)
	must(t, err)
	if v.Locked() || !bytes.Equal(key, make([]byte, 32)) {
		t.Error("locked after Create, or the key was not wiped")
	}
	code, err := vault.NewCode(random)
	must(t, err)
	must(t, v.SetCode(code))
	text := sealed(t, v, "an entry")

	v = opened(t, d.Lose())
	if !v.Locked() || !v.Has(vault.PIN) || !v.Has(vault.Code) || v.Has(vault.Host) {
		t.Errorf("%v", v.Locked())
	}
	recipe, err = v.Try(0)
	must(t, err)
	key, err = vault.Derive("٢٨١٩٤٦", recipe)
	must(t, err)
	must(t, v.Unlock(key, 0))
	reads(t, v, text, "an entry")
	v.Lock()
	must(t, v.UnlockCode(strings.ToLower(code)))
	reads(t, v, text, "an entry")
}

func TestWhatIsWrongIsNeverTold(t *testing.T) {
	d, v := made(t)
	must(t, v.SetCode(newCode(t, 1)))
	must(t, v.SetHost([]byte("kept"), kek(3)))
	b := d.Bytes(newest(d))
	altered := bytes.Clone(b)
	altered[60] ^= 1 // in the PIN's slot
	binary.LittleEndian.PutUint32(altered[len(b)-4:], checksum(altered[:len(b)-4]))
	spoilt := d.Copy()
	for _, name := range names(d) {
		spoilt.Put(name, nil)
	}
	spoilt.Put(newest(d), altered)
	for name, err := range map[string]error{
		"a wrong PIN":      unlock(t, opened(t, d), kek(2)),
		"an altered slot":  unlock(t, opened(t, spoilt), kek(1)),
		"the code's key":   unlock(t, opened(t, d), kek(3)),
		"no key":           unlock(t, opened(t, d), nil),
		"a short key":      unlock(t, opened(t, d), kek(1)[:31]),
		"a wrong code":     opened(t, d).UnlockCode(newCode(t, 2)),
		"a wrong host key": opened(t, d).UnlockHost(kek(1)),
	} {
		if err != vault.ErrWrong {
			t.Errorf("%s: %v", name, err)
		}
	}
	must(t, unlock(t, opened(t, d), kek(1)))
	must(t, opened(t, d).UnlockCode(newCode(t, 1)))
	must(t, opened(t, d).UnlockHost(kek(3)))
}

// A slot of another vault, put into this one with a good checksum.
func TestASlotOfAnotherVaultDoesNotOpen(t *testing.T) {
	d, _ := made(t)
	other := journaltest.New()
	_, err := vault.Create(other, seeded(8), 0, cheap(t), kek(2))
	must(t, err)
	ours, theirs := body(d.Bytes("keys-00000002")), body(other.Bytes("keys-00000002"))
	for name, mixed := range map[string][]byte{
		"their slot under our mark": append(bytes.Clone(ours[:16]), theirs[16:]...),
		"our slot under their mark": append(bytes.Clone(theirs[:16]), ours[16:]...),
	} {
		d.Put("keys-00000001", nil)
		d.Put("keys-00000002", vault.KeyFile(2, mixed))
		for n := byte(1); n <= 2; n++ {
			if err := unlock(t, opened(t, d.Copy()), kek(n)); err != vault.ErrWrong {
				t.Errorf("%s, key %d: %v", name, n, err)
			}
		}
	}
}

func body(file []byte) []byte { return file[28 : len(file)-4] }

// A recipe made weaker, with a good checksum: the right PIN's key of the right
// recipe no longer opens the slot.
func TestAnotherRecipeInASlotDoesNotOpen(t *testing.T) {
	d, _ := made(t)
	b := bytes.Clone(body(d.Bytes("keys-00000002")))
	b[len(b)-28+4]++ // the passes
	d.Put("keys-00000001", nil)
	d.Put("keys-00000002", vault.KeyFile(2, b))
	if err := unlock(t, opened(t, d), kek(1)); err != vault.ErrWrong {
		t.Error(err)
	}
}

func TestAPINChangeRewrapsAndRewritesNothingElse(t *testing.T) {
	d, v := made(t)
	must(t, v.SetCode(newCode(t, 1)))
	text := sealed(t, v, "an entry")
	d.Put("journal-00000001", text)
	must(t, v.SetPIN(cheap(t), kek(5)))
	reads(t, v, text, "an entry")
	if !bytes.Equal(d.Bytes("journal-00000001"), text) {
		t.Error("the journal changed")
	}
	v = opened(t, d.Lose())
	if err := unlock(t, v, kek(1)); err != vault.ErrWrong {
		t.Errorf("the older PIN: %v", err)
	}
	must(t, unlock(t, v, kek(5)))
	reads(t, v, text, "an entry")
	v.Lock()
	must(t, v.UnlockCode(newCode(t, 1)))
}

func TestANewCodeReplacesTheOlder(t *testing.T) {
	d, v := made(t)
	if err := v.UnlockCode(newCode(t, 1)); err != vault.ErrNoSlot {
		t.Error(err)
	}
	must(t, v.SetCode(newCode(t, 1)))
	must(t, v.SetCode(newCode(t, 2)))
	v = opened(t, d)
	if err := v.UnlockCode(newCode(t, 1)); err != vault.ErrWrong {
		t.Error(err)
	}
	must(t, v.UnlockCode(newCode(t, 2)))
	if err := v.SetCode("12345"); !errors.As(err, new(*vault.CodeError)) {
		t.Error(err)
	}
}

func TestTheHostsSlot(t *testing.T) {
	d, v := made(t)
	if v.HostSlot() != nil || v.UnlockHost(kek(3)) != vault.ErrNoSlot {
		t.Error("a host's slot that nobody made")
	}
	must(t, v.SetHost([]byte("what the key store gave"), kek(3)))
	v = opened(t, d)
	if string(v.HostSlot()) != "what the key store gave" {
		t.Errorf("%q", v.HostSlot())
	}
	must(t, v.UnlockHost(kek(3)))
	must(t, v.DropHost())
	v = opened(t, d)
	if v.HostSlot() != nil {
		t.Error("it is still there")
	}
	must(t, unlock(t, v, kek(1)))
	for _, kept := range [][]byte{nil, make([]byte, vault.MaxHost+1)} {
		if err := v.SetHost(kept, kek(3)); err == nil {
			t.Errorf("%d bytes were taken", len(kept))
		}
	}
	must(t, v.SetHost(make([]byte, vault.MaxHost), kek(3)))
}

// A slot of a kind that this version does not know stays byte for byte.
func TestUnknownSlotsAreKept(t *testing.T) {
	d, _ := made(t)
	unknown := slices.Concat([]byte{0x39, 0x05, 5, 0}, []byte("bytes"), []byte{0x39, 0x05, 1, 0, 7}, []byte{0xff, 0xff, 2, 0, 0, 0})
	b := append(bytes.Clone(body(d.Bytes("keys-00000002"))), unknown...)
	d.Put("keys-00000001", nil)
	d.Put("keys-00000002", vault.KeyFile(2, b))
	v := opened(t, d)
	must(t, unlock(t, v, kek(1)))
	must(t, v.SetPIN(cheap(t), kek(5)))
	must(t, v.SetCode(newCode(t, 1)))
	must(t, v.SetHost([]byte("kept"), kek(3)))
	must(t, v.DropHost())
	if got := d.Bytes(newest(d)); !bytes.Contains(got, unknown) {
		t.Errorf("% x", got)
	}
	must(t, unlock(t, opened(t, d), kek(5)))
}

func TestLockWipes(t *testing.T) {
	_, v := made(t)
	sealed(t, v, "text")
	data := v.DataKey()
	if v.Ciphers() == 0 || bytes.Equal(data, make([]byte, 32)) {
		t.Fatal("nothing to wipe")
	}
	v.Lock()
	if !v.Locked() || !bytes.Equal(data, make([]byte, 32)) || v.Ciphers() != 0 {
		t.Errorf("locked %v, data key %x, %d ciphers", v.Locked(), data, v.Ciphers())
	}
	v.Lock()
	key := kek(1)
	must(t, unlock(t, v, key))
	if !bytes.Equal(key, make([]byte, 32)) {
		t.Errorf("the key handed in was not wiped: %x", key)
	}
}

func TestALockedVaultChangesNothing(t *testing.T) {
	d, v := made(t)
	v.Lock()
	before := d.Count(journaltest.Write)
	for name, err := range map[string]error{
		"PIN": v.SetPIN(cheap(t), kek(5)), "code": v.SetCode(newCode(t, 1)), "host": v.SetHost([]byte("x"), kek(5)), "drop": v.DropHost(),
	} {
		if !errors.Is(err, vault.ErrLocked) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if d.Count(journaltest.Write) != before {
		t.Error("something was written")
	}
}

// A wrong try on an open vault, to ask again before a change, shuts nothing.
func TestAWrongTryLeavesAnOpenVaultOpen(t *testing.T) {
	_, v := made(t)
	text := sealed(t, v, "text")
	if err := unlock(t, v, kek(2)); err != vault.ErrWrong || v.Locked() {
		t.Errorf("%v, locked %v", err, v.Locked())
	}
	reads(t, v, text, "text")
}

func TestCreateNeverReplacesAKey(t *testing.T) {
	good, _ := made(t)
	damaged := good.Copy()
	for _, name := range names(good) {
		b := good.Bytes(name)
		b[50] ^= 1
		damaged.Put(name, b)
	}
	theirs := journaltest.New()
	theirs.Put("keys-00000001", []byte("something else altogether"))
	newer := journaltest.New()
	newer.Put("keys-00000001", newerVersion(good.Bytes("keys-00000001")))
	for name, c := range map[string]struct {
		d    *journaltest.Disk
		want error
	}{
		"whole": {good, vault.ErrExists}, "damaged": {damaged, vault.ErrExists},
		"not ours": {theirs, vault.ErrNotOurs}, "too new": {newer, vault.ErrTooNew},
	} {
		before := contents(c.d)
		if _, err := vault.Create(c.d, seeded(3), 0, cheap(t), kek(5)); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", name, err, c.want)
		}
		if contents(c.d) != before {
			t.Errorf("%s: the disk changed", name)
		}
	}
}

func TestThreeAnswersForKeyFiles(t *testing.T) {
	good, _ := made(t)
	one, two := good.Bytes("keys-00000001"), good.Bytes("keys-00000002")
	flip := func(b []byte, i int) []byte {
		b = bytes.Clone(b)
		b[i] ^= 0x40
		return b
	}
	theirs := []byte("something else altogether, and long")
	for name, c := range map[string]struct {
		one, two []byte // nil: no file
		want     error
	}{
		"no file":                     {nil, nil, vault.ErrNone},
		"both whole":                  {one, two, nil},
		"the first alone":             {one, nil, nil},
		"the second alone":            {nil, two, nil},
		"the first damaged":           {flip(one, 70), two, nil},
		"the second damaged":          {one, flip(two, 70), nil},
		"the second not ours":         {one, theirs, nil},
		"the second cut":              {one, two[:50], nil},
		"the second empty":            {one, []byte{}, nil},
		"the second zeros":            {one, make([]byte, len(two)), nil},
		"both damaged":                {flip(one, 70), flip(two, 70), vault.ErrDamaged},
		"both cut":                    {one[:50], two[:50], vault.ErrDamaged},
		"a damaged version":           {flip(one, 9), flip(two, 9), vault.ErrDamaged},
		"one damaged byte of magic":   {flip(one, 0), flip(two, 0), vault.ErrDamaged},
		"one longer":                  {append(bytes.Clone(one), 0), append(bytes.Clone(two), 0), vault.ErrDamaged},
		"far too long":                {append(bytes.Clone(one), make([]byte, 1<<20)...), flip(two, 70), vault.ErrDamaged},
		"exchanged":                   {two, one, vault.ErrDamaged},
		"no slots":                    {vault.KeyFile(1, make([]byte, 16)), vault.KeyFile(2, make([]byte, 16)), vault.ErrDamaged},
		"both not ours":               {theirs, theirs, vault.ErrNotOurs},
		"the first not ours":          {theirs, nil, vault.ErrNotOurs},
		"too new":                     {newerVersion(one), newerVersion(two), vault.ErrTooNew},
		"too new beside whole":        {one, newerVersion(two), vault.ErrTooNew},
		"whole beside too new":        {newerVersion(one), two, vault.ErrTooNew},
		"too new, and longer than us": {newerVersion(append(bytes.Clone(one), make([]byte, 1<<20)...)), nil, vault.ErrTooNew},
		"a first one that was cut":    {one[:50], nil, vault.ErrNone},
		"a first one of zeros":        {make([]byte, 60), nil, vault.ErrNone},
	} {
		d := journaltest.New()
		for file, b := range map[string][]byte{"keys-00000001": c.one, "keys-00000002": c.two} {
			if b != nil {
				d.Put(file, b)
			}
		}
		before := contents(d)
		v, _, err := vault.Open(d, seeded(2), 0)
		if !errors.Is(err, c.want) || (err == nil) != (c.want == nil) {
			t.Errorf("%s: %v, want %v", name, err, c.want)
			continue
		}
		if err != nil {
			if v != nil || contents(d) != before {
				t.Errorf("%s: refused, and yet a vault or a change", name)
			}
			continue
		}
		must(t, unlock(t, v, kek(1)))
		must(t, unlock(t, opened(t, d.Lose()), kek(1)))
	}
}

// Any one byte of either copy may go bad: the other opens, and is doubled again.
func TestEveryByteOfOneCopyMayBeDamaged(t *testing.T) {
	good, _ := made(t)
	for _, name := range names(good) {
		for i, was := range good.Bytes(name) {
			d := good.Copy()
			b := d.Bytes(name)
			b[i] = was ^ 0xff
			d.Put(name, b)
			v, r, err := vault.Open(d, seeded(2), 0)
			if err != nil || r.Unsettled != nil {
				t.Fatalf("%s, byte %d: %v, %+v", name, i, err, r)
			}
			if foreign := len(r.Spoilt) == 0; foreign || r.Spoilt[0] != name {
				t.Fatalf("%s, byte %d: %+v", name, i, r)
			}
			must(t, unlock(t, v, kek(1)))
			if _, r, err := vault.Open(d.Lose(), seeded(2), 0); err != nil || len(r.Spoilt) > 0 {
				t.Fatalf("%s, byte %d, opened again: %v, %+v", name, i, err, r)
			}
		}
	}
}

// Opening a settled vault writes nothing, and never alters a file.
func TestOpeningChangesNothing(t *testing.T) {
	d, _ := made(t)
	before, writes := contents(d), d.Count(journaltest.Write)
	opened(t, d)
	if contents(d) != before || d.Count(journaltest.Write) != writes {
		t.Error("the disk changed")
	}
}

func TestAChangeLeavesTwoFiles(t *testing.T) {
	d, v := made(t)
	for n := byte(2); n < 12; n++ {
		must(t, v.SetPIN(cheap(t), kek(n)))
	}
	if got := names(d); !slices.Equal(got, []string{"keys-00000021", "keys-00000022"}) {
		t.Errorf("%q", got)
	}
	if d.Unsynced() > 0 {
		t.Error("something is not synced")
	}
}

func TestFilesOfOthersStay(t *testing.T) {
	d, v := made(t)
	d.Put("keys-00000007", []byte("something else altogether"))
	d.Put("keys-7", []byte("a name that is not ours"))
	d.Put("tries-00000009", []byte("something else altogether"))
	must(t, v.SetPIN(cheap(t), kek(5)))
	v = opened(t, d)
	must(t, unlock(t, v, kek(5)))
	for name, want := range map[string]string{
		"keys-00000007": "something else altogether", "keys-7": "a name that is not ours", "tries-00000009": "something else altogether",
	} {
		if got := string(d.Bytes(name)); got != want {
			t.Errorf("%s holds %q", name, got)
		}
	}
}

// Two programs on one disk: the second to write sees that it is not alone, and
// takes nothing away.
func TestAFileThatAppearedIsNotWrittenOver(t *testing.T) {
	d, v := made(t)
	d.Put("keys-00000003", []byte("of another program of ours"))
	if err := v.SetPIN(cheap(t), kek(5)); err == nil {
		t.Error("the PIN was changed")
	}
	if got := d.Bytes("keys-00000003"); string(got) != "of another program of ours" {
		t.Errorf("%q", got)
	}
}

// A Create that is cut again and again was never acknowledged, and the next one
// still makes the key.
func TestACreateThatIsCutAgainAndAgain(t *testing.T) {
	d := journaltest.New()
	for n := range 5 {
		d.Fault = &journaltest.Fault{Op: journaltest.Write, At: d.Count(journaltest.Write) + 1, Through: 37 * n, Forever: true}
		if _, err := vault.Create(d, seeded(1), 0, cheap(t), kek(1)); err == nil {
			t.Fatal("created on a disk that fails")
		}
		d = d.Kill()
		if _, _, err := vault.Open(d, seeded(2), 0); !errors.Is(err, vault.ErrNone) {
			t.Fatalf("cut %d times: %v", n+1, err)
		}
	}
	_, err := vault.Create(d, seeded(1), 0, cheap(t), kek(1))
	must(t, err)
	must(t, unlock(t, opened(t, d.Lose()), kek(1)))
}

func TestWhatIsHandedOutIsACopy(t *testing.T) {
	_, v := made(t)
	must(t, v.SetHost([]byte("kept"), kek(3)))
	clear(v.HostSlot())
	recipe, err := v.Try(0)
	must(t, err)
	clear(recipe)
	must(t, v.Unlock(kek(1), 0))
	must(t, v.UnlockHost(kek(3)))
}

// Bodies with a good checksum that no version of ours wrote.
func TestBodiesThatCannotBe(t *testing.T) {
	d, _ := made(t)
	good := body(d.Bytes("keys-00000002"))
	slot := good[16:]
	wrongLength := vault.KeyFile(2, good)
	binary.LittleEndian.PutUint32(wrongLength[24:], uint32(len(good)-1))
	end := len(wrongLength) - 4
	binary.LittleEndian.PutUint32(wrongLength[end:], checksum(wrongLength[:end]))
	file := func(parts ...[]byte) []byte { return vault.KeyFile(2, slices.Concat(parts...)) }
	more := good // three large slots and one that fills the file to its last byte
	for range 3 {
		more = slices.Concat(more, []byte{9, 0, 0, 0x10}, make([]byte, 4096))
	}
	rest := vault.MaxFile - vault.FileExtra - len(more) - 4
	filled := func(n int) []byte {
		return file(more, binary.LittleEndian.AppendUint16([]byte{9, 0}, uint16(n)), make([]byte, n))
	}
	for name, b := range map[string][]byte{
		"two PINs":             file(good, slot),
		"kind 0":               file(good, []byte{0, 0, 1, 0, 7}),
		"an empty slot":        file(good, []byte{9, 0, 0, 0}),
		"a slot over 4096":     file(good, []byte{9, 0, 1, 0x10}, make([]byte, 4097)),
		"half a slot's header": file(good, []byte{9, 0}),
		"a slot cut":           file(good, []byte{9, 0, 3, 0, 7}),
		"a code with more":     file(good, []byte{2, 0, 73, 0}, make([]byte, 73)),
		"a code with less":     file(good, []byte{2, 0, 71, 0}, make([]byte, 71)),
		"a host with nothing":  file(good, []byte{3, 0, 72, 0}, make([]byte, 72)),
		"a PIN, bad recipe":    file(good[:16], []byte{1, 0, 100, 0}, make([]byte, 100)),
		"a wrong length":       wrongLength,
		"a byte over 16 KiB":   filled(rest + 1),
		"a short mark":         file(good[:10]),
	} {
		d := journaltest.New()
		d.Put("keys-00000002", b)
		if _, _, err := vault.Open(d, seeded(2), 0); !errors.Is(err, vault.ErrDamaged) {
			t.Errorf("%s: %v", name, err)
		}
	}
	d.Put("keys-00000001", nil)
	d.Put("keys-00000002", filled(rest))
	v := opened(t, d)
	must(t, unlock(t, v, kek(1)))
	if err := v.SetCode(newCode(t, 1)); err == nil {
		t.Error("a slot more than there is room for was taken")
	}
}

// Who knows the PIN can make a slot of this vault with another data key in it.
// It would read nothing, and what it sealed nobody else could read.
func TestAnotherDataKeyInASlotDoesNotOpen(t *testing.T) {
	d, _ := made(t)
	good := body(d.Bytes("keys-00000002"))
	c, err := chacha20poly1305.NewX(kek(1))
	must(t, err)
	nonce, mark, recipe := good[20:44], good[:16], good[len(good)-28:]
	bound := slices.Concat([]byte("fourchette/vault/1/slot\x00"), []byte{1, 0}, mark, recipe)
	seal := func(data []byte) []byte {
		return vault.KeyFile(2, slices.Concat(good[:20], nonce, c.Seal(nil, nonce, data, bound), recipe))
	}
	d.Put("keys-00000001", nil)
	d.Put("keys-00000002", seal(kek(9)))
	if err := unlock(t, opened(t, d), kek(1)); err != vault.ErrWrong {
		t.Error(err)
	}
	// The same by the same hand with the right data key opens.
	d, v := made(t)
	d.Put("keys-00000001", nil)
	d.Put("keys-00000002", seal(v.DataKey()))
	must(t, unlock(t, opened(t, d), kek(1)))
}

// A disk that says how much was asked of it at once.
type measured struct {
	journal.Disk
	most int
}

type measuredFile struct {
	journal.File
	disk *measured
}

func (m *measured) Open(name string) (journal.File, error) {
	f, err := m.Disk.Open(name)
	return measuredFile{f, m}, err
}

func (f measuredFile) ReadAt(p []byte, off int64) (int, error) {
	f.disk.most = max(f.disk.most, len(p))
	return f.File.ReadAt(p, off)
}

func TestALargeFileTakesNoMemory(t *testing.T) {
	d, _ := made(t)
	d.Put("keys-00000002", append(d.Bytes("keys-00000002"), make([]byte, 1<<22)...))
	m := &measured{Disk: d}
	_, _, err := vault.Open(m, seeded(2), 0)
	must(t, err)
	if m.most == 0 || m.most > vault.MaxFile+1 {
		t.Errorf("%d bytes were read at once", m.most)
	}
}

// With one copy that may be in memory only, and a disk that takes no second,
// what was sealed can be read and nothing new is sealed.
func TestNothingIsSealedWithAKeyThatMayBeLost(t *testing.T) {
	d, v := made(t)
	text := sealed(t, v, "text")
	must(t, d.Remove("keys-00000002"))
	d.Capacity = int64(len(d.Bytes("keys-00000001"))) + 80
	v, r, err := vault.Open(d, seeded(2), 0)
	if err != nil || r.Unsettled == nil {
		t.Fatalf("%v, %+v", err, r)
	}
	must(t, unlock(t, v, kek(1)))
	reads(t, v, text, "text")
	s := v.Sealer(vault.Journal)
	if _, err := s.Seal("journal-00000001", 2, []byte("new")); !errors.Is(err, vault.ErrUnsettled) {
		t.Fatal(err)
	}
	if v.Settle() == nil {
		t.Fatal("settled on a full disk")
	}
	d.Capacity = 0
	v.Lock()
	must(t, v.Settle())
	must(t, unlock(t, v, kek(1)))
	if _, err := s.Seal("journal-00000001", 2, []byte("new")); err != nil {
		t.Fatal(err)
	}
	must(t, unlock(t, opened(t, d.Lose()), kek(1)))
}

// FuzzKeyFile: what is taken lays out again to the same bytes.
func FuzzKeyFile(f *testing.F) {
	d, v := made(f)
	f.Add(d.Bytes("keys-00000002"), uint64(2))
	must(f, v.SetCode(newCode(f, 1)))
	must(f, v.SetHost([]byte("kept"), kek(3)))
	good := d.Bytes(newest(d))
	f.Add(good, uint64(6))
	f.Add(good[:100], uint64(6))
	f.Add(newerVersion(good), uint64(6))
	f.Add(vault.KeyFile(1, append(make([]byte, 16), 9, 0, 1, 0, 7)), uint64(1))
	f.Fuzz(func(t *testing.T, b []byte, number uint64) {
		if again := vault.ReadKeyFile(b, number); again != nil && !bytes.Equal(again, b) {
			t.Fatalf("% x was read, and laid out again % x", b, again)
		}
		// The checksum keeps a fuzzer out: any body, with a good one.
		file := vault.KeyFile(number, b)
		if again := vault.ReadKeyFile(file, number); again != nil && !bytes.Equal(again, file) {
			t.Fatalf("% x was read, and laid out again % x", file, again)
		}
	})
}

// FuzzOpen opens two key files of any bytes.
func FuzzOpen(f *testing.F) {
	d, _ := made(f)
	one, two := d.Bytes("keys-00000001"), d.Bytes("keys-00000002")
	f.Add(one, two)
	f.Add(one[:40], two)
	f.Add(one, []byte{})
	f.Add([]byte("something else altogether"), two[:50])
	f.Add(newerVersion(one), two)
	f.Fuzz(func(t *testing.T, a, b []byte) {
		d := journaltest.New()
		d.Put("keys-00000001", a)
		d.Put("keys-00000002", b)
		before := contents(d)
		v, _, err := vault.Open(d, seeded(2), 0)
		if bytes.Equal(a, one) && bytes.Equal(b, two) {
			must(t, err)
			must(t, unlock(t, v, kek(1)))
			return
		}
		if err == nil {
			return
		}
		if v != nil || contents(d) != before {
			t.Fatal("refused, and yet a vault or a change")
		}
		if !errors.Is(err, vault.ErrDamaged) && !errors.Is(err, vault.ErrNotOurs) && !errors.Is(err, vault.ErrTooNew) {
			t.Fatal(err)
		}
	})
}

// newerVersion is the same file with a version above ours, and a good header.
func newerVersion(b []byte) []byte {
	b = bytes.Clone(b)
	binary.LittleEndian.PutUint32(b[8:], 2)
	binary.LittleEndian.PutUint32(b[12:], checksum(b[:12]))
	return b
}

func checksum(b []byte) uint32 { return crc32.Checksum(b, crc32.MakeTable(crc32.Castagnoli)) }

func names(d *journaltest.Disk) []string {
	list, _ := d.Names()
	return slices.DeleteFunc(list, func(s string) bool { return !strings.HasPrefix(s, "keys-") })
}

func newest(d *journaltest.Disk) string {
	list := names(d)
	return list[len(list)-1]
}

// contents is all that a disk holds.
func contents(d *journaltest.Disk) string {
	var b strings.Builder
	list, _ := d.Names()
	for _, name := range list {
		fmt.Fprintf(&b, "%s %x\n", name, d.Bytes(name))
	}
	return b.String()
}
