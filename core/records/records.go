package records

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"slices"

	"fourchette/core/archive"
	"fourchette/core/arrange"
	"fourchette/core/birth"
	"fourchette/core/journal"
)

// Mark begins a payload that is no event and no loss: a caller's mark in the
// journal, with whatever it adds. It is kept, and [Records.Marked] tells of it.
var Mark = []byte{0xc0}

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
	writer  birth.Writer
	note    note
	kept    map[string]*kept // by id, those in memory, deleted ones too
	order   []*kept          // those that are births, as they were opened
	strays  []archive.Entry
	aside   []archive.Entry // events that gave this phone another id, and marks
	marked  bool
	gone    []string    // live births of which nothing can be read
	shown   birth.Birth // the birth of a volume that was asked for last
	purge   bool        // something of a deleted birth may be in a file
	broken  error       // what the disk holds is not known any more
}

// kept is a birth in memory, and what it is made of. It has a state of its own,
// so that an event costs the same however many births there are.
type kept struct {
	state   birth.State
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
	if ar.Orphans && jr.Missing > 0 {
		return nil, Report{}, errors.Join(fmt.Errorf("%w: its directory is gone, and the journal begins later", archive.ErrDamaged), j.Close())
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
	committed.highest = append([]counted(nil), r.note.highest...)
	r.writer = birth.Writer{Device: r.note.device, Seq: r.note.seq, Lamport: r.note.lamport}
	r.lose(report.Journal.WholeFrom)
	live := r.archive.Live()
	size := report.Journal.Frames
	for _, it := range live {
		size += len(it.Entries)
	}
	list := make([]birth.Record, 0, size)
	for _, it := range live {
		if len(it.Entries) == 0 { // written for a birth of which nothing could be read
			r.miss([]string{it.Key})
		}
		r.takeItem(it, &list)
	}
	r.miss(report.Archive.Doubtful)
	err = r.journal.Each(func(seq uint64, payload []byte) error {
		e, ok := r.decode(seq, payload)
		if !ok || !r.saw(seq, &e) {
			return nil
		}
		if id := e.Event.Birth; r.kept[id] == nil && committed.mayHave(id) {
			if err := r.fetch(id, &list); err != nil {
				return err
			}
		}
		r.keep(seq, &e)
		list = append(list, e)
		return nil
	})
	if err != nil {
		return err
	}
	state := birth.Replay(list)
	for i := range state.Births {
		k := r.kept[state.Births[i].ID]
		k.state.Births = state.Births[i : i+1 : i+1]
		r.judge(k.birth(), k)
		r.order = append(r.order, k)
	}
	for _, id := range state.Deleted {
		r.kept[id].state.Deleted = []string{id}
	}
	return nil
}

// birth is the birth that is kept; nil for one that was deleted.
func (k *kept) birth() *birth.Birth {
	if len(k.state.Births) == 0 {
		return nil
	}
	return &k.state.Births[0]
}

// saw keeps the writer's counts, and its device: that of the first event, until
// one says that the phone moved on to another. It reports whether the event is
// one of a birth.
func (r *Records) saw(seq uint64, e *birth.Record) bool {
	moved := e.Event.Kind == birth.KindMoved
	if r.writer.Device == "" || moved {
		r.writer = birth.Writer{Device: e.Event.Device, Lamport: r.writer.Lamport}
	}
	if e.Event.Device == r.writer.Device {
		r.own(e.Event.Device)
	}
	r.writer.Saw(*e)
	if moved {
		r.aside = append(r.aside, archive.Entry{Seq: seq, Payload: e.Raw})
	}
	return !moved
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
func (r *Records) decode(seq uint64, payload []byte) (birth.Record, bool) {
	e, err := birth.Decode(payload)
	switch {
	case err == nil:
		return e, true
	case bytes.HasPrefix(payload, Mark):
		r.aside = append(r.aside, archive.Entry{Seq: seq, Payload: payload})
		r.marked = true
	default:
		r.strays = append(r.strays, archive.Entry{Seq: seq, Payload: payload})
		r.lose(seq + 1)
	}
	return e, false
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

// takeItem takes what an item holds into memory.
func (r *Records) takeItem(it archive.Item, list *[]birth.Record) {
	for _, stored := range it.Entries {
		e, ok := r.decode(stored.Seq, stored.Payload)
		switch {
		case !ok:
		case e.Event.Kind == birth.KindMoved:
			r.aside = append(r.aside, archive.Entry{Seq: stored.Seq, Payload: e.Raw})
		default:
			r.keep(stored.Seq, &e)
			*list = append(*list, e)
		}
	}
	if k := r.kept[idOf(it.Key)]; k != nil {
		k.lost, k.moved = max(k.lost, it.Mark>>1), k.moved || it.Mark&1 > 0
	}
}

// fetch takes what the archive has of a birth into memory.
func (r *Records) fetch(id string, list *[]birth.Record) error {
	it, err := r.archive.Find(key(id))
	if errors.Is(err, archive.ErrNone) {
		return nil
	}
	if err != nil && !errors.Is(err, archive.ErrDamaged) {
		return err
	}
	k := r.keptOf(id)
	if err != nil {
		k.lost, k.moved = max(k.lost, r.archive.Start().Sequence), true
	}
	r.takeItem(it, list)
	return nil
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
func (r *Records) keep(seq uint64, e *birth.Record) {
	k := r.keptOf(e.Event.Birth)
	k.entries = append(k.entries, archive.Entry{Seq: seq, Payload: e.Raw})
	if r.vouches(&e.Event) {
		k.vouched = max(k.vouched, seq)
	}
}

// vouches: nothing of a birth that was written before this event is lost. Whoever
// looked through a record on another phone looked at that phone's copy.
func (r *Records) vouches(e *birth.Event) bool {
	return (e.Kind == birth.KindLookedThrough || e.Kind == birth.KindOpened) && slices.Contains(r.note.own, e.Device)
}

// judge marks a birth of which lines may be lost, or of which one is there
// twice and nobody has looked since.
func (r *Records) judge(b *birth.Birth, k *kept) {
	for i := 0; b.Twice > 0 && i < len(k.entries); i++ {
		if e, err := birth.Decode(k.entries[i].Payload); err == nil && b.IsTwice(e) {
			k.lost = max(k.lost, k.entries[i].Seq+1)
		}
	}
	b.Damaged = b.Doubted || doubtful(k.vouched, max(k.lost, r.note.wholeFrom))
}

func doubtful(vouched, wholeFrom uint64) bool { return vouched < wholeFrom }

// Live are the births that are open or recent, in the order in which they were
// opened; behind them those of which nothing can be read any more.
func (r *Records) Live() []birth.Birth {
	list := make([]birth.Birth, 0, len(r.order)+len(r.gone))
	for _, k := range r.order {
		list = append(list, *k.birth())
	}
	for _, id := range r.gone {
		list = append(list, nothingOf(id))
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
	k := r.kept[id]
	switch {
	case k != nil && k.birth() != nil:
		return *k.birth(), nil
	case slices.Contains(r.gone, id):
		return nothingOf(id), nil
	case k != nil || birth.Number(id) == "" || !r.note.mayHave(id):
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
	var list []birth.Record
	if aside.takeItem(it, &list); len(list) == 0 {
		return nothingOf(id), nil
	}
	births := birth.Replay(list).Births
	if len(births) == 0 { // deleted
		return birth.Birth{}, fmt.Errorf("%w: %s", ErrUnknown, id)
	}
	b := births[0]
	r.judge(&b, aside.kept[id])
	b.Damaged = b.Damaged || err != nil || len(aside.strays) > 0
	return b, nil
}

// Writer stamps this device's events. Its Device is empty while nothing was
// ever written here: set it.
func (r *Records) Writer() *birth.Writer { return &r.writer }

// NextBirth is the id for the next birth opened on a device.
func (r *Records) NextBirth(device string) string {
	return birth.BirthID(device, r.note.highestOf(device)+1)
}

// Marked reports whether a [Mark] was ever in the journal.
func (r *Records) Marked() bool { return r.marked }

// Archived is the number of births that moved to the archive.
func (r *Records) Archived() uint64 { return r.note.archived }

// Append writes an event, and returns when it is on the disk and in its birth.
// After an error the records must be opened again; whether the event is on the
// disk is then to be seen.
func (r *Records) Append(e birth.Record) error {
	if r.broken != nil {
		return fmt.Errorf("%w: %w", journal.ErrBroken, r.broken)
	}
	seq := r.journal.Next()
	if err := r.journal.Append(e.Raw); err != nil {
		if !errors.Is(err, journal.ErrPayload) {
			r.broken = err
		}
		return err
	}
	if err := r.enter(seq, &e); err != nil {
		r.broken = err
		return err
	}
	return nil
}

// enter shows an event that is on the disk. The first one for a birth of the
// archive takes that birth into memory.
func (r *Records) enter(seq uint64, e *birth.Record) error {
	if !r.saw(seq, e) {
		return nil
	}
	id, list := e.Event.Birth, []birth.Record{*e}
	if r.kept[id] == nil && r.note.mayHave(id) {
		if err := r.fetch(id, &list); err != nil {
			return err
		}
	}
	r.shown = birth.Birth{}
	r.keep(seq, e)
	k := r.kept[id]
	was := k.birth()
	k.state.Add(list...)
	if is := k.birth(); is == nil {
		r.order = slices.DeleteFunc(r.order, func(o *kept) bool { return o == k })
	} else {
		r.judge(is, k)
		if was == nil {
			r.order = append(r.order, k)
		}
		arrange.By(r.order, func(a, b *kept) int { return birth.ByOpening(a.birth(), b.birth()) })
	}
	return nil
}

// Close closes the journal. Nothing is pending: every append was flushed.
func (r *Records) Close() error {
	r.broken = cmp.Or(r.broken, errors.New("they were closed"))
	return r.journal.Close()
}
