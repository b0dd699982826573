package journeys

import (
	"strings"
	"testing"
	"time"

	"fourchette/wasm/browser"
)

// files reads all private files as text, whatever holds them.
const files = `(async () => {
	const folder = await (await navigator.storage.getDirectory()).getDirectoryHandle('fourchette');
	let all = '';
	for await (const [name, handle] of folder.entries()) {
		let text = '';
		try { text = await (await handle.getFile()).text(); } catch (e) { text = e.name; }
		all += '\n' + name + ': ' + text;
	}
	return all;
})()`

// opens types a PIN into the lock.
func (w *way) opens(pin string) {
	w.Helper()
	w.Type("#f-pin", pin)
	w.send("Open the records")
}

// sealed sets the PIN, and keeps the printed code.
func (w *way) sealed(pin string) {
	w.Helper()
	w.Turn("/settings")
	w.TapWords("Set a PIN")
	w.At("/lock/pin")
	w.Type("#f-pin", pin)
	w.Type("#f-again", pin)
	w.TapWords("Seal with this PIN")
	w.At("/lock/paper")
	last := browser.Ask[string](w.Tab, `document.querySelector('.groups li:last-child').innerText`)
	w.Type("#f-code", last)
	w.TapWords("The paper is kept")
	w.At("/settings")
	w.Reads("A PIN is set.")
}

// TestAPINSealsTheRecords without a connection. What is in the files cannot be
// read; after a reload the PIN is asked for, and rescue is not behind it.
func TestAPINSealsTheRecords(t *testing.T) {
	w := begin(t)
	w.server.Cut()
	b := w.newBirth("QX7")
	if all := browser.Ask[string](w.Tab, files); !strings.Contains(all, "QX7") {
		t.Fatalf("the test looks in the wrong place: %q", all)
	}
	w.sealed("739104")
	all := browser.Ask[string](w.Tab, files)
	if strings.Contains(all, "QX7") || !strings.Contains(all, "sealed-journal-") || !strings.Contains(all, "keys-") || strings.Contains(all, "\njournal-00000001") || !strings.Contains(all, "\njournal-99999999") {
		t.Errorf("after the PIN is set the files are %q", all)
	}
	w.Turn(b + "/handover")
	w.Reads("bed QX7")
	w.Reload()
	w.Reads("Records are locked")
	w.ReadsNot("QX7")
	w.Type("#f-pin", "7391")
	if typed := browser.Ask[string](w.Tab, `JSON.stringify(history.state)`); strings.Contains(typed, "7391") {
		t.Errorf("a PIN is kept: %s", typed)
	}
	w.Tap(".rescue")
	w.At("/emergency")
	w.Turn("/emergency/bleeding")
	w.Reads("Rub the uterus until it is hard.")
	w.Turn(b + "/handover")
	w.opens("739105")
	w.Reads("This PIN does not open the records")
	began := time.Now()
	w.opens("739104")
	t.Logf("the records opened %v after the tap", time.Since(began).Round(10*time.Millisecond))
	w.At(b + "/handover")
	w.record(b)
	w.Tap("details.log > summary")
	w.Reads("Record opened")
}

// TestRecordsLockByThemselves once nobody has touched the phone for five
// minutes, and not while a birth's timers run.
func TestRecordsLockByThemselves(t *testing.T) {
	w := begin(t)
	b := w.newBirth("4")
	w.sealed("739104")
	w.Turn("/")
	w.later()
	browser.Ask[string](w.Tab, `document.querySelector('h1').className = 'before'`)
	browser.Ask[bool](w.Tab, `new Promise((done) => setTimeout(() => done(true), 25000))`)
	w.Reads("1 birth in progress", "bed 4")
	w.Until(`document.querySelector('h1.before')`)
	w.Turn(b + "/close")
	w.TapWords("I know. Close it all the same")
	w.left(b + "/close")
	w.Turn("/")
	w.Reads("1 closed record")
	w.later()
	w.Until(`document.querySelector('#f-pin')`)
	w.Reads("Records are locked")
	w.ReadsNot("closed record")
}

// later lets six minutes pass untouched.
func (w *way) later() {
	w.Helper()
	browser.Ask[bool](w.Tab, `(() => { const now = Date.now.bind(Date), shift = 6 * 60 * 1000; Date.now = () => now() + shift; return true; })()`)
}

// unlocked is a phone with one closed record behind a PIN that was given.
func unlocked(t *testing.T) (w *way, birth string) {
	w = begin(t)
	b := w.newBirth("QX7")
	w.sealed("739104")
	w.Turn(b + "/close")
	w.TapWords("I know. Close it all the same")
	w.left(b + "/close")
	return w, b
}

const isLocked = `document.querySelector('#f-pin')`

// TestWhoWakesThePhoneFindsItLocked: the first touch does not begin the five
// minutes anew, nor does coming back to the page.
func TestWhoWakesThePhoneFindsItLocked(t *testing.T) {
	w, b := unlocked(t)
	for _, wake := range []func(){
		func() { w.Tap("h1") },
		func() { browser.Ask[bool](w.Tab, `document.dispatchEvent(new Event('visibilitychange'))`) },
	} {
		w.Turn(b + "/handover")
		w.Reads("bed QX7")
		w.later()
		wake()
		w.Until(isLocked)
		w.ReadsNot("QX7")
		w.opens("739104")
	}
}

// TestADraftKeepsNothingOpen, and it is there again once the records are.
func TestADraftKeepsNothingOpen(t *testing.T) {
	w, _ := unlocked(t)
	w.Turn("/find")
	w.Type("#f-text", "QX")
	w.later()
	browser.Ask[bool](w.Tab, `document.dispatchEvent(new Event('visibilitychange'))`)
	w.Until(isLocked + ` && location.hash === '#/'`) // the address follows the screen
	w.Back()
	w.At("/find")
	w.opens("739104")
	w.At("/find")
	w.Until(`document.querySelector('#f-text')?.value === 'QX'`)
}

// TestRescueStaysWhileTheRecordsLock behind it: nothing moves.
func TestRescueStaysWhileTheRecordsLock(t *testing.T) {
	w, b := unlocked(t)
	w.Turn("/emergency/bleeding")
	before := w.Text()
	w.later()
	browser.Ask[bool](w.Tab, `(window.was = document.activeElement, document.dispatchEvent(new Event('visibilitychange')))`)
	time.Sleep(time.Second)
	w.At("/emergency/bleeding")
	if after := w.Text(); after != before {
		t.Errorf("the screen of a rescue is another one:\n%s", after)
	}
	w.Turn(b + "/handover")
	w.Until(isLocked)
	w.ReadsNot("QX7")
}

// TestNeitherACodeNorANumberStaysBehind in the history.
func TestNeitherACodeNorANumberStaysBehind(t *testing.T) {
	w, b := unlocked(t)
	w.Turn("/find")
	w.Type("#f-text", b[3:6]+"-1")
	w.send("Find")
	w.Tap("a.birth")
	w.record(b)
	w.Back()
	w.At("/find")
	if v := w.Value("#f-text"); v != "" {
		t.Errorf("the number that was looked for stands there again: %q", v)
	}
	w.Turn("/")
	w.Reload()
	w.Turn("/lock/printed")
	w.Type("#f-code", "12345 67890")
	if state := browser.Ask[string](w.Tab, `JSON.stringify(history.state)`); strings.Contains(state, "67890") {
		t.Errorf("the code is kept: %s", state)
	}
}
