package vault

import "io"

// CheapRecipe is a recipe too weak for anything but tests.
func CheapRecipe(random io.Reader) ([]byte, error) {
	return newRecipe(random, Cost{MemoryKiB: leastKiB, Passes: 1})
}

// What the tests need to know of the format and the rules.
const (
	FileExtra = fileExtra
	MaxFile   = maxFile
	FreeTries = freeTries
)

// The parts that are tried alone.
var (
	Wait       = wait
	Expand     = expand
	CodeKey    = codeKey
	CheckDigit = checkDigit
	ReadCode   = readCode
	PINDigits  = pinDigits
)

// KeyFile lays out a key file around any body.
func KeyFile(number uint64, body []byte) []byte { return keyFiles.encode(number, body) }

// TriesFile lays out a count of wrong tries around any body.
func TriesFile(number uint64, body []byte) []byte { return tryFiles.encode(number, body) }

// ReadKeyFile reads a key file and lays it out again; nil: it is refused.
func ReadKeyFile(b []byte, number uint64) []byte {
	is, _, body := keyFiles.decode(b, number)
	if is != whole {
		return nil
	}
	k, err := readKeys(body)
	if err != nil {
		return nil
	}
	return keyFiles.encode(number, k.encode())
}

// DataKey is the vault's data key itself, not a copy.
func (v *Vault) DataKey() []byte { return v.data }

// Opens opens with a PIN's key and counts no try.
func (v *Vault) Opens(kek []byte) error { return v.open(PIN, kek) }

// Ciphers is how many ciphers the vault holds.
func (v *Vault) Ciphers() int { return len(v.ciphers) }
