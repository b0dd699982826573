package journeys

import (
	"strconv"
	"strings"
	"testing"

	"fourchette/wasm/browser"
)

// caught keeps the file that the page hands out, in base64.
const caught = `(() => {
	window.caught = '';
	URL.createObjectURL = (file) => {
		file.arrayBuffer().then((b) => window.caught = btoa(Array.from(new Uint8Array(b), (c) => String.fromCharCode(c)).join('')));
		return 'data:,';
	};
	return true;
})()`

// copied makes a copy of all records, and gives the file and its code.
func (w *way) copied() (file, code string) {
	w.Helper()
	w.Turn("/settings")
	w.Turn("/records/copy")
	w.Reads("Write it down or print it first.")
	code = browser.Ask[string](w.Tab, `Array.from(document.querySelectorAll('.groups li'), (li) => li.innerText.trim()).join(' ')`)
	w.Type("#f-last", code[strings.LastIndex(code, " ")+1:])
	w.TapWords("The paper is kept")
	w.Reads("Now save the file.")
	browser.Ask[bool](w.Tab, caught)
	w.Tap("#save")
	w.Reads("The file is handed out.")
	w.Until("window.caught.length > 0")
	return browser.Ask[string](w.Tab, `window.caught`), code
}

// takenIn takes a file in.
func (w *way) takenIn(file, code string) {
	w.Helper()
	w.Turn("/settings")
	w.Turn("/records/restore")
	w.Type("#f-code", code)
	browser.Ask[bool](w.Tab, `(() => {
		const chosen = new DataTransfer();
		chosen.items.add(new File([Uint8Array.from(atob(`+strconv.Quote(file)+`), (c) => c.charCodeAt(0))], 'x.records'));
		document.getElementById('file').files = chosen.files;
		return true;
	})()`)
	w.Tap("#load")
}

// TestRecordsMoveToAnotherPhone: a copy is made on one, and taken in on the
// other, once; the code of another file opens nothing.
func TestRecordsMoveToAnotherPhone(t *testing.T) {
	one := begin(t)
	one.newBirth("QX7")
	file, code := one.copied()
	_, other := one.copied()
	s := browser.Serve(t, app) // at another address there are no records yet, as on another phone
	two := &way{chromium.Open(t), s}
	two.Load(s, "/")
	two.takenIn(file, other)
	two.Reads("does not open")
	two.takenIn(file, code)
	two.At("/records/restored")
	two.Reads("1 new entry")
	two.Reads("Nothing is missing from the file.")
	two.Turn("/")
	two.Reads("QX7")
	two.takenIn(file, code)
	two.At("/records/restored")
	two.Reads("0 new entries")
	two.Reads("1 entry was here already")
}
