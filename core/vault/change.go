package vault

import "fmt"

// SetPIN puts another PIN in place of the one there is and rewrites nothing but
// the key files; kek is wiped. See [Create] for recipe and kek. The vault must
// be open; to ask for the older PIN first is the caller's. After an error of
// the disk the older PIN or the new one opens: say so.
func (v *Vault) SetPIN(recipe, kek []byte) error {
	defer clear(kek)
	if err := v.set(PIN, recipe, kek); err != nil {
		return err
	}
	v.tries.forget()
	return nil
}

// SetCode lets a code of [NewCode] open the vault from now on and no older one.
// Let it be typed from the paper, to see that the paper is right. The errors are
// ErrLocked, [CodeError] and those of the disk: then the older code or the new
// one opens.
func (v *Vault) SetCode(typed string) error {
	kek, err := typedKey(typed, v.keys.mark)
	if err != nil {
		return err
	}
	defer clear(kek)
	return v.set(Code, nil, kek)
}

// SetHost lets a key store of the host open the vault: kek is a random key of
// 32 bytes, kept the 1 to [MaxHost] bytes that the host gets it back from. The
// key is wiped. Whoever can make the host give it has the records.
func (v *Vault) SetHost(kept, kek []byte) error {
	defer clear(kek)
	return v.set(Host, kept, kek)
}

// DropHost takes the host's slot away.
func (v *Vault) DropHost() error {
	if v.Locked() {
		return ErrLocked
	}
	return v.store(v.keys.without(Host))
}

// set wraps the data key anew for a kind of slot.
func (v *Vault) set(kind Kind, needs, kek []byte) error {
	if v.Locked() {
		return ErrLocked
	}
	nonce, err := draw(v.random, nonceLen)
	if err != nil {
		return err
	}
	s, err := v.keys.wrap(kind, kek, v.data, nonce, needs)
	if err != nil {
		return err
	}
	return v.store(v.keys.with(s))
}

func (v *Vault) store(next keys) error {
	body := next.encode()
	if most := maxFile - fileExtra; len(body) > most {
		return fmt.Errorf("the slots have %d bytes, at most %d", len(body), most)
	}
	if err := v.row.twice(body); err != nil {
		return err
	}
	v.keys, v.safe = next, true
	return nil
}

// Settle writes two copies of the key anew and removes all others: what to do
// when Seal answers [ErrUnsettled] and there may be room now. The vault may be
// locked.
func (v *Vault) Settle() error { return v.store(v.keys) }
