package tables

import "fourchette/core/msgpack"

// The file of a compiled table:
//
//	"fourchette table\n"  17 bytes: ours or not
//	version                1 byte: 1; 0 is never written
//	Compiled               msgpack, to the last byte
//
// Whoever reads version 1 today can read it for ever: a change of Compiled that
// an older program would misread takes the next version.
const (
	magic   = "fourchette table\n"
	version = 1
	// maxSize bounds a file before anything is decoded. A language of 2,000
	// texts takes about 0.3 MB.
	maxSize = 4 << 20
)

// Compiled is a translation table as the packer writes it.
type Compiled struct {
	// Lang is the BCP 47 tag of the texts; it must have a plural rule.
	Lang string
	// Dir is the writing direction, "ltr" or "rtl".
	Dir string
	// Name is what the language calls itself.
	Name string
	// Draft marks a language that no second person has reviewed: for practice only.
	Draft bool
	// Entries are sorted by key, without repeats.
	Entries []Entry
}

// Entry is one text: one form, or one for each plural category of the language
// in CLDR order.
type Entry struct {
	Key   string
	Forms []string
}

// Encode writes the file of a compiled table. It refuses what Load would
// refuse, so that a faulty table is stopped where it is made.
func Encode(c *Compiled) ([]byte, error) {
	if err := check(c); err != nil {
		return nil, err
	}
	return msgpack.Append(append([]byte(magic), version), c), nil
}

// Fields names the fields in the order in which they are written.
func (c *Compiled) Fields(f *msgpack.Fields) {
	f.Text("lang", &c.Lang)
	f.Text("dir", &c.Dir)
	f.Text("name", &c.Name)
	f.Bool("draft", &c.Draft)
	msgpack.Listed(f, "entries", &c.Entries, appendEntry, readEntry)
}

// appendEntry writes an entry as a list of two: its key and its forms.
func appendEntry(b []byte, e *Entry) []byte {
	return msgpack.AppendTexts(msgpack.AppendText(msgpack.AppendList(b, 2), e.Key), e.Forms)
}

func readEntry(b []byte, e *Entry) (rest []byte, err error) {
	n, rest, err := msgpack.ReadList(b)
	if err == nil && n != 2 {
		err = msgpack.ErrShape
	}
	if err != nil {
		return nil, err
	}
	key, rest, err := msgpack.ReadText(rest)
	if err != nil {
		return nil, err
	}
	e.Key = string(key)
	e.Forms, rest, err = msgpack.ReadTexts(rest)
	return rest, err
}
