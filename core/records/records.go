package records

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"fourchette/core/archive"
	"fourchette/core/birth"
	"fourchette/core/journal"
)

// ErrUnknown: there is no birth with this id.
var ErrUnknown = errors.New("there is no such birth")

// Report tells what Open found.
type Report struct {
	Journal journal.Report
	Archive archive.Report
	// Strays counts the entries that are no event; they are kept.
	Strays int
}

// Records are open records. They are for one goroutine, and for one writer on
// the disk at a time.
type Records struct {
	journal *journal.Journal
	archive *archive.Archive
	state   birth.State
	writer  birth.Writer
	note    note
	kept    map[string]*kept // by id, of each birth in state and each deleted one
	strays  []archive.Entry
	moves   []archive.Entry // the events that gave this phone another id
	gone    []string        // live births of which nothing can be read
	shown   birth.Birth     // the birth of a volume that was asked for last
	broken  error           // what the disk holds is not known any more
}

// kept is what a birth in memory is made of.
type kept struct {
	entries []archive.Entry
	lost    uint64 // below it something of this birth may be lost
	moved   bool   // counted among those in the archive
	vouched uint64
}

// Open reads the live births and what was written since they were put
// together. Nothing is written but, anew, the journal's last frame. Its errors
// are those of journal and archive, and that of the sealer for an entry that it
// does not open.
func Open(d journal.Disk, s journal.Sealer) (*Records, Report, error) {
	a, ar, err := archive.Open(d, s)
	if err != nil {
		return nil, Report{}, err
	}
	j, jr, err := journal.OpenFrom(d, s, a.Start())
	if err != nil {
		return nil, Report{}, err
	}
	r := &Records{journal: j, archive: a, kept: map[string]*kept{}}
	report := Report{Journal: jr, Archive: ar}
	if ar.Unsettled && jr.Unconfirmed == nil {
		if _, err := j.End(); err != nil {
			return nil, report, errors.Join(err, j.Close())
		}
	}
	if err := r.read(report); err != nil {
		return nil, report, errors.Join(err, j.Close())
	}
	report.Strays = len(r.strays)
	return r, report, nil
}

// read builds the state: live items, then the journal, then what the archive
// has of births that the journal speaks of.
func (r *Records) read(report Report) (err error) {
	if r.note, err = readNote(r.archive.Note()); err != nil {
		return err
	}
	committed := r.note
	committed.highest = slices.Clone(r.note.highest)
	r.writer = birth.Writer{Device: r.note.device, Seq: r.note.seq, Lamport: r.note.lamport}
	r.lose(report.Journal.WholeFrom)
	var all, hot []sequenced
	for _, it := range r.archive.Live() {
		all = append(all, r.takeItem(it)...)
	}
	r.miss(report.Archive.Doubtful)
	err = r.journal.Each(func(seq uint64, payload []byte) error {
		hot = append(hot, r.decode(seq, payload)...)
		return nil
	})
	if err != nil {
		return err
	}
	for _, h := range hot {
		r.saw(h)
		if h.Event.Kind == birth.KindMoved {
			continue
		}
		if id := h.Event.Birth; r.kept[id] == nil && committed.mayHave(id) {
			cold, err := r.fetch(id)
			if err != nil {
				return err
			}
			all = append(all, cold...)
		}
		r.keep(h)
	}
	r.state = birth.Replay(records(append(all, hot...)))
	for i := range r.state.Births {
		r.judge(&r.state.Births[i])
	}
	return nil
}

// sequenced is a record with the journal's sequence of it.
type sequenced struct {
	birth.Record
	seq uint64
}

func records(list []sequenced) []birth.Record {
	out := make([]birth.Record, len(list))
	for i, s := range list {
		out[i] = s.Record
	}
	return out
}

// saw keeps the writer's counts, and its device: that of the first event, until
// one says that the phone moved on to another.
func (r *Records) saw(s sequenced) {
	if d := s.Event.Device; r.writer.Device == "" || s.Event.Kind == birth.KindMoved {
		r.writer = birth.Writer{Device: d, Lamport: r.writer.Lamport}
	}
	if s.Event.Device == r.writer.Device {
		r.own(s.Event.Device)
	}
	r.writer.Saw(s.Record)
	if s.Event.Kind == birth.KindMoved {
		r.moves = append(r.moves, archive.Entry{Seq: s.seq, Payload: s.Raw})
	}
}

// own notes an id under which this phone writes or wrote.
func (r *Records) own(device string) {
	if !slices.Contains(r.note.own, device) {
		r.note.own = append(slices.Clip(r.note.own), device)
	}
}

// mayHave reports whether a birth may have been there when the note was taken.
func (n *note) mayHave(id string) bool {
	device, k := split(id)
	return k <= n.highestOf(device)
}

// decode reads a payload; one that is no event is kept apart.
func (r *Records) decode(seq uint64, payload []byte) []sequenced {
	record, err := birth.Decode(payload)
	if err != nil {
		r.strays = append(r.strays, archive.Entry{Seq: seq, Payload: payload})
		r.lose(seq + 1)
		return nil
	}
	return []sequenced{{record, seq}}
}

// lose notes that lines of any birth may be lost below a sequence.
func (r *Records) lose(below uint64) { r.note.wholeFrom = max(r.note.wholeFrom, below) }

// miss notes the live births of which nothing can be read.
func (r *Records) miss(keys []string) {
	for _, key := range keys {
		if id := idOf(key); id != "" {
			r.gone = append(r.gone, id)
		} else {
			r.lose(r.archive.Start().Sequence)
		}
	}
}

// takeItem takes what an item holds into memory. One without entries was
// written for a live birth of which nothing could be read.
func (r *Records) takeItem(it archive.Item) (list []sequenced) {
	if len(it.Entries) == 0 {
		r.miss([]string{it.Key})
	}
	for _, e := range it.Entries {
		list = append(list, r.decode(e.Seq, e.Payload)...)
	}
	for _, s := range list {
		if s.Event.Kind == birth.KindMoved {
			r.moves = append(r.moves, archive.Entry{Seq: s.seq, Payload: s.Raw})
		} else {
			r.keep(s)
		}
	}
	if k := r.kept[idOf(it.Key)]; k != nil {
		k.lost, k.moved = max(k.lost, it.Mark>>1), k.moved || it.Mark&1 > 0
	}
	return list
}

// fetch takes what the archive has of a birth into memory.
func (r *Records) fetch(id string) ([]sequenced, error) {
	it, err := r.archive.Find(key(id))
	if errors.Is(err, archive.ErrNone) {
		return nil, nil
	}
	if err != nil && !errors.Is(err, archive.ErrDamaged) {
		return nil, err
	}
	k := r.keptOf(id)
	if err != nil {
		k.lost, k.moved = max(k.lost, r.archive.Start().Sequence), true
	}
	return r.takeItem(it), nil
}

func (r *Records) keptOf(id string) *kept {
	k := r.kept[id]
	if k == nil {
		k = &kept{}
		r.kept[id] = k
		r.note.count(id)
		if at := slices.Index(r.gone, id); at >= 0 {
			r.gone = slices.Delete(r.gone, at, at+1)
			k.lost = r.archive.Start().Sequence
		}
	}
	return k
}

// keep notes an event under its birth.
func (r *Records) keep(s sequenced) {
	k := r.keptOf(s.Event.Birth)
	k.entries = append(k.entries, archive.Entry{Seq: s.seq, Payload: s.Raw})
	if r.vouches(s.Event) {
		k.vouched = max(k.vouched, s.seq)
	}
}

// vouches: nothing of a birth that was written before this event is lost.
func (r *Records) vouches(e birth.Event) bool {
	return e.Kind == birth.KindLookedThrough || e.Kind == birth.KindOpened && slices.Contains(r.note.own, e.Device)
}

// judge marks a birth of which lines may be lost.
func (r *Records) judge(b *birth.Birth) {
	k := r.kept[b.ID]
	b.Damaged = doubtful(k.vouched, max(k.lost, r.note.wholeFrom))
}

func doubtful(vouched, wholeFrom uint64) bool { return vouched < wholeFrom }

// Live are the births that are open or recent, in the order in which they were
// opened; behind them those of which nothing can be read any more.
func (r *Records) Live() []birth.Birth {
	list := r.state.Births
	for _, id := range r.gone {
		list = append(list[:len(list):len(list)], nothingOf(id))
	}
	return list
}

// nothingOf is a birth of which only the id is left.
func nothingOf(id string) birth.Birth {
	return birth.Birth{ID: id, Number: birth.Number(id), Damaged: true}
}

// Birth returns any birth, live or from the archive. One that the archive
// cannot read, or may have had, is Damaged and holds what is left. Its errors
// are ErrUnknown and those of the disk.
func (r *Records) Birth(id string) (birth.Birth, error) {
	if b, found := r.state.Find(id); found {
		return b, nil
	}
	if slices.Contains(r.gone, id) {
		return nothingOf(id), nil
	}
	if birth.Number(id) == "" || r.state.IsDeleted(id) || !r.note.mayHave(id) {
		return birth.Birth{}, fmt.Errorf("%w: %q", ErrUnknown, id)
	}
	if r.shown.ID == id {
		return r.shown, nil
	}
	b, err := r.cold(id)
	if err == nil {
		r.shown = b
	}
	return b, err
}

// cold works a birth out that is not live, from the archive alone.
func (r *Records) cold(id string) (birth.Birth, error) {
	it, err := r.archive.Find(key(id))
	switch {
	case errors.Is(err, archive.ErrNone):
		return birth.Birth{}, fmt.Errorf("%w: %s", ErrUnknown, id)
	case err != nil && !errors.Is(err, archive.ErrDamaged):
		return birth.Birth{}, err
	}
	aside := &Records{archive: r.archive, kept: map[string]*kept{}, note: note{own: r.note.own}}
	list := aside.takeItem(it)
	if len(list) == 0 {
		return nothingOf(id), nil
	}
	births := birth.Replay(records(list)).Births
	if len(births) == 0 { // deleted
		return birth.Birth{}, fmt.Errorf("%w: %s", ErrUnknown, id)
	}
	b, k := births[0], aside.kept[id]
	b.Damaged = err != nil || len(aside.strays) > 0 || doubtful(k.vouched, max(k.lost, r.note.wholeFrom))
	return b, nil
}

// Writer stamps this device's events. Its Device is empty while nothing was
// ever written here: set it.
func (r *Records) Writer() *birth.Writer { return &r.writer }

// NextBirth is the id for the next birth opened on a device.
func (r *Records) NextBirth(device string) string {
	return birth.BirthID(device, r.note.highestOf(device)+1)
}

// Archived is the number of births that moved to the archive.
func (r *Records) Archived() uint64 { return r.note.archived }

// Append writes an event, and returns when it is on the disk and in its birth.
// After an error the records must be opened again; whether the event is on the
// disk is then to be seen.
func (r *Records) Append(e birth.Record) error {
	if r.broken != nil {
		return fmt.Errorf("%w: %w", journal.ErrBroken, r.broken)
	}
	s := sequenced{e, r.journal.Next()}
	if err := r.journal.Append(e.Raw); err != nil {
		if !errors.Is(err, journal.ErrPayload) {
			r.broken = err
		}
		return err
	}
	r.saw(s)
	if err := r.enter(s); err != nil {
		r.broken = err
		return err
	}
	return nil
}

// enter shows an event that is on the disk. The first one for a birth of the
// archive takes that birth into memory.
func (r *Records) enter(s sequenced) error {
	id, add := s.Event.Birth, []sequenced{s}
	if s.Event.Kind == birth.KindMoved {
		return nil
	}
	if r.kept[id] == nil && r.note.mayHave(id) {
		cold, err := r.fetch(id)
		if err != nil {
			return err
		}
		add = append(add, cold...)
	}
	r.shown = birth.Birth{}
	r.keep(s)
	r.state.Add(records(add)...)
	for i := range r.state.Births {
		if b := &r.state.Births[i]; b.ID == id {
			r.judge(b)
		}
	}
	return nil
}

// Close closes the journal. Nothing is pending: every append was flushed.
func (r *Records) Close() error {
	r.broken = cmp.Or(r.broken, errors.New("they were closed"))
	return r.journal.Close()
}
