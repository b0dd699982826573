package exchange

// What the tests need to know of the bytes.
const (
	HeadBytes  = headBytes
	HeadAt     = headAt
	PlainBytes = plainBytes
)

// ReadBlock reads the inside of a block and lays it out again.
func ReadBlock(b []byte) (again []byte, entries [][]byte, err error) {
	k, err := readBlock(b)
	if err != nil {
		return nil, nil, err
	}
	again = append(make([]byte, 0, plainBytes), b[0])
	again = le.AppendUint64(again, k.before)
	for _, e := range k.entries {
		again = append(le.AppendUint16(again, uint16(len(e))), e...)
	}
	return append(again, make([]byte, plainBytes-len(again))...), k.entries, nil
}
