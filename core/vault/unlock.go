package vault

import (
	"crypto/subtle"
	"slices"
	"time"
)

// Try counts a try of the PIN and returns the recipe to [Derive] the key with,
// for [Vault.Unlock] to take. It answers a [WaitError] while wrong tries make
// the next one wait, and ErrNoSlot when no PIN was set.
func (v *Vault) Try(running time.Duration) ([]byte, error) {
	s := v.keys.find(PIN)
	if s == nil {
		return nil, ErrNoSlot
	}
	if err := v.tries.begin(running); err != nil {
		return nil, err
	}
	v.asked = true
	return slices.Clone(s.needs()), nil
}

// Untried takes the last [Vault.Try] back: no key could be derived for it, so
// that nothing was learnt. The error is ErrNotAsked.
func (v *Vault) Untried() error {
	if !v.asked {
		return ErrNotAsked
	}
	v.asked = false
	v.tries.takeBack()
	return nil
}

// Unlock opens the vault with the key that the PIN and the recipe of the last
// [Vault.Try] derived to, and wipes that key. Each Try allows one Unlock. The
// errors are ErrNotAsked and ErrWrong; a vault that was open stays open.
func (v *Vault) Unlock(kek []byte, running time.Duration) error {
	defer clear(kek)
	if !v.asked {
		return ErrNotAsked
	}
	v.asked = false
	if err := v.open(PIN, kek); err != nil {
		v.tries.failed(running)
		return err
	}
	v.tries.forget()
	return nil
}

// UnlockCode opens the vault with the printed code as it was typed. It is never
// made to wait: nobody guesses 132 bits. The errors are [CodeError], ErrNoSlot
// and ErrWrong.
func (v *Vault) UnlockCode(typed string) error {
	kek, err := typedKey(typed, v.keys.mark)
	if err != nil {
		return err
	}
	defer clear(kek)
	if err := v.open(Code, kek); err != nil {
		return err
	}
	v.tries.forget()
	return nil
}

// HostSlot is what the host stored to get its key from; nil: nothing.
func (v *Vault) HostSlot() []byte {
	if s := v.keys.find(Host); s != nil {
		return slices.Clone(s.needs())
	}
	return nil
}

// UnlockHost opens the vault with the key that the host got from what
// [Vault.HostSlot] returned, and wipes that key. It leaves the count of wrong
// tries as it is. The errors are ErrNoSlot and ErrWrong.
func (v *Vault) UnlockHost(kek []byte) error {
	defer clear(kek)
	return v.open(Host, kek)
}

// open unwraps a slot and takes the data key if it is the one of this vault.
func (v *Vault) open(kind Kind, kek []byte) error {
	s := v.keys.find(kind)
	if s == nil {
		return ErrNoSlot
	}
	data, err := v.keys.unwrap(*s, kek)
	if err != nil {
		return err
	}
	mark, err := expand(data, labelMark, markLen)
	if err == nil && subtle.ConstantTimeCompare(mark, v.keys.mark[:]) != 1 {
		err = ErrWrong
	}
	if err != nil {
		clear(data)
		return err
	}
	v.Lock()
	v.data = data
	return nil
}
