package journal

// OpenSmall opens a journal whose segments end after so many bytes.
func OpenSmall(d Disk, s Sealer, most int64) (*Journal, Report, error) {
	return open(d, s, Start{}, most)
}

// What the tests need to know of the format.
const (
	HeaderLen  = headerLen
	FrameExtra = frameExtra
)

// AppendHeader writes the beginning of a segment.
var AppendHeader = segments.AppendHeader

// OpenSmallFrom opens such a journal from a start.
func OpenSmallFrom(d Disk, s Sealer, from Start, most int64) (*Journal, Report, error) {
	return open(d, s, from, most)
}

// SegmentName is the name of the n-th segment.
var SegmentName = segmentName
