package companion

import (
	"encoding/hex"
	"errors"
	"math"
	"strconv"
	"strings"

	"fourchette/core/journal"
	"fourchette/core/vault"
)

// The codes of the lock.
const (
	FaultLocked     = "locked"       // the records are locked: unlock first
	FaultLockWait   = "lock_wait"    // detail: seconds until the next try
	FaultLockSlow   = "lock_slow"    // the same, because the tries cannot be counted: make room
	FaultLockWrong  = "lock_wrong"   // this PIN or code does not open the records
	FaultLockNone   = "lock_none"    // no PIN was set
	FaultLockBusy   = "lock_busy"    // somebody is at a birth, or something runs; detail: the birth
	FaultPINDigits  = "pin_digits"   // a PIN is made of digits
	FaultPINLength  = "pin_length"   // too few or too many
	FaultPINSimple  = "pin_simple"   // among the first that anybody would try
	FaultCode       = "code_wrong"   // the code cannot be right; detail: which group of five
	FaultCodeLength = "code_length"  // it has another number of figures, or something else than figures
	FaultCodeNone   = "code_none"    // no code was made to be kept
	FaultKeysBroken = "keys_broken"  // the key files cannot be read, or are not ours
	FaultKeysTooNew = "keys_too_new" // the key files were written by a newer version
	FaultUnsettled  = "keys_unsafe"  // the key is not stored safely: make room, then try again
)

// A lock is the key of the records, if a PIN was ever set here.
type lock struct {
	vault     *vault.Vault // nil: no PIN was set
	unsettled bool
	newCode   string // made to be written down, and not yet set
}

// shut: there are records, and they are locked.
func (l *lock) shut() bool { return l.vault != nil && l.vault.Locked() }

// openLock finds the key. Sealed records without one were not written by this
// program alone: somebody took the key files away.
func (c *Companion) openLock() error {
	v, report, err := vault.Open(c.host.Disk, c.host.Random, c.host.Running())
	if err != nil && !errors.Is(err, vault.ErrNone) {
		return lockFault(err)
	}
	names, err := sealedRow(c.host.Disk).Names()
	if err != nil {
		return journalFault(err)
	}
	guarded, err := journal.Guarded(c.host.Disk)
	switch {
	case err != nil:
		return journalFault(err)
	case v == nil && (guarded || len(names) > 0):
		return &Fault{Code: FaultKeysBroken, Detail: "there are sealed records and no key files"}
	case guarded && len(names) == 0:
		return sealedGone()
	case v == nil:
		return nil
	}
	c.lock = lock{vault: v, unsettled: report.Unsettled != nil}
	return nil
}

// lockState says whether there is a lock and what it would take.
func lockState(c *Companion, _ *Nothing) (reply, error) {
	out := &LockReply{Set: c.lock.vault != nil, Locked: c.lock.shut(), Unsettled: c.lock.unsettled, Open: c.unsealed != nil}
	if c.journal == nil {
		return nil, &Fault{Code: FaultNoDisk}
	}
	if c.lock.vault != nil {
		out.Code, out.Unkept = c.lock.vault.Has(vault.Code), c.lock.newCode != ""
	}
	if !out.Locked {
		out.Busy = c.busy()
	}
	return out, nil
}

// busy is the birth that keeps the records open, "" when there is none: nobody
// types a PIN with gloves on.
func (c *Companion) busy() string {
	for i := range c.state.Births {
		if b := &c.state.Births[i]; !b.Closed && c.facts(b).InHand() {
			return b.ID
		}
	}
	return ""
}

// Derive makes the key that a PIN opens the records with: see [vault.Derive].
// Recipe and key are hexadecimal. It takes about a second and some memory, which
// is why a host runs it in a program of its own, which it then ends.
func Derive(pin, recipe string) (key string, err error) {
	raw, err := hex.DecodeString(recipe)
	if err != nil {
		return "", err
	}
	kek, err := vault.Derive(pin, raw)
	return hex.EncodeToString(kek), err
}

// lockTry counts a try and hands out what its key is derived with. What can be
// no PIN is refused before it is counted.
func lockTry(c *Companion, r *TryRequest) (reply, error) {
	if c.lock.vault == nil {
		return nil, &Fault{Code: FaultLockNone}
	}
	if r.PIN != "" {
		if err := vault.CheckDigits(r.PIN); err != nil {
			return nil, lockFault(err)
		}
	}
	recipe, err := c.lock.vault.Try(c.host.Running())
	if err != nil {
		return nil, lockFault(err)
	}
	return &RecipeReply{Recipe: hex.EncodeToString(recipe)}, nil
}

// lockUntried takes the try back whose key could not be derived.
func lockUntried(c *Companion, _ *Nothing) (reply, error) {
	if c.lock.vault == nil {
		return nil, &Fault{Code: FaultLockNone}
	}
	if err := c.lock.vault.Untried(); err != nil {
		return nil, lockFault(err)
	}
	return &Nothing{}, nil
}

// lockUnlock opens the records with the key that the PIN derived to.
func lockUnlock(c *Companion, r *KeyRequest) (reply, error) {
	if c.lock.vault == nil {
		return nil, &Fault{Code: FaultLockNone}
	}
	kek, err := hex.DecodeString(r.Key)
	if err != nil {
		return nil, &Fault{Code: FaultWord, Field: "key"}
	}
	return c.unlocked(c.lock.vault.Unlock(kek, c.host.Running()))
}

// lockUnlockCode opens the records with the printed code.
func lockUnlockCode(c *Companion, r *CodeRequest) (reply, error) {
	if c.lock.vault == nil {
		return nil, &Fault{Code: FaultLockNone}
	}
	return c.unlocked(c.lock.vault.UnlockCode(r.Code))
}

// unlocked reads the records once the vault has been opened.
func (c *Companion) unlocked(err error) (reply, error) {
	if err != nil {
		return nil, lockFault(err)
	}
	if err := c.reopen(); err != nil {
		return nil, err
	}
	return &Nothing{}, nil
}

// lockNow shuts the records, unless somebody is at a birth and nobody has said
// that they are to be locked despite that.
func lockNow(c *Companion, r *LockRequest) (reply, error) {
	if c.lock.vault == nil {
		return nil, &Fault{Code: FaultLockNone}
	}
	if busy := c.busy(); busy != "" && !r.Despite {
		return nil, &Fault{Code: FaultLockBusy, Detail: busy}
	}
	c.lock.vault.Lock()
	c.forget()
	return &Nothing{}, nil
}

// lockRecipe checks a new PIN and hands out what its key is derived with.
func lockRecipe(c *Companion, r *PINRequest) (reply, error) {
	if c.journal == nil {
		return nil, &Fault{Code: FaultNoDisk}
	}
	if err := vault.CheckPIN(r.PIN); err != nil {
		return nil, lockFault(err)
	}
	recipe, err := vault.NewRecipe(c.host.Random, vault.Usual)
	if err != nil {
		return nil, lockFault(err)
	}
	return &RecipeReply{Recipe: hex.EncodeToString(recipe)}, nil
}

// lockSetPIN sets the first PIN, and then seals what is there, or another one.
func lockSetPIN(c *Companion, r *SetPINRequest) (reply, error) {
	if c.journal == nil {
		return nil, &Fault{Code: FaultNoDisk}
	}
	recipe, err := hex.DecodeString(r.Recipe)
	kek, err2 := hex.DecodeString(r.Key)
	if err = errors.Join(err, err2); err != nil {
		return nil, &Fault{Code: FaultWord, Field: "recipe"}
	}
	if c.lock.vault != nil {
		if err := c.lock.vault.SetPIN(recipe, kek); err != nil {
			return nil, lockFault(err)
		}
		return &Nothing{}, nil
	}
	v, err := vault.Create(c.host.Disk, c.host.Random, c.host.Running(), recipe, kek)
	if err != nil {
		return nil, lockFault(err)
	}
	c.lock.vault = v
	if err := c.reopen(); err != nil {
		return nil, err
	}
	if c.unsealed != nil {
		return nil, journalFault(c.unsealed)
	}
	return &Nothing{}, nil
}

// lockNewCode makes a code to be written down, or hands out again the one that
// was made before and not kept yet. It opens nothing until a group of it was
// typed from the paper.
func lockNewCode(c *Companion, _ *Nothing) (reply, error) {
	if c.lock.vault == nil || c.lock.shut() {
		return nil, &Fault{Code: FaultLocked}
	}
	if c.lock.newCode == "" {
		code, err := vault.NewCode(c.host.Random)
		if err != nil {
			return nil, lockFault(err)
		}
		c.lock.newCode = code
	}
	return &CodeReply{Code: c.lock.newCode}, nil
}

// lockSetCode lets the code that was made last open the records, once its last
// group was typed from the paper.
func lockSetCode(c *Companion, r *CodeRequest) (reply, error) {
	if c.lock.vault == nil || c.lock.shut() {
		return nil, &Fault{Code: FaultLocked}
	}
	groups := strings.Fields(c.lock.newCode)
	if len(groups) == 0 {
		return nil, &Fault{Code: FaultCodeNone}
	}
	if last := groups[len(groups)-1]; Typed(r.Code) != last {
		return nil, &Fault{Code: FaultCode, Field: "code", Detail: strconv.Itoa(len(groups))}
	}
	if err := c.lock.vault.SetCode(c.lock.newCode); err != nil {
		return nil, lockFault(err)
	}
	c.lock.newCode = ""
	return &Nothing{}, nil
}

func lockFault(err error) *Fault {
	var wait *vault.WaitError
	var code *vault.CodeError
	switch {
	case errors.As(err, &wait) && wait.Uncounted:
		return &Fault{Code: FaultLockSlow, Detail: strconv.Itoa(int(math.Ceil(wait.Left.Seconds())))}
	case errors.As(err, &wait):
		return &Fault{Code: FaultLockWait, Detail: strconv.Itoa(int(math.Ceil(wait.Left.Seconds())))}
	case errors.As(err, &code) && code.Group == 0:
		return &Fault{Code: FaultCodeLength, Field: "code"}
	case errors.As(err, &code):
		return &Fault{Code: FaultCode, Field: "code", Detail: strconv.Itoa(code.Group)}
	case errors.Is(err, vault.ErrWrong), errors.Is(err, vault.ErrNotAsked):
		return &Fault{Code: FaultLockWrong}
	case errors.Is(err, vault.ErrNoSlot):
		return &Fault{Code: FaultLockNone}
	case errors.Is(err, vault.ErrLocked):
		return &Fault{Code: FaultLocked}
	case errors.Is(err, vault.ErrDigits):
		return &Fault{Code: FaultPINDigits, Field: "pin"}
	case errors.Is(err, vault.ErrLength):
		return &Fault{Code: FaultPINLength, Field: "pin"}
	case errors.Is(err, vault.ErrSimple):
		return &Fault{Code: FaultPINSimple, Field: "pin"}
	case errors.Is(err, vault.ErrUnsettled):
		return &Fault{Code: FaultUnsettled}
	case errors.Is(err, vault.ErrTooNew):
		return &Fault{Code: FaultKeysTooNew, Detail: err.Error()}
	case errors.Is(err, vault.ErrNotOurs), errors.Is(err, vault.ErrDamaged):
		return &Fault{Code: FaultKeysBroken, Detail: err.Error()}
	}
	return journalFault(err)
}
