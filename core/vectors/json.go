package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// A value of JSON or of msgpack is nil, bool, string, number, list or object;
// of msgpack also bin.
type (
	value  any
	list   []value
	object []member // in the order of the file, a key as often as it stands there
	number string   // as it was written; a whole number in its shortest form
	bin    []byte
)

type member struct {
	Key   string
	Value value
}

// get finds the first member of that name.
func (o object) get(key string) (value, bool) {
	for _, m := range o {
		if m.Key == key {
			return m.Value, true
		}
	}
	return nil, false
}

// twice names the first key that stands more than once; "" when none does.
func (o object) twice() string {
	seen := map[string]bool{}
	for _, m := range o {
		if seen[m.Key] {
			return m.Key
		}
		seen[m.Key] = true
	}
	return ""
}

// parseJSON reads one JSON value and keeps the order of its keys, which a
// reply or a request may depend on.
func parseJSON(text []byte) (value, error) {
	if !utf8.Valid(text) {
		return nil, errors.New("the text is not UTF-8")
	}
	d := json.NewDecoder(bytes.NewReader(text))
	d.UseNumber()
	v, err := parseValue(d, deepest)
	if err != nil {
		return nil, fmt.Errorf("at byte %d: %w", d.InputOffset(), err)
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return nil, fmt.Errorf("at byte %d: more text after the end", d.InputOffset())
	}
	return v, nil
}

// deepest is how deep values may nest; no topic comes near it.
const deepest = 32

var errDeep = errors.New("nested too deep")

// next is the next token of a value that is not over yet.
func next(d *json.Decoder) (json.Token, error) {
	t, err := d.Token()
	if errors.Is(err, io.EOF) {
		err = io.ErrUnexpectedEOF
	}
	return t, err
}

// parseValue reads a value that may hold others, levels deep.
func parseValue(d *json.Decoder, levels int) (value, error) {
	if levels == 0 {
		return nil, errDeep
	}
	t, err := next(d)
	if err != nil {
		return nil, err
	}
	switch t := t.(type) {
	case json.Delim:
		if t == '[' {
			return parseList(d, levels-1)
		}
		return parseObject(d, levels-1)
	case json.Number:
		return number(t), nil
	}
	return t, nil
}

func parseList(d *json.Decoder, levels int) (value, error) {
	l := list{}
	for d.More() {
		v, err := parseValue(d, levels)
		if err != nil {
			return nil, err
		}
		l = append(l, v)
	}
	_, err := next(d)
	return l, err
}

func parseObject(d *json.Decoder, levels int) (value, error) {
	o := object{}
	for d.More() {
		key, err := next(d)
		if err != nil {
			return nil, err
		}
		v, err := parseValue(d, levels)
		if err != nil {
			return nil, err
		}
		o = append(o, member{key.(string), v}) // the decoder lets nothing else stand here
	}
	_, err := next(d)
	return o, err
}

// show writes a value as JSON, for a person to read.
func show(v value) string {
	switch v := v.(type) {
	case nil:
		return "null"
	case bool:
		return fmt.Sprint(v)
	case number:
		return string(v)
	case bin:
		return fmt.Sprintf("bytes %x", []byte(v))
	case list:
		parts := make([]string, len(v))
		for i := range v {
			parts[i] = show(v[i])
		}
		return "[" + strings.Join(parts, ", ") + "]"
	case object:
		parts := make([]string, len(v))
		for i := range v {
			parts[i] = show(v[i].Key) + ": " + show(v[i].Value)
		}
		return "{" + strings.Join(parts, ", ") + "}"
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return err.Error()
	}
	return strings.TrimSpace(b.String())
}
