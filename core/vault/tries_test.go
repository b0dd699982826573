package vault_test

import (
	"errors"
	"math/rand/v2"
	"testing"
	"time"

	"pgregory.net/rapid"

	"fourchette/core/journal/journaltest"
	"fourchette/core/vault"
)

// left is how long the next try must wait; 0: it was let through and counted.
func left(t testing.TB, v *vault.Vault, running time.Duration) time.Duration {
	t.Helper()
	_, err := v.Try(running)
	var wait *vault.WaitError
	if err != nil && !errors.As(err, &wait) {
		t.Fatal(err)
	}
	if wait != nil {
		return wait.Left
	}
	return 0
}

// miss makes a wrong try that must be let through.
func miss(t testing.TB, v *vault.Vault, running time.Duration) {
	t.Helper()
	if wait := left(t, v, running); wait != 0 {
		t.Fatalf("at %s: wait %s", running, wait)
	}
	if err := v.Unlock(kek(2), running); !errors.Is(err, vault.ErrWrong) {
		t.Fatal(err)
	}
}

func TestWaitsGrow(t *testing.T) {
	want := []time.Duration{0, 0, 0, 0, 30 * time.Second, time.Minute, 2 * time.Minute, 4 * time.Minute, 8 * time.Minute, 15 * time.Minute, 15 * time.Minute}
	for wrong, w := range want {
		if got := vault.Wait(uint32(wrong)); got != w {
			t.Errorf("after %d: %s, want %s", wrong, got, w)
		}
	}
	for _, wrong := range []uint32{100, 1 << 20, 1<<32 - 1} {
		if got := vault.Wait(wrong); got != 15*time.Minute {
			t.Errorf("after %d: %s", wrong, got)
		}
	}
}

// How many PINs a thief tries in a day, as the threat model says.
func TestAboutAHundredTriesADay(t *testing.T) {
	d, _ := made(t)
	v := opened(t, d)
	tried := 0
	for running := time.Duration(0); running < 24*time.Hour; {
		if wait := left(t, v, running); wait > 0 {
			running += wait
			continue
		}
		_ = v.Unlock(kek(2), running)
		tried++
	}
	if tried < 90 || tried > 110 {
		t.Errorf("%d tries in a day", tried)
	}
}

func TestAWaitIsAsLongAsSaid(t *testing.T) {
	d, _ := made(t)
	v := opened(t, d)
	for range vault.FreeTries {
		miss(t, v, time.Minute)
	}
	if got := left(t, v, time.Minute+10*time.Second); got != 20*time.Second {
		t.Errorf("10 s after the fourth: %s left", got)
	}
	if got := left(t, v, time.Minute+30*time.Second-1); got != 1 {
		t.Errorf("a moment before: %s left", got)
	}
	miss(t, v, time.Minute+30*time.Second)
	if got := left(t, v, time.Minute+30*time.Second); got != time.Minute {
		t.Errorf("after the fifth: %s left", got)
	}
	if err := v.Unlock(kek(1), time.Hour); !errors.Is(err, vault.ErrNotAsked) {
		t.Errorf("unlocked without a try: %v", err)
	}
}

// Deriving takes its time: the wait begins with the answer.
func TestAWaitBeginsWithTheAnswer(t *testing.T) {
	d, _ := made(t)
	v := opened(t, d)
	for range vault.FreeTries {
		if wait := left(t, v, 0); wait > 0 {
			t.Fatalf("wait %s", wait)
		}
		_ = v.Unlock(kek(2), 10*time.Second)
	}
	if got := left(t, v, 15*time.Second); got != 25*time.Second {
		t.Errorf("%s left", got)
	}
}

// The right PIN ends the count, on the disk too.
func TestTheRightPINBeginsTheCountAnew(t *testing.T) {
	d, _ := made(t)
	v := opened(t, d)
	for range 3 {
		miss(t, v, 0)
	}
	must(t, unlock(t, v, kek(1)))
	for range vault.FreeTries {
		miss(t, v, 0)
	}
	must(t, unlock(t, v, kek(1)))
	v = opened(t, d.Lose())
	for range vault.FreeTries {
		miss(t, v, 0)
	}
}

func TestTheCodeBeginsTheCountAnew(t *testing.T) {
	d, v := made(t)
	must(t, v.SetCode(newCode(t, 1)))
	v = opened(t, d)
	for range vault.FreeTries {
		miss(t, v, 0)
	}
	if left(t, v, 0) == 0 {
		t.Fatal("no wait")
	}
	if err := v.UnlockCode(newCode(t, 2)); !errors.Is(err, vault.ErrWrong) {
		t.Fatal(err)
	}
	if left(t, v, 0) == 0 {
		t.Error("a wrong code ended the wait")
	}
	must(t, v.UnlockCode(newCode(t, 1)))
	if got := left(t, v, 0); got != 0 {
		t.Errorf("after the right code: %s left", got)
	}
}

func TestANewPINBeginsTheCountAnew(t *testing.T) {
	d, v := made(t)
	must(t, v.SetHost([]byte("kept"), kek(3)))
	v = opened(t, d)
	for range vault.FreeTries {
		miss(t, v, 0)
	}
	must(t, v.UnlockHost(kek(3)))
	if left(t, v, 0) == 0 {
		t.Error("the host's key ended the wait")
	}
	must(t, v.SetPIN(cheap(t), kek(5)))
	if got := left(t, v, 0); got != 0 {
		t.Errorf("after a new PIN: %s left", got)
	}
}

// Starting the program anew, however it ended, wins nothing: the wait begins
// again in full, on a running clock that may stand anywhere.
func TestAStartWinsNothing(t *testing.T) {
	for name, stop := range map[string]func(*journaltest.Disk) *journaltest.Disk{
		"killed": (*journaltest.Disk).Kill, "power lost": (*journaltest.Disk).Lose,
	} {
		for _, running := range []time.Duration{0, time.Second, 1000 * time.Hour} {
			d, _ := made(t)
			v := opened(t, d)
			for range vault.FreeTries + 2 {
				miss(t, v, running)
				running += time.Hour
			}
			v, _, err := vault.Open(stop(d), seeded(2), running)
			must(t, err)
			if got := left(t, v, running); got != 2*time.Minute {
				t.Errorf("%s, at %s: %s left, want 2 minutes", name, running, got)
			}
		}
	}
}

// A try is counted before it is made: ending the program instead of giving the
// wrong answer wins nothing.
func TestATryThatWasNeverAnsweredCounts(t *testing.T) {
	d, _ := made(t)
	for range vault.FreeTries {
		if wait := left(t, opened(t, d), 0); wait != 0 {
			t.Fatalf("wait %s", wait)
		}
		d = d.Lose()
	}
	if got := left(t, opened(t, d), 0); got != 30*time.Second {
		t.Errorf("%s left", got)
	}
}

// Whatever fails while a try is counted, and however everything then stops, the
// next try waits at least as long as that one had to.
func TestACountNeverFallsThroughACrash(t *testing.T) {
	const wrong = vault.FreeTries + 1
	base, _ := made(t)
	v := opened(t, base)
	for n := range wrong {
		miss(t, v, time.Duration(n)*time.Hour)
	}
	r, tried := rand.New(rand.NewPCG(5, 6)), 0
	for _, op := range []journaltest.Op{journaltest.Write, journaltest.Sync, journaltest.Open, journaltest.Read} {
		for at := 1; at <= 4; at++ {
			for through := range 40 {
				d := base.Copy()
				v := opened(t, d)
				d.Fault = &journaltest.Fault{Op: op, At: d.Count(op) + at, Through: through, Forever: through%2 > 0, Forget: through%3 > 0}
				_, err := v.Try(time.Hour)
				for _, crash := range crashes(r) {
					got := left(t, opened(t, crash.stop(d.Copy())), 0)
					if got != vault.Wait(wrong) && got != vault.Wait(wrong+1) {
						t.Fatalf("%+v, %v, %s: %s left", *d.Fault, err, crash.name, got)
					}
					tried++
				}
			}
		}
	}
	t.Logf("%d stops tried", tried)
}

func TestAClockSetBackMakesTheWaitLonger(t *testing.T) {
	d, _ := made(t)
	v := opened(t, d)
	for range vault.FreeTries {
		miss(t, v, time.Hour)
	}
	if got := left(t, v, time.Hour+20*time.Second); got != 10*time.Second {
		t.Fatalf("%s left", got)
	}
	if got := left(t, v, time.Minute); got != 30*time.Second {
		t.Errorf("set back by an hour: %s left, want all of it", got)
	}
	if got := left(t, v, time.Minute+29*time.Second); got != time.Second {
		t.Errorf("29 s later: %s left", got)
	}
	miss(t, v, time.Minute+30*time.Second)
}

// However often the running clock is set back and the program started anew, a
// try comes no sooner than its wait: what passes for true is what the clock
// counts forwards, setting it back takes no time.
func TestNoClockShortensAWait(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := journaltest.New()
		recipe, err := vault.CheapRecipe(seeded(1))
		if err != nil {
			t.Fatal(err)
		}
		v, err := vault.Create(d, seeded(1), 0, recipe, kek(1))
		if err != nil {
			t.Fatal(err)
		}
		running, waited, wrong := time.Duration(0), time.Duration(0), uint32(0)
		for range rapid.IntRange(1, 60).Draw(t, "steps") {
			step := time.Duration(rapid.IntRange(-600, 1200).Draw(t, "seconds")) * time.Second
			running += step
			waited += max(0, step)
			if rapid.IntRange(0, 9).Draw(t, "start") == 0 {
				d, waited = d.Lose(), 0
				if v, _, err = vault.Open(d, seeded(2), running); err != nil {
					t.Fatal(err)
				}
			}
			if _, err := v.Try(running); err != nil {
				continue
			}
			if waited < vault.Wait(wrong) {
				t.Fatalf("try %d after %s, the wait is %s", wrong+1, waited, vault.Wait(wrong))
			}
			_ = v.Unlock(kek(2), running)
			wrong, waited = wrong+1, 0
		}
	})
}

// A disk that takes nothing must not shut the records away, and must not make
// tries free either: each waits, from the start of the program on.
func TestTriesThatCannotBeStored(t *testing.T) {
	d, _ := made(t)
	v := opened(t, d)
	d.Fault = &journaltest.Fault{Op: journaltest.Write, At: d.Count(journaltest.Write) + 1, Forever: true}
	if got := left(t, v, 0); got != 30*time.Second {
		t.Fatalf("%s left", got)
	}
	var wait *vault.WaitError
	if _, err := v.Try(0); !errors.As(err, &wait) || !wait.Uncounted {
		t.Errorf("%v: it does not say why", err)
	}
	miss(t, v, 30*time.Second)
	if got := left(t, v, 31*time.Second); got != 29*time.Second {
		t.Errorf("%s left", got)
	}
	if got := left(t, v, time.Minute); got != 0 {
		t.Errorf("%s left", got)
	}
	must(t, v.Unlock(kek(1), time.Minute))
}

// TestATryWithoutAKeyIsTakenBack: however often no key can be derived, the next
// try waits no longer than it would have, also in a program started again. What
// was answered stays counted.
func TestATryWithoutAKeyIsTakenBack(t *testing.T) {
	d, _ := made(t)
	v := opened(t, d)
	for range 4 {
		miss(t, v, 0)
	}
	for range 3 {
		if got := left(t, v, 30*time.Second); got != 0 {
			t.Fatalf("%s left of 30 seconds", got)
		}
		must(t, v.Untried())
		if err := v.Untried(); !errors.Is(err, vault.ErrNotAsked) {
			t.Errorf("taken back twice: %v", err)
		}
		if err := v.Unlock(kek(1), 30*time.Second); !errors.Is(err, vault.ErrNotAsked) {
			t.Errorf("taken back, and it may open: %v", err)
		}
	}
	if got := left(t, opened(t, d), 0); got != 30*time.Second {
		t.Errorf("started again: %s left", got)
	}
}

// A count that cannot be read is a high one; no count, or a first one that was
// cut while being written, is none.
func TestACountThatCannotBeRead(t *testing.T) {
	good := vault.TriesFile(5, le32(2))
	spoilt := append([]byte{}, good...)
	spoilt[29] ^= 1
	for name, c := range map[string]struct {
		file string
		b    []byte
		want time.Duration
	}{
		"whole":              {"tries-00000005", good, 0},
		"whole, five":        {"tries-00000005", vault.TriesFile(5, le32(5)), time.Minute},
		"damaged":            {"tries-00000005", spoilt, 15 * time.Minute},
		"cut":                {"tries-00000005", good[:20], 15 * time.Minute},
		"zeros":              {"tries-00000005", make([]byte, 36), 15 * time.Minute},
		"of another number":  {"tries-00000006", good, 15 * time.Minute},
		"a longer body":      {"tries-00000005", vault.TriesFile(5, make([]byte, 8)), 15 * time.Minute},
		"the highest number": {"tries-00000005", vault.TriesFile(5, le32(1<<32-1)), 15 * time.Minute},
		"the first, cut":     {"tries-00000001", vault.TriesFile(1, le32(1))[:20], 0},
		"somebody else's":    {"tries-00000001", []byte("something else altogether"), 0},
	} {
		d, _ := made(t)
		d.Put(c.file, c.b)
		if got := left(t, opened(t, d), 0); got != c.want {
			t.Errorf("%s: %s left, want %s", name, got, c.want)
		}
	}
}

func TestACountOfANewerVersionIsLeftAlone(t *testing.T) {
	d, _ := made(t)
	b := newerVersion(vault.TriesFile(5, le32(2)))
	d.Put("tries-00000005", b)
	if _, _, err := vault.Open(d, seeded(1), 0); !errors.Is(err, vault.ErrTooNew) || string(d.Bytes("tries-00000005")) != string(b) {
		t.Error(err)
	}
}

// FuzzTries opens a vault beside any count.
func FuzzTries(f *testing.F) {
	f.Add(vault.TriesFile(1, le32(3)), uint8(1))
	f.Add(vault.TriesFile(2, le32(3))[:30], uint8(2))
	f.Add([]byte("something else"), uint8(1))
	f.Add(newerVersion(vault.TriesFile(1, le32(3))), uint8(1))
	base, _ := made(f)
	f.Fuzz(func(t *testing.T, b []byte, n uint8) {
		d := base.Copy()
		name := "tries-0000000" + string('1'+rune(n%9))
		d.Put(name, b)
		v, _, err := vault.Open(d, seeded(2), 0)
		if err != nil {
			if !errors.Is(err, vault.ErrTooNew) {
				t.Fatal(err)
			}
			return
		}
		if string(d.Bytes(name)) != string(b) {
			t.Fatal("opening changed the count")
		}
		if wait := left(t, v, 0); wait > 15*time.Minute {
			t.Fatalf("wait %s", wait)
		}
		must(t, unlock(t, v, kek(1)))
	})
}
