package shelltest

import (
	"testing"

	"fourchette/wasm/browser"
)

// Records that the browser threw away are missed at the next start, and said so
// until somebody has read it.
func TestEvicted(t *testing.T) {
	s := browser.Serve(t, first)
	a := open(t)
	a.Load(s, "/")
	a.newBirth()
	path := a.newBirth()
	a.Expect("sessionStorage") // there is none on an empty page
	a.Evict()
	a.Load(s, path)
	a.Reads("Records are missing", "2 records were kept here on", "None of them is here now")
	a.turn("/emergency")
	a.At("/emergency")
	a.Reload()
	a.turn("/")
	a.Reads("Records are missing")
	a.TapWords("I have read this")
	a.Reads("0 births in progress")
	a.Reload()
	a.Reads("0 births in progress")
	a.newBirth()
	a.Reload()
	a.Until(isRecord)
}

// asked counts how often the page has asked the browser to keep what it writes.
const asked = `window.asked = 0;
	const persist_ = StorageManager.prototype.persist;
	StorageManager.prototype.persist = function () { window.asked++; return persist_.call(this); };`

// The browser is asked once there is a record, and once only; what it answers
// stands in the settings.
func TestLastingStorage(t *testing.T) {
	for _, may := range []bool{true, false} {
		s := browser.Serve(t, first)
		a := open(t)
		a.Inject(asked)
		a.Load(s, "/settings")
		a.MayKeep(false)
		a.Tap(`button[name="theme"][value="dark"]`)
		a.Until(`document.documentElement.dataset.theme === 'dark'`)
		if n := browser.Ask[int](a.Tab, "window.asked"); n != 0 {
			t.Errorf("asked %d times before there was a record", n)
		}
		a.Reload()
		a.Reads("asked to keep them when the first record is written")
		a.MayKeep(may)
		a.newBirth()
		a.newBirth()
		if n := browser.Ask[int](a.Tab, "window.asked"); n != 1 {
			t.Errorf("asked %d times, wanted once", n)
		}
		a.turn("/")
		a.At("/")
		if may {
			a.ReadsNot("may throw the records away")
			a.turn("/settings")
			a.Reads("The browser has promised not to throw them away", "there is room for")
			continue
		}
		a.Reads("may throw the records away")
		a.TapWords("What can be done")
		a.At("/settings")
		a.Reads("may throw the records away", "In a private window", "home screen")
	}
}

// When the browser gives little room it is said before nothing can be written.
func TestShortOfRoom(t *testing.T) {
	s := browser.Serve(t, first)
	a := open(t)
	a.Load(s, "/")
	a.MayKeep(true)
	a.newBirth()
	for _, room := range []float64{12_000_000, 1} {
		a.Room(room)
		a.turn("/settings")
		a.At("/settings")
		a.Reads("Room is short")
		a.turn("/")
		a.At("/")
		a.Reads("Room is short")
	}
	a.Room(0)
	a.turn("/settings")
	a.At("/settings")
	a.Reads("there is room for")
	a.ReadsNot("Room is short")
}

// A private window cannot be told from another: it is said that nothing was
// promised. What was written in it is gone with it.
func TestPrivateWindow(t *testing.T) {
	s := browser.Serve(t, first)
	t.Run("open", func(t *testing.T) {
		a := openIn(t, chromium.Private(t))
		a.Load(s, "/")
		path := a.newBirth()
		a.turn("/")
		a.Reads("may throw the records away")
		a.turn("/settings")
		a.Reads("In a private window they are gone when it is closed")
		a.has(path)
	})
	a := openIn(t, chromium.Private(t))
	a.Load(s, "/")
	a.Reads("0 births in progress")
}

// Where the browser refuses to keep anything it is said, and tools work.
func TestNothingMayBeKept(t *testing.T) {
	s := browser.Serve(t, first)
	s.Swap(changed(first, "worker.", "importScripts(", `StorageManager.prototype.getDirectory = () => Promise.reject(new DOMException('no', 'SecurityError'));
importScripts(`))
	a := open(t)
	a.Load(s, "/")
	a.Reads("This window keeps nothing", "Quick tools")
	a.ReadsNot("Open them here")
	a.turn("/new")
	a.Reads("No records here")
	a.turn("/emergency")
	a.At("/emergency")
}
