package birth

import (
	"encoding/base32"
	"strconv"
	"strings"
)

// DeviceLen is the length of a device's id, in characters.
const DeviceLen = 8

// Device makes a device's id from five random bytes.
func Device(random [5]byte) string {
	return strings.ToLower(base32.StdEncoding.EncodeToString(random[:]))
}

// BirthID names the n-th birth opened on a device, counting from 1.
func BirthID(device string, n uint64) string {
	return device + "-" + strconv.FormatUint(n, 10)
}

// Number is the local number that people say and write: the first three
// characters of the device in capitals and the count, "K7Q-12". It is empty
// for what is no birth id.
func Number(birth string) string {
	device, n, ok := splitBirth(birth)
	if !ok {
		return ""
	}
	return strings.ToUpper(device[:3]) + "-" + strconv.FormatUint(n, 10)
}

// Now is what the clocks say. Wall is in milliseconds since 1970, Running in
// milliseconds of a clock that only moves forward during one Run.
type Now struct {
	Wall, Running int64
	Run           string
}

// Writer stamps this device's events. Show it every record there is with
// [Writer.Saw] before the first [Writer.Next], and again after the journal had
// to be opened anew: what failed to be written may yet have been written.
type Writer struct {
	Device       string
	Seq, Lamport uint64 // of the last event written or seen
}

// Saw keeps the writer's counts above those of r.
func (w *Writer) Saw(r Record) {
	w.Lamport = max(w.Lamport, r.Event.Lamport)
	if r.Event.Device == w.Device {
		w.Seq = max(w.Seq, r.Event.Seq)
	}
}

// Next stamps an event with the schema in which its kind came; the caller sets
// the body that the kind names. A stamp is used once, even when the event could not be stored.
func (w *Writer) Next(birth, kind string, now Now) Event {
	w.Seq++
	w.Lamport++
	return Event{
		Schema: schemaOf(kind), Device: w.Device, Seq: w.Seq, Lamport: w.Lamport,
		Wall: now.Wall, Running: now.Running, Run: now.Run,
		Birth: birth, Kind: kind,
	}
}

// ID is the event's name, unique over all devices: "device/seq".
func (e Event) ID() string {
	return e.Device + "/" + strconv.FormatUint(e.Seq, 10)
}

// splitBirth reads a birth id and refuses every second spelling of one.
func splitBirth(id string) (device string, n uint64, ok bool) {
	device, count, found := strings.Cut(id, "-")
	n, err := strconv.ParseUint(count, 10, 64)
	if !found || err != nil || n == 0 || !isDevice(device) || BirthID(device, n) != id {
		return "", 0, false
	}
	return device, n, true
}

func isDevice(s string) bool {
	if len(s) != DeviceLen {
		return false
	}
	for _, c := range []byte(s) {
		if (c < 'a' || c > 'z') && (c < '2' || c > '7') {
			return false
		}
	}
	return true
}
