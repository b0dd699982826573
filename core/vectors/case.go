package main

import (
	"errors"
	"fmt"
	"os"
	"regexp"
	"strings"
)

// A testCase is one entry of a vector file.
type testCase struct {
	File    string
	Name    string
	Topic   string
	Request []byte // given, as msgpack
	Want    object
	Source  string
}

// A fault is a vector file, or a case in it, that is not as it must be. Each
// counts as a failure: a case nobody can run proves nothing.
type fault struct {
	where string // the file, and the case's name or number
	what  string
}

func (f fault) String() string { return f.where + ": " + f.what }

// load reads the files' cases, and what is wrong with them. Names are unique
// over all the files.
func load(files []string) (cases []testCase, faults []fault) {
	firstIn := map[string]string{}
	for _, file := range files {
		entries, err := readFile(file)
		if err != nil {
			faults = append(faults, fault{file, err.Error()})
		}
		for i, e := range entries {
			c, err := newCase(file, e)
			where := fmt.Sprintf("%s: case %d", file, i+1)
			if c.Name != "" {
				where += " (" + c.Name + ")"
			}
			if first, again := firstIn[c.Name]; again && err == nil {
				err = fmt.Errorf("the name is already taken in %s", first)
			}
			if err != nil {
				faults = append(faults, fault{where, err.Error()})
				continue
			}
			firstIn[c.Name] = file
			cases = append(cases, c)
		}
	}
	return cases, faults
}

func readFile(file string) (list, error) {
	text, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	v, err := parseJSON(text)
	if err != nil {
		return nil, err
	}
	entries, ok := v.(list)
	if !ok {
		return nil, errors.New("a vector file is a list of cases")
	}
	if len(entries) == 0 {
		return nil, errors.New("the file holds no case")
	}
	return entries, nil
}

// newCase reads an entry. The case it returns beside an error holds the name
// if there was one.
func newCase(file string, entry value) (testCase, error) {
	o, ok := entry.(object)
	if !ok {
		return testCase{}, errors.New("a case is an object")
	}
	c := testCase{File: file}
	c.Name, _ = text(o, "name")
	if key := o.twice(); key != "" {
		return c, fmt.Errorf("the key %q stands twice", key)
	}
	for _, m := range o {
		switch m.Key {
		case "name", "topic", "given", "want", "source":
		default:
			return c, fmt.Errorf("unknown key %q", m.Key)
		}
	}
	return c, c.fill(o)
}

func (c *testCase) fill(o object) (err error) {
	if c.Name == "" || strings.ContainsAny(c.Name, "\t\n\r") {
		return errors.New("name must be a text without tabs, on one line")
	}
	if c.Topic, err = text(o, "topic"); err != nil {
		return err
	}
	if c.Topic == "" || strings.ContainsAny(c.Topic, " \t\n\r") {
		return errors.New("topic must be one word")
	}
	if c.Source, err = text(o, "source"); err != nil {
		return err
	}
	if err := checkSource(c.Source); err != nil {
		return err
	}
	given, err := part(o, "given")
	if err != nil {
		return err
	}
	if c.Request, err = appendMsgpack(nil, given); err != nil {
		return fmt.Errorf("given: %w", err)
	}
	if c.Want, err = part(o, "want"); err != nil {
		return err
	}
	return checkWant(c.Want, "want")
}

func text(o object, key string) (string, error) {
	v, _ := o.get(key)
	s, ok := v.(string)
	if !ok {
		return "", fmt.Errorf("%s must be there and be a text", key)
	}
	return s, nil
}

func part(o object, key string) (object, error) {
	v, _ := o.get(key)
	p, ok := v.(object)
	if !ok {
		return nil, fmt.Errorf("%s must be there and be an object", key)
	}
	return p, nil
}

// checkWant refuses a wish that no reply could disappoint.
func checkWant(v value, at string) error {
	switch v := v.(type) {
	case object:
		if len(v) == 0 {
			return fmt.Errorf("%s names no key, so nothing could fail", at)
		}
		if key := v.twice(); key != "" {
			return fmt.Errorf("%s: the key %q stands twice", at, key)
		}
		for _, m := range v {
			if err := checkWant(m.Value, at+"."+m.Key); err != nil {
				return err
			}
		}
	case list:
		for i := range v {
			if err := checkWant(v[i], fmt.Sprintf("%s.%d", at, i)); err != nil {
				return err
			}
		}
	case number:
		if !v.whole() {
			return fmt.Errorf("%s: %s is not a whole number, and replies hold no others: amounts are decimal strings", at, v)
		}
	}
	return nil
}

// The forms of a source. A section may hold commas; the year ends it.
const (
	noSource   = "common practice, no source"
	fromMemory = "from memory: "
)

var published = regexp.MustCompile(`^[^,]+, .*[^, ].*, (1[89]|20)\d\d$`)

func checkSource(s string) error {
	if s == noSource || published.MatchString(s) {
		return nil
	}
	if document, ok := strings.CutPrefix(s, fromMemory); ok && strings.TrimSpace(document) != "" {
		return nil
	}
	return fmt.Errorf("source %q is not %q, %q or %q", s, "document, section, year", noSource, fromMemory+"document")
}
