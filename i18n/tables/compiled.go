package tables

//go:generate go tool msgp -file compiled.go -o compiled_gen.go -io=false -tests=false

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

//msgp:limit arrays:20000 maps:16
//msgp:noduplicates Compiled Entry
//msgp:tuple Entry

// Compiled is a translation table as the packer writes it.
type Compiled struct {
	// Lang is the BCP 47 tag of the texts; it must have a plural rule.
	Lang string `msg:"lang"`
	// Dir is the writing direction, "ltr" or "rtl".
	Dir string `msg:"dir"`
	// Name is what the language calls itself.
	Name string `msg:"name"`
	// Draft marks a language that no second person has reviewed: for practice only.
	Draft bool `msg:"draft"`
	// Entries are sorted by key, without repeats.
	Entries []Entry `msg:"entries"`
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
	return c.MarshalMsg(append([]byte(magic), version))
}
