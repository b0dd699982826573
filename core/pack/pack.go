// Package pack holds a content pack: the guidance a clinic works by, as data.
// Start with [Load], which reads the bytes of a pack, and [Pack.Store], which
// writes them.
//
// A pack chooses among published rows by key, and orders pages and items. It
// carries no words (those are in the language tables, under
// "guide.<page>.<item>") and no doses: the classification, the ceilings, the
// alarms and the gates are code, out of a pack's reach.
//
// The bytes are one msgpack map. There is exactly one way to write a given
// pack: Load takes nothing that Store would have written otherwise, so two
// packs with the same content have the same bytes and can be compared and
// signed. What stays readable for ever: the first key of every pack of every
// version is "schema", a whole number, so an older program can tell a newer
// pack from a damaged one.
package pack

import (
	"bytes"
	"errors"
	"fmt"
	"unicode/utf8"

	"github.com/tinylib/msgp/msgp"
)

//go:generate go tool msgp -file pack.go -o pack_gen.go -io=false -tests=false
//msgp:limit arrays:2000 maps:64

// Schema is the version of the pack format that this program writes and the
// newest that it reads.
const Schema = 1

// MaxBytes is the largest pack that is read, in bytes: 1 MiB. It is checked
// before anything is decoded.
const MaxBytes = 1 << 20

// The kinds of an item.
const (
	Caution = "caution" // what can go wrong, kept in sight
	Step    = "step"    // do this, in this order
	Sign    = "sign"    // what to look for
	Ask     = "ask"     // a question to put
	Note    = "note"    // background
	Call    = "call"    // whom to call
	Differ  = "differ"  // where published sources differ: for the trainer, never at the bedside
)

// Pack is one edition of the guidance.
type Pack struct {
	// Schema is the version of the format; 0 is never valid.
	Schema uint8 `msg:"schema"`
	// ID names the pack through all its editions.
	ID string `msg:"id"`
	// Version names this edition.
	Version string `msg:"version"`
	// Choices are the published rows the pack works by.
	Choices Choices `msg:"choices"`
	// Pages are in the order in which they are listed.
	Pages []Page `msg:"pages"`
}

// Choices picks among what is published and built in. An empty choice leaves
// the program's own default, which is the safest one. Whether a key exists is
// for the domain package that owns it to say.
type Choices struct {
	// AnaestheticSource is the key of the table of ceilings; empty: the lowest.
	AnaestheticSource string `msg:"anaesthetic_source"`
	// Agents are the local anaesthetics kept at the clinic; empty: lidocaine only.
	Agents []string `msg:"agents"`
	// Mixing is the rule for two anaesthetics in one birth; empty: the strictest.
	Mixing string `msg:"mixing"`
}

// Page is one page of guidance.
type Page struct {
	Key   string `msg:"key"`
	Items []Item `msg:"items"`
}

// Item is one line of a page.
type Item struct {
	// Kind is one of the kinds above.
	Kind string `msg:"kind"`
	// Key is unique on its page; its words are under "guide.<page>.<key>".
	Key string `msg:"key"`
	// Source is the document that says so, with section and year, or "common
	// practice, no source". A caution, a step,
	// a sign and a difference must have one.
	Source string `msg:"source,omitempty"`
	// Read says how the source was read: "FOUND", "2nd", "from memory: …".
	Read string `msg:"read,omitempty"`
	// Link is the key of the page or tool that the item leads to.
	Link string `msg:"link,omitempty"`
	// Drawing is the key of the drawing beside it.
	Drawing string `msg:"drawing,omitempty"`
}

// The answers to bytes that are no usable pack.
var (
	// ErrTooNew: a pack for a newer program. Update the program, keep the pack.
	ErrTooNew = errors.New("the pack is for a newer version of this program")
	// ErrMalformed: not a pack, or one that was damaged or written wrongly.
	ErrMalformed = errors.New("the pack cannot be read")
)

// Load reads a pack. It refuses, with [ErrTooNew] or [ErrMalformed], whatever
// [Pack.Store] would not have written, byte for byte.
func Load(b []byte) (p Pack, err error) {
	defer func() {
		// Where int has 32 bits the decoder panics over a text that claims 2 GiB.
		if recover() != nil {
			p, err = Pack{}, fmt.Errorf("%w: a length beyond the end", ErrMalformed)
		}
	}()
	return load(b)
}

func load(b []byte) (Pack, error) {
	if len(b) > MaxBytes {
		return Pack{}, fmt.Errorf("%w: %d bytes, at most %d", ErrMalformed, len(b), MaxBytes)
	}
	schema, err := peekSchema(b)
	if err != nil {
		return Pack{}, fmt.Errorf("%w: %v", ErrMalformed, err)
	}
	if schema > Schema {
		return Pack{}, fmt.Errorf("%w: schema %d, this program reads up to %d", ErrTooNew, schema, Schema)
	}
	var p Pack
	if _, err := p.UnmarshalMsg(b); err != nil {
		return Pack{}, fmt.Errorf("%w: %v", ErrMalformed, err)
	}
	again, err := p.Store()
	if err != nil {
		return Pack{}, err
	}
	if !bytes.Equal(again, b) {
		return Pack{}, fmt.Errorf("%w: unknown, repeated or missing keys, or bytes after the end", ErrMalformed)
	}
	return p, nil
}

// Store checks the pack and returns its bytes.
func (p Pack) Store() ([]byte, error) {
	if err := p.check(); err != nil {
		return nil, fmt.Errorf("%w: %v", ErrMalformed, err)
	}
	b, err := p.MarshalMsg(nil)
	if err != nil {
		return nil, fmt.Errorf("%w: %v", ErrMalformed, err)
	}
	if len(b) > MaxBytes {
		return nil, fmt.Errorf("%w: %d bytes, at most %d", ErrMalformed, len(b), MaxBytes)
	}
	return b, nil
}

// peekSchema reads the one thing that every version of the format keeps.
func peekSchema(b []byte) (uint64, error) {
	n, rest, err := msgp.ReadMapHeaderBytes(b)
	if err != nil {
		return 0, err
	}
	if n == 0 {
		return 0, errors.New("the map is empty")
	}
	key, rest, err := msgp.ReadStringBytes(rest)
	if err != nil {
		return 0, err
	}
	if key != "schema" {
		return 0, fmt.Errorf("the first key is %q, not \"schema\"", key)
	}
	schema, _, err := msgp.ReadUint64Bytes(rest)
	return schema, err
}

func (p Pack) check() error {
	if p.Schema != Schema {
		return fmt.Errorf("schema is %d, not %d", p.Schema, Schema)
	}
	if !text(p.ID) || p.ID == "" || !text(p.Version) || p.Version == "" {
		return fmt.Errorf("id %q and version %q must both be text", p.ID, p.Version)
	}
	if err := p.Choices.check(); err != nil {
		return err
	}
	seen := map[string]bool{}
	for _, page := range p.Pages {
		if seen[page.Key] {
			return fmt.Errorf("page %q is there twice", page.Key)
		}
		seen[page.Key] = true
		if err := page.check(); err != nil {
			return fmt.Errorf("page %q: %w", page.Key, err)
		}
	}
	return nil
}

func (c Choices) check() error {
	if c.AnaestheticSource != "" && !key(c.AnaestheticSource) {
		return fmt.Errorf("anaesthetic_source %q is not a key", c.AnaestheticSource)
	}
	if c.Mixing != "" && !key(c.Mixing) {
		return fmt.Errorf("mixing %q is not a key", c.Mixing)
	}
	seen := map[string]bool{}
	for _, a := range c.Agents {
		if !key(a) || seen[a] {
			return fmt.Errorf("agent %q is not a key, or is there twice", a)
		}
		seen[a] = true
	}
	return nil
}

func (p Page) check() error {
	if !key(p.Key) {
		return errors.New("the page's name is not a key")
	}
	seen := map[string]bool{}
	for _, item := range p.Items {
		if seen[item.Key] {
			return fmt.Errorf("item %q is there twice", item.Key)
		}
		seen[item.Key] = true
		if err := item.check(); err != nil {
			return fmt.Errorf("item %q: %w", item.Key, err)
		}
	}
	return nil
}

func (i Item) check() error {
	if !key(i.Key) {
		return errors.New("the item's name is not a key")
	}
	if !text(i.Source) || !text(i.Read) || !text(i.Link) || !text(i.Drawing) {
		return errors.New("source, read, link or drawing is not plain text")
	}
	switch i.Kind {
	case Caution, Step, Sign, Differ:
		if i.Source == "" {
			return fmt.Errorf("a %s needs its source, or \"common practice, no source\"", i.Kind)
		}
		return nil
	case Ask, Note, Call:
		return nil
	}
	return fmt.Errorf("kind %q is unknown", i.Kind)
}

// key reports whether s may name a page, an item or a row: ASCII lower-case
// letters, digits, "_" and "-", up to 64 of them. No dot: it separates keys.
func key(s string) bool {
	if s == "" || len(s) > 64 {
		return false
	}
	for _, c := range []byte(s) {
		if (c < 'a' || c > 'z') && (c < '0' || c > '9') && c != '_' && c != '-' {
			return false
		}
	}
	return true
}

// text reports whether s is valid UTF-8 on one line, up to 1,000 bytes.
func text(s string) bool {
	if len(s) > 1000 || !utf8.ValidString(s) {
		return false
	}
	for _, r := range s {
		if r < ' ' || r == 0x7f {
			return false
		}
	}
	return true
}
