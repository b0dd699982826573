// Command stores does the work of the records in three ways: as this program
// does it, sealed, and with two databases, unsealed. The command bench starts
// it once for each figure, so that none finds what another left in memory. It
// is a module of its own, so that nobody needs the databases but for this.
//
// Start with main; a way to keep records is a store. All get the same invented
// events and work out the same births from them, by the same fold.
//
//	stores -dir D -store NAME -births N -do make     fills D, without flushing each event
//	stores -dir D -store NAME -births N -do start    opens D and works today's births out
//	stores -dir D -store NAME -births N -do birth    opens births of all years, one by one
//	stores -dir D -store NAME -births N -do append   appends events, each flushed
//
// It prints one line of tab-separated names and numbers.
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"syscall"
	"time"

	"fourchette/core/birth"
)

// A store keeps records. A host's clocks and screens are not its affair.
type store interface {
	// append writes an event and returns when it is flushed.
	append(birth.Record) error
	// today gives the births that are open or recent.
	today() ([]birth.Birth, error)
	// one gives any birth.
	one(id string) (birth.Birth, error)
	close() error
}

// A way opens a store, or fills an empty one.
type way struct {
	// ready does what a person does before: the key is there. What it returns opens.
	ready func(dir string) (func() (store, error), error)
	// fill opens a store that does not flush each event.
	fill func(dir string) (filler, error)
}

// A filler takes one birth after another.
type filler interface {
	add(b []birth.Record, closed bool) error
	done() error
}

var ways = map[string]way{
	"ours":   {readyOurs, fillOurs},
	"sqlite": {readySQLite, fillSQLite},
	"bbolt":  {readyBolt, fillBolt},
}

func main() {
	dir := flag.String("dir", "", "folder of the store")
	name := flag.String("store", "", "ours, sqlite or bbolt")
	births := flag.Int("births", 0, "how many there are")
	do := flag.String("do", "", "make, start, birth or append")
	flag.Parse()
	w, known := ways[*name]
	run, can := map[string]func(way, string, int) error{"make": makeAll, "start": start, "birth": single, "append": appends}[*do]
	if !known || !can || *births < recent {
		flag.Usage()
		os.Exit(2)
	}
	if err := run(w, *dir, *births); err != nil {
		fmt.Fprintln(os.Stderr, "stores:", err)
		os.Exit(1)
	}
}

func (w way) open(dir string) (store, error) {
	open, err := w.ready(dir)
	if err != nil {
		return nil, err
	}
	return open()
}

func makeAll(w way, dir string, births int) error {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return err
	}
	f, err := w.fill(dir)
	if err != nil {
		return err
	}
	c := newClinic()
	for n := 1; n <= births; n++ {
		closed := n <= births-stillOpen
		if err := f.add(c.birth(n, closed), closed); err != nil {
			return err
		}
	}
	if err := f.done(); err != nil {
		return err
	}
	size, err := bytesIn(dir)
	fmt.Printf("bytes\t%d\tevents\t%d\tpayload\t%d\n", size, c.w.Seq, c.bytes)
	return err
}

// start opens the store and works today's births out, as the first screen needs
// them, and tells by how much the program grew for it.
func start(w way, dir string, births int) error {
	open, err := w.ready(dir)
	if err != nil {
		return err
	}
	syscall.Sync() // what unlocking wrote is not to be flushed by what opens
	before, err := resident()
	if err != nil {
		return err
	}
	began := time.Now()
	s, err := open()
	if err != nil {
		return err
	}
	list, err := s.today()
	took := time.Since(began)
	if err != nil {
		return err
	}
	after, err := resident()
	if err != nil {
		return err
	}
	events := 0
	for _, b := range list {
		events += len(b.Log)
	}
	if len(list) != recent {
		return fmt.Errorf("%d births today, not %d", len(list), recent)
	}
	fmt.Printf("ns\t%d\tgrown\t%d\tbirths\t%d\tevents\t%d\n", took.Nanoseconds(), max(after-before, 0), len(list), events)
	return s.close()
}

// single opens births that were closed long ago, each once.
func single(w way, dir string, births int) error {
	s, err := w.open(dir)
	if err != nil {
		return err
	}
	const tries = 201
	var took []time.Duration
	events := 0
	for i := range tries {
		n := 1 + (i*7919*13)%(births-recent) // far from the one before
		began := time.Now()
		b, err := s.one(birth.BirthID(device, uint64(n)))
		took = append(took, time.Since(began))
		if err != nil {
			return err
		}
		events += len(b.Log)
	}
	fmt.Printf("ns\t%d\tevents\t%d\n", median(took).Nanoseconds(), events)
	return s.close()
}

// appends writes events of the open births, in turn with bare writes of as many
// bytes, each flushed.
func appends(w way, dir string, births int) error {
	s, err := w.open(dir)
	if err != nil {
		return err
	}
	bare, err := os.OpenFile(filepath.Join(dir, "..", "bare-"+filepath.Base(dir)), os.O_CREATE|os.O_RDWR|os.O_TRUNC, 0o600)
	if err != nil {
		return err
	}
	c := newClinic()
	c.w.Seq = uint64(time.Now().UnixMilli()) << 8 // another one at each turn
	c.w.Lamport = c.w.Seq
	const tries, rehearsals = 150, 20
	var took, least []time.Duration
	at := int64(0)
	write := func(b []byte) error {
		if _, err := bare.WriteAt(b, at); err != nil {
			return err
		}
		at += int64(len(b))
		return bare.Sync()
	}
	for i := range rehearsals + tries {
		e := c.event(births-i%stillOpen, birth.KindFinding, func(e *birth.Event) { e.Finding = &birth.Finding{Name: "perineal_skin", Value: "torn"} })
		b := make([]byte, len(e.Raw)+frameAndSeal)
		for turn := range 2 { // who comes second may find the disk awake
			began := time.Now()
			if first := turn == i%2; first {
				if err := s.append(e); err != nil {
					return err
				}
				took = append(took, time.Since(began))
				continue
			}
			if err := write(b); err != nil {
				return err
			}
			least = append(least, time.Since(began))
		}
	}
	took, least = took[rehearsals:], least[rehearsals:]
	fmt.Printf("ns\t%d\tbare\t%d\n", median(took).Nanoseconds(), median(least).Nanoseconds())
	return s.close()
}

func median(list []time.Duration) time.Duration {
	slices.Sort(list)
	return list[len(list)/2]
}
