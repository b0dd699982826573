package journal

// OpenSmall opens a journal whose segments end after so many bytes.
func OpenSmall(d Disk, s Sealer, most int64) (*Journal, Report, error) { return open(d, s, most) }

// What the tests need to know of the format.
const (
	HeaderLen  = headerLen
	FrameExtra = frameExtra
)

// AppendHeader and AppendFrame write the format's parts.
var (
	AppendHeader = appendHeader
	AppendFrame  = appendFrame
)
