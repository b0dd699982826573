// Package pages turns the core's answers into the HTML of every screen, the
// same on every host: host → pages → companion.
//
// Start with New and Handle. A message is a tap or a form: a path and the
// form's values; the answer is the screen that replaces the one shown. A path
// lives in the page's address after the #, so back and reload lead to the same
// screen. Pages never decide: what a grade, a limit or an alarm is, the
// companion says, and words come from the tables by key.
//
// To add a screen: a file here, a line in route, its keys in
// i18n/tables/en.po, its golden page in testdata/pages.
package pages

import (
	"strings"
	"time"

	"fourchette/core/companion"
	"fourchette/i18n/tables"
	"fourchette/wasm/pages/urlform"
)

// A Host is what the pages need from where they run.
type Host struct {
	Core      *companion.Companion
	Storage   string     // "" when records are kept, else why not: a key under storage.*
	Version   string     // of the whole program, for the about page
	Languages []Language // offered, in this order; the first is the source
	// Table gives a compiled language table. It must not wait: the host loads
	// a language before it hands in a message that names it.
	Table func(tag string) ([]byte, error)
	// Derive makes a key of a PIN and a recipe, hexadecimal as companion.Derive
	// does, where it does not keep the program from answering. Nil: here.
	Derive func(pin, recipe string) (key string, err error)
	// Notice is the text of the third-party licences; nil where it has none.
	Notice func() string
	// Ask asks the page of the app that has the records for them. It does not
	// wait: Records follows. Nil where there is no other page.
	Ask func()
	// Now is the wall clock, Keeping what the browser said last of storage; nil
	// where nobody throws records away.
	Now     func() time.Time
	Keeping func() Keeping
	// Zone is how far the local hour is ahead of UTC, in minutes.
	Zone func() int
}

// A Language as its speakers write it.
type Language struct{ Tag, Name string }

// A Message is one tap or form.
type Message struct {
	Method string // "get" or "post"
	Path   string // "/b/k7qmz3wd-1/examine?x=y"
	Form   string // url-encoded, of a post
	At     string // the path of the screen that is shown
	Lang   string // "" is the source language
	Theme  string // "", "light", "dark"
	Mark   string // the Mark of the last screen that had one, also before this start; "" when there was none
}

// A Screen replaces the one shown. Path differs from the message's after a
// redirect. Lang and Theme are to be kept and sent with the next message.
type Screen struct {
	Path  string
	Title string
	Lang  string
	Dir   string
	Theme string
	Bar   string // HTML: the head, which is mostly the same from screen to screen
	Main  string // HTML: what differs
	Foot  string // HTML: the same on every screen
	Open  int    // births in progress: a new version waits while there are any
	// Lockable: a PIN is set and the records are open. After a while without a
	// touch /lock/idle is to be posted.
	Lockable bool
	Must     bool   // what was posted was refused, or too much: to be shown wherever she has gone since
	Mark     string // to be kept where it outlives the records, and sent with every message; "" leaves the one before
	Holds    bool   // there are records of births
}

// HTML is the whole screen.
func (s Screen) HTML() string { return s.Bar + s.Main + s.Foot }

// An App renders screens. It belongs to one goroutine, as its companion does.
type App struct {
	host     Host
	books    map[string]*tables.Book
	guides   map[string][]companion.PageItem // pages of the pack that were asked for
	last     string                          // the birth of the last tap; "" after a start: nobody knows
	restored *companion.ImportReply          // what became of the file taken in last; nil: none was
	byCode   bool                            // the records were opened with the printed code: the PIN is forgotten
	proved   bool                            // the PIN was given just now, for a printed code

	looked  bool  // these records were compared with the mark of the last time
	missing *mark // what was there then, until somebody says that it was read
}

// New reads the source language, which every other falls back to.
func New(host Host) (*App, error) {
	a := &App{host: host, books: map[string]*tables.Book{}, guides: map[string][]companion.PageItem{}}
	source, err := a.table(host.Languages[0].Tag)
	if err != nil {
		return nil, err
	}
	a.books[host.Languages[0].Tag] = tables.NewBook(source, source)
	return a, nil
}

func (a *App) table(tag string) (*tables.Table, error) {
	b, err := a.host.Table(tag)
	if err != nil {
		return nil, err
	}
	return tables.Load(b)
}

// book is the words of a language; one that is not offered or cannot be read
// gives the source language.
func (a *App) book(tag string) *tables.Book {
	if b := a.books[tag]; b != nil {
		return b
	}
	source := a.books[a.host.Languages[0].Tag]
	for _, l := range a.host.Languages {
		if l.Tag != tag {
			continue
		}
		chosen, err := a.table(tag)
		if err != nil {
			return source
		}
		a.books[tag] = tables.NewBook(source.Table(), chosen)
		return a.books[tag]
	}
	return source
}

// Handle answers one message. It never panics: a fault of the program becomes
// a screen that says so and leads back.
func (a *App) Handle(m Message) (s Screen) {
	v := a.visit(m)
	defer func() {
		if p := recover(); p != nil {
			s = v.screen(crashed(v, p))
		}
	}()
	if !v.posted() && v.step(1) != "paper" || v.step(0) != "lock" && v.step(0) != "settings" { // she went elsewhere
		a.proved = false
	}
	for range 3 { // an answer may lead to a page that leads on, never in a circle
		v.missed(m.Mark)
		p := v.route()
		if p.to == "" {
			s := v.screen(p)
			s.Must = m.Method == "post" && (strings.Contains(s.Main, `role="alert"`) || strings.Contains(s.Main, `aria-invalid="true"`))
			return s
		}
		v.go_(p.to)
	}
	return v.screen(notFound(v))
}

// visit is one message being answered.
type visit struct {
	app    *App
	book   *tables.Book
	method string
	path   string   // with its query
	shown  string   // the path of the screen on which this was tapped
	steps  []string // the path's parts
	query  urlform.Values
	form   urlform.Values
	lang   string
	theme  string
	closed bool                  // the record of this path is closed: nothing can be written in it
	birth  *companion.BirthReply // the record that was read last; nil when it may have changed
}

func (a *App) visit(m Message) *visit {
	v := &visit{app: a, method: m.Method, shown: m.At, lang: m.Lang, theme: m.Theme}
	v.book = a.book(m.Lang)
	v.form = urlform.Parse(m.Form) // what cannot be read is absent, and asked for again
	v.at(m.Path)
	return v
}

// go_ follows a redirect: what was posted is done.
func (v *visit) go_(path string) {
	v.method, v.form = "get", nil
	v.book = v.app.book(v.lang)
	v.at(path)
}

func (v *visit) at(path string) {
	v.path = path
	bare, query, _ := strings.Cut(path, "?")
	v.query = urlform.Parse(query)
	v.steps = nil
	for part := range strings.SplitSeq(bare, "/") {
		if part != "" {
			v.steps = append(v.steps, part)
		}
	}
}

// step is the i-th part of the path, "" when there is none.
func (v *visit) step(i int) string {
	if i < len(v.steps) {
		return v.steps[i]
	}
	return ""
}

func (v *visit) posted() bool { return v.method == "post" }
