// Package markup builds HTML from functions, one an element and one an
// attribute, and escapes whatever is text or an attribute's value. Start with
// El, Text and String.
//
// It is our own because it is carried from phone to phone: the library of this
// shape brings html/template, regexp and encoding/json into the program, 85 kB
// in brotli, a fifteenth of the download, for one escaping function, and
// compiles their expressions at each start.
package markup

import (
	"html"
	"strings"
)

// A Node is an element, a text, an attribute or a group of them. A nil Node is
// nothing.
type Node interface {
	// attribute writes what belongs into the opening tag, content the rest.
	attribute(*strings.Builder)
	content(*strings.Builder)
}

// String renders a node.
func String(n Node) string {
	var b strings.Builder
	if n != nil {
		n.content(&b)
	}
	return b.String()
}

type element struct {
	name     string
	children []Node
}

// El is an element with its attributes and content, in any order.
func El(name string, children ...Node) Node { return &element{name, All(children...)} }

func (e *element) attribute(*strings.Builder) {}

func (e *element) content(b *strings.Builder) {
	b.WriteByte('<')
	b.WriteString(e.name)
	Group(e.children).attribute(b)
	b.WriteByte('>')
	if e.name == "input" { // the only element here that has no end
		return
	}
	Group(e.children).content(b)
	b.WriteString("</")
	b.WriteString(e.name)
	b.WriteByte('>')
}

// Group is nodes in a row, without an element around them.
type Group []Node

// All is these nodes in a row. It copies them: what a caller lays out for a call
// need not outlive it, and is compiled to less.
func All(nodes ...Node) Group { return append(Group(nil), nodes...) }

// Add adds nodes at the end.
func (g *Group) Add(nodes ...Node) { *g = append(*g, nodes...) }

func (g Group) attribute(b *strings.Builder) {
	for _, n := range g {
		if n != nil {
			n.attribute(b)
		}
	}
}

func (g Group) content(b *strings.Builder) {
	for _, n := range g {
		if n != nil {
			n.content(b)
		}
	}
}

type text string

// Text is text, escaped.
func Text(s string) Node { return text(s) }

func (text) attribute(*strings.Builder) {}

func (t text) content(b *strings.Builder) { b.WriteString(html.EscapeString(string(t))) }

type raw string

// Raw is markup as it is. Only drawings may use it; a test holds that.
func Raw(s string) Node { return raw(s) }

func (raw) attribute(*strings.Builder) {}

func (r raw) content(b *strings.Builder) { b.WriteString(string(r)) }

type attr struct {
	name, value string
	bare        bool
}

// Attr is an attribute, its value escaped; without a value it stands alone.
func Attr(name string, value ...string) Node {
	if len(value) == 0 {
		return &attr{name: name, bare: true}
	}
	return &attr{name: name, value: value[0]}
}

func (a *attr) attribute(b *strings.Builder) {
	b.WriteByte(' ')
	b.WriteString(a.name)
	if a.bare {
		return
	}
	b.WriteString(`="`)
	b.WriteString(html.EscapeString(a.value))
	b.WriteByte('"')
}

func (*attr) content(*strings.Builder) {}

// If is the node when the condition holds, else nothing. The node is made in
// either case.
func If(condition bool, n Node) Node {
	if condition {
		return n
	}
	return nil
}

// Map makes a node of each.
func Map[T any](list []T, make func(T) Node) Group {
	nodes := Group{}
	for _, x := range list {
		nodes = append(nodes, make(x))
	}
	return nodes
}
