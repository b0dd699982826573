package msgpack

// A Shape is a map whose fields are known. It names them in the order in which
// they are written, and that one list is for writing and for reading. What is
// written has at most 15 of them.
type Shape interface{ Fields(*Fields) }

// Append writes a shape.
func Append(b []byte, s Shape) []byte {
	f := Fields{out: b}
	f.write(s)
	return f.out
}

// Read reads a shape, whose zero value s is, and gives what follows it. Fields
// may come in any order, none of them twice. Those that are not there stay as
// they are, and those that the shape does not name are passed over: whoever
// wants neither writes the shape again and compares.
func Read(b []byte, s Shape) (rest []byte, err error) {
	f := Fields{reading: true, in: b}
	return f.readShape(b, s)
}

// Fields writes or reads the fields that a shape names.
type Fields struct {
	out     []byte
	written int // fields of the map that is being written

	reading bool
	in      []byte
	left    []field // of the map that is being read: what was not asked for yet
	room    []field // where left lies, and that of the maps around it
	err     error   // the first
}

// A field is how long its name is, and how much of the bytes is left after it,
// its value first: numbers, which are quicker to keep than slices.
type field struct{ name, left int }

func (f *Fields) named(x field, name string) bool {
	return x.name == len(name) && string(f.in[len(f.in)-x.left-x.name:len(f.in)-x.left]) == name
}

// What bounds a map and a list before anything is made for them.
const (
	mostFields = 64
	mostValues = 20_000
)

func (f *Fields) write(s Shape) {
	around, begin := f.written, len(f.out)
	f.out, f.written = append(f.out, 0x80), 0
	s.Fields(f)
	f.out[begin] |= byte(f.written)
	f.written = around
}

func (f *Fields) readShape(b []byte, s Shape) (rest []byte, err error) {
	n, rest, err := ReadMap(b)
	if err == nil && n > mostFields {
		err = ErrShape
	}
	around, begin := f.left, len(f.room)
	for ; n > 0 && err == nil; n-- {
		rest, err = f.take(rest, begin)
	}
	if err != nil {
		return nil, err
	}
	f.left = f.room[begin:]
	s.Fields(f)
	f.left, f.room = around, f.room[:begin]
	return rest, f.err
}

// take takes in the next field of the map whose first one lies at begin.
func (f *Fields) take(b []byte, begin int) (rest []byte, err error) {
	name, value, err := ReadText(b)
	if err != nil {
		return nil, err
	}
	for _, other := range f.room[begin:] {
		if f.named(other, string(name)) {
			return nil, ErrShape
		}
	}
	f.room = append(f.room, field{len(name), len(value)})
	return Skip(value)
}

// find hands a field out, nil where it is not there. The first one left is mostly
// the one that is asked for.
func (f *Fields) find(name string) []byte {
	for i, x := range f.left {
		if f.named(x, name) {
			f.left[i] = f.left[0]
			f.left = f.left[1:]
			return f.in[len(f.in)-x.left:]
		}
	}
	return nil
}

// value is a field of any form. write appends it to f.out.
func (f *Fields) value(name string, write func(), read func(b []byte) error) {
	if !f.reading {
		f.out = AppendText(f.out, name)
		f.written++
		write()
	} else if b := f.find(name); b != nil && f.err == nil {
		f.err = read(b)
	}
}

// Text is a text.
func (f *Fields) Text(name string, s *string) {
	f.value(name, func() { f.out = AppendText(f.out, *s) }, func(b []byte) error {
		text, _, err := ReadText(b)
		*s = string(text)
		return err
	})
}

// TextIf is a text that is left out when it is empty.
func (f *Fields) TextIf(name string, s *string) {
	if f.reading || *s != "" {
		f.Text(name, s)
	}
}

// Texts is a list of texts.
func (f *Fields) Texts(name string, list *[]string) {
	f.value(name, func() { f.out = AppendTexts(f.out, *list) }, func(b []byte) (err error) {
		*list, _, err = ReadTexts(b)
		return err
	})
}

// Bool is yes or no.
func (f *Fields) Bool(name string, is *bool) {
	f.value(name, func() { f.out = AppendBool(f.out, *is) }, func(b []byte) (err error) {
		*is, _, err = ReadBool(b)
		return err
	})
}

// Int is a whole number.
func (f *Fields) Int(name string, n *int64) {
	f.value(name, func() { f.out = AppendInt(f.out, *n) }, func(b []byte) (err error) {
		*n, _, err = ReadInt(b)
		return err
	})
}

// IntIf is a whole number that is left out when it is 0.
func (f *Fields) IntIf(name string, n *int64) {
	if f.reading || *n != 0 {
		f.Int(name, n)
	}
}

// Whole is an Int in a field of the host's size.
func (f *Fields) Whole(name string, n *int) {
	long := int64(*n)
	f.Int(name, &long)
	if *n = int(long); int64(*n) != long && f.err == nil {
		f.err = ErrKind
	}
}

// Uint is a whole number that is never below 0.
func (f *Fields) Uint(name string, n *uint64) {
	f.value(name, func() { f.out = AppendUint(f.out, *n) }, func(b []byte) error {
		i, _, err := ReadInt(b)
		if err == nil && i < 0 {
			err = ErrKind
		}
		*n = uint64(i)
		return err
	})
}

// Byte is a Uint below 256.
func (f *Fields) Byte(name string, n *uint8) {
	long := uint64(*n)
	f.Uint(name, &long)
	if *n = uint8(long); uint64(*n) != long && f.err == nil {
		f.err = ErrKind
	}
}

// Shape is a map that is always there.
func (f *Fields) Shape(name string, s Shape) {
	f.value(name, func() { f.write(s) }, func(b []byte) error {
		_, err := f.readShape(b, s)
		return err
	})
}

// of is a T that is a shape by its pointer.
type of[T any] interface {
	*T
	Shape
}

// Optional is a map that is left out where there is none.
func Optional[T any, S of[T]](f *Fields, name string, s **T) {
	if !f.reading && *s != nil {
		f.Shape(name, S(*s))
	}
	if !f.reading {
		return
	}
	f.value(name, nil, func(b []byte) error {
		*s = new(T)
		_, err := f.readShape(b, S(*s))
		return err
	})
}

// Listed is a list of values of a form of their own.
func Listed[T any](f *Fields, name string, list *[]T, write func([]byte, *T) []byte, read func([]byte, *T) ([]byte, error)) {
	listed(f, name, list, func(one *T) { f.out = write(f.out, one) }, read)
}

// Shapes is a list of maps.
func Shapes[T any, S of[T]](f *Fields, name string, list *[]T) {
	listed(f, name, list, func(one *T) { f.write(S(one)) },
		func(b []byte, one *T) ([]byte, error) { return f.readShape(b, S(one)) })
}

// listed is a list of values of a form of their own. write appends one to f.out.
func listed[T any](f *Fields, name string, list *[]T, write func(*T), read func([]byte, *T) ([]byte, error)) {
	f.value(name, func() {
		f.out = AppendList(f.out, len(*list))
		for i := range *list {
			write(&(*list)[i])
		}
	}, func(b []byte) error {
		n, b, err := ReadList(b)
		if n > mostValues {
			err = ErrShape
		}
		if err == nil && n > 0 {
			*list = make([]T, n)
		}
		for i := 0; i < n && err == nil; i++ {
			b, err = read(b, &(*list)[i])
		}
		return err
	})
}
