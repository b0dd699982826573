package pages_test

import (
	"encoding/base64"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"fourchette/core/companion"
	"fourchette/core/journal"
	"fourchette/core/journal/journaltest"
	"fourchette/wasm/pages"
)

// built is the folder with this tree's tables and pack, made once by the
// packer that the program is built with.
var built string

func TestMain(m *testing.M) {
	dir, err := os.MkdirTemp("", "pages")
	if err != nil {
		panic(err)
	}
	for _, command := range []string{"build", "pseudo"} {
		c := exec.Command("go", "run", "../../i18n/packer", command, "-tables", "../../i18n/tables", "-guide", "../../i18n/guide", "-out", dir)
		if out, err := c.CombinedOutput(); err != nil {
			println(string(out))
			os.Exit(1)
		}
	}
	built = dir
	code := m.Run()
	os.RemoveAll(dir)
	os.Exit(code)
}

// noon is the wall clock of these tests.
var noon = time.Date(2026, 3, 14, 12, 0, 0, 0, time.UTC)

// unplugged is a disk whose files can all be out of reach for a while.
type unplugged struct {
	*journaltest.Disk
	out bool
}

func (u *unplugged) Open(name string) (journal.File, error) {
	if u.out {
		return nil, journaltest.ErrFault
	}
	return u.Disk.Open(name)
}

// A phone is the pages on a disk in memory, with clocks that stand still until
// it is later.
type phone struct {
	t           *testing.T
	app         *pages.App
	lang, theme string
	mark        string     // sent with every message
	disk        *unplugged // nil: records are not kept
	gone        *time.Duration
}

func newPhone(t *testing.T, withDisk bool) *phone {
	t.Helper()
	if !withDisk {
		return phoneOn(t, nil)
	}
	return phoneOn(t, &unplugged{Disk: journaltest.New()})
}

// phoneOn starts the program on a disk; nil: it keeps no records. Its host may
// be changed.
func phoneOn(t *testing.T, disk *unplugged, changes ...func(*pages.Host)) *phone {
	t.Helper()
	pack, err := os.ReadFile(filepath.Join(built, "builtin.pack"))
	if err != nil {
		t.Fatal(err)
	}
	gone := new(time.Duration)
	host := companion.Host{
		Interface: companion.Interface, Pack: pack,
		Wall:    func() time.Time { return noon.Add(*gone) },
		Running: func() time.Duration { return time.Minute + *gone },
		Random:  base64.NewDecoder(base64.StdEncoding, strings.NewReader(strings.Repeat("Rm91cmNoZXR0", 400))),
	}
	storage := "no_private_files"
	if disk != nil {
		host.Disk, storage = disk, ""
	}
	core, err := companion.Open(host)
	if err != nil {
		t.Fatal(err)
	}
	pagesHost := pages.Host{
		Core: core, Storage: storage, Version: "test",
		Languages: []pages.Language{{Tag: "en", Name: "English"}, {Tag: "fr", Name: "Français"}, {Tag: "en-XA", Name: "Long"}, {Tag: "ar-XB", Name: "Mirrored"}},
		Table:     func(tag string) ([]byte, error) { return os.ReadFile(filepath.Join(built, tag+".table")) },
		Notice:    func() string { return "licences" },
	}
	for _, change := range changes {
		change(&pagesHost)
	}
	app, err := pages.New(pagesHost)
	if err != nil {
		t.Fatal(err)
	}
	return &phone{t: t, app: app, disk: disk, gone: gone}
}

// later lets time pass.
func (p *phone) later(d time.Duration) { *p.gone += d }

func (p *phone) get(path string) pages.Screen { return p.send("get", path, "") }

func (p *phone) post(path, form string) pages.Screen { return p.send("post", path, form) }

var missing = regexp.MustCompile(`⟦[^⟧]*⟧|\{[a-z_]+\}`)

func (p *phone) send(method, path, form string) pages.Screen {
	p.t.Helper()
	s := p.app.Handle(pages.Message{Method: method, Path: path, Form: form, Lang: p.lang, Theme: p.theme, Mark: p.mark})
	if hole := missing.FindString(s.HTML() + s.Title); hole != "" {
		p.t.Errorf("%s %s: a text is missing or has a hole: %s", method, path, hole)
	}
	if strings.Contains(s.HTML(), "style=") || strings.Contains(s.HTML(), "<script") {
		p.t.Errorf("%s %s: inline style or script, which the page's policy blocks", method, path)
	}
	return s
}
