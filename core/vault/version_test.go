package vault_test

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"testing"

	"fourchette/core/journal"
	"fourchette/core/journal/journaltest"
	"fourchette/core/vault"
)

// Once a version is released its folder is never written again: it stands for
// the phones that hold such files. So only the newest one can be.
var update = flag.Bool("update", false, "write testdata/vault of the newest version anew")

// What opens the kept vault of version 1, and what its journal holds.
const (
	kept1    = "../../testdata/vault/v1"
	keptPIN  = "281946"
	keptHost = "what a key store gave"
	keptCode = "46223 24382 44922 44047 46447 37639 04607 09404 12931 80875"
)

var keptEntries = []string{"the first entry", "the second", "and a third, after the PIN was changed"}

// keep writes a vault and a sealed journal as this version writes them.
func keep(t *testing.T) {
	d, random := journaltest.New(), seeded(1)
	recipe, err := vault.NewRecipe(random, vault.Usual)
	must(t, err)
	v, err := vault.Create(d, random, 0, recipe, kek(1))
	must(t, err)
	j, _, err := journal.OpenSealed(d, v.Sealer(vault.Journal))
	must(t, err)
	for i, text := range keptEntries {
		if i == 2 {
			key, err := vault.Derive(keptPIN, recipe)
			must(t, err)
			must(t, v.SetPIN(recipe, key))
		}
		must(t, j.Append([]byte(text)))
	}
	must(t, v.SetCode(keptCode))
	must(t, v.SetHost([]byte(keptHost), kek(3)))
	miss(t, v, 0)
	must(t, os.MkdirAll(kept1, 0o755))
	list, err := d.Names()
	must(t, err)
	for _, name := range list {
		must(t, os.WriteFile(filepath.Join(kept1, name), d.Bytes(name), 0o644))
	}
}

func TestVersion1StaysReadable(t *testing.T) {
	if *update {
		keep(t)
	}
	files, err := os.ReadDir(kept1)
	if err != nil || len(files) != 4 {
		t.Fatalf("%d files in %s, want two of keys, one of tries and one of a journal: %v", len(files), kept1, err)
	}
	d := journaltest.New()
	for _, f := range files {
		b, err := os.ReadFile(filepath.Join(kept1, f.Name()))
		must(t, err)
		d.Put(f.Name(), b)
	}
	for name, open := range map[string]func(*vault.Vault) error{
		"PIN": func(v *vault.Vault) error {
			recipe, err := v.Try(0)
			must(t, err)
			key, err := vault.Derive(keptPIN, recipe)
			must(t, err)
			return v.Unlock(key, 0)
		},
		"code": func(v *vault.Vault) error { return v.UnlockCode(keptCode) },
		"host": func(v *vault.Vault) error {
			if string(v.HostSlot()) != keptHost {
				t.Errorf("the host kept %q", v.HostSlot())
			}
			return v.UnlockHost(kek(3))
		},
	} {
		v := opened(t, d.Copy())
		if err := open(v); err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		got := entries(t, d, v)
		if len(got) != len(keptEntries) {
			t.Fatalf("%s: %d entries", name, len(got))
		}
		for i, want := range keptEntries {
			if !bytes.Equal(got[i], []byte(want)) {
				t.Errorf("%s: entry %d reads %q, want %q", name, i+1, got[i], want)
			}
		}
	}
	// One wrong try is in the kept count: three more are free.
	v := opened(t, d)
	for range vault.FreeTries - 1 {
		miss(t, v, 0)
	}
	if left(t, v, 0) == 0 {
		t.Error("the count of wrong tries was not read")
	}
}
