package shelltest

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"fourchette/wasm/browser"
)

// has waits until the record of a path is shown in this tab, with what is kept
// in it.
func (b *tab) has(paths ...string) {
	b.Helper()
	for _, path := range paths {
		if b.Path() != path {
			b.turn(path)
			b.At(path)
		}
		b.Until(isRecord)
	}
}

// takes lets this tab ask for the records, and waits for them.
func (b *tab) takes() {
	b.Helper()
	b.Tap("#take")
	b.Until(`!document.getElementById('take') && !document.querySelector('.caution[role="status"]')`)
	b.holds(1)
}

// holds says how many tabs of the app hold the records.
func (b *tab) holds(n int) {
	b.Helper()
	if got := browser.Ask[int](b.Tab, `navigator.locks.query().then((q) => q.held.filter((l) => l.name === 'fourchette-records').length)`); got != n {
		b.Errorf("%d hold the records, wanted %d", got, n)
	}
}

// two are two tabs of the app, the first with a record.
func two(t *testing.T) (a, b *tab, path string) {
	t.Helper()
	s := browser.Serve(t, first)
	a = open(t)
	a.Load(s, "/")
	path = a.newBirth()
	b = open(t)
	b.Load(s, path)
	b.Reads("Another window has the records open")
	b.holds(1)
	return a, b, path
}

// Two tabs take the records from each other, and each writes: nothing is lost,
// and what had them says so at once.
func TestTakeOver(t *testing.T) {
	a, b, one := two(t)
	b.takes()
	b.has(one)
	a.Reads("Another window has opened the records")
	a.turn("/emergency")
	a.At("/emergency")
	a.Reads("Heavy bleeding")
	two := b.newBirth()
	a.turn("/")
	a.Reads("Another window has opened the records")
	a.takes()
	a.has(one, two)
	b.Reads("Another window has opened the records")
	three := a.newBirth()
	b.takes()
	b.has(one, two, three)
	b.newBirth()
	b.turn("/")
	b.Reads("4 births in progress")
	if one == two || two == three || one == three {
		t.Errorf("two births have one path: %s %s %s", one, two, three)
	}
}

// What is half typed where the records were waits there, on its screen, also
// when it was refused before.
func TestTakeOverKeepsWhatIsTyped(t *testing.T) {
	a, b, path := two(t)
	const field = "document.getElementById('f-bed')?.value"
	a.turn("/new")
	a.At("/new")
	a.Type("#f-bed", "half")
	b.takes()
	a.Reads("Another window has opened the records", "What was typed and not sent is kept")
	a.takes()
	a.Until(field + " === 'half'")
	a.At("/new")

	a.turn(path + "/dose/weight")
	a.At(path + "/dose/weight")
	a.Type("#f-weight_kg", "6o")
	a.Tap(`#screen form[method="post"] button.next, #screen form button.next`)
	a.Until("document.querySelector('[aria-invalid]')")
	b.takes()
	a.Reads("Another window has opened the records")
	a.takes()
	a.Until("document.getElementById('f-weight_kg')?.value === '6o'")
}

// asks is another page of the app that asks for the records, made of what the
// browser gives to every page.
const asks = `navigator.locks.request('fourchette-records', () => new Promise((end) => window.letGo = end));
	(async () => {
		while (!(await navigator.locks.query()).pending.length);
		new BroadcastChannel('fourchette-records').postMessage('give');
	})();`

// What was tapped before the records are asked for is written first.
func TestTakeOverFinishesWhatWasTapped(t *testing.T) {
	s := browser.Serve(t, first)
	a := open(t)
	a.Load(s, "/new")
	browser.Ask[bool](a.Tab, asks+`document.querySelector('button[name="born"][value="now"]').click(), true`)
	a.Until("window.letGo")
	a.Reads("Another window has opened the records")
	browser.Ask[bool](a.Tab, "window.letGo(), true")
	a.takes()
	a.Until(isRecord)
}

// What is tapped before the records go, but after they were asked for, is
// written first, too.
func TestTakeOverWaitsForWhatIsTapped(t *testing.T) {
	s := browser.Serve(t, first)
	a := open(t)
	a.Inject(`const Made = Worker;
		window.Worker = function (...a) {
			const made = new Made(...a);
			const click = (what) => document.querySelector(what)?.click();
			Object.defineProperty(made, 'onmessage', {set(f) {
				made.addEventListener('message', (e) => {
					if (e.data.turn) click('.languages button[value="en"]'); // keeps the worker busy
					f(e);
					if (e.data.turn) click('button[name="born"][value="now"]');
				});
			}});
			return made;
		};
		window.Worker.prototype = Made.prototype;`)
	a.Load(s, "/new")
	browser.Ask[bool](a.Tab, asks+"true")
	a.Until("window.letGo")
	a.Until("sent.map((m) => m.method).join() === 'get,post,post,give'")
	browser.Ask[bool](a.Tab, "window.letGo(), true")
	a.takes()
	a.Until(isRecord)
}

// Who has the records says so when it is asked, so that a second tab need not
// wait to find out.
func TestWhoHasTheRecordsSaysSo(t *testing.T) {
	_, b, _ := two(t)
	said := browser.Ask[string](b.Tab, `new Promise((heard) => {
		const others = new BroadcastChannel('fourchette-records');
		others.onmessage = ({data}) => heard(data);
		others.postMessage('who');
		setTimeout(heard, 5000, 'nothing');
	})`)
	if said != "here" {
		t.Errorf("said %s", said)
	}
}

// What is tapped while the records go is not written, and is not lost either.
func TestTakeOverWhileTapping(t *testing.T) {
	s := browser.Serve(t, first)
	a := open(t)
	a.Inject(`const post_ = Worker.prototype.postMessage;
		Worker.prototype.postMessage = function (m) {
			post_.call(this, m);
			if (m.method === 'give') document.querySelector('button[name="born"][value="now"]').click();
		};`)
	a.Load(s, "/new")
	a.Type("#f-bed", "late")
	browser.Ask[bool](a.Tab, asks+"true")
	a.Reads("Another window has opened the records")
	browser.Ask[bool](a.Tab, "window.letGo(), true")
	a.takes()
	a.Until("document.getElementById('f-bed')?.value === 'late'")
	a.turn("/")
	a.Reads("0 births in progress")
}

// A page that has the records and does not answer: it is said, with what to do,
// and nobody takes them by force. When it wakes up it still has them.
func TestTakeOverFromOneThatSleeps(t *testing.T) {
	a, b, path := two(t)
	a.turn("/new")
	a.At("/new")
	a.Type("#f-bed", "half")
	resume := a.Pause()
	b.Tap("#take")
	b.Reads("It first finishes what it is writing")
	b.turn("/emergency") // while the other is asked
	b.At("/emergency")
	b.turn(path)
	b.Reads("The other window does not answer", "touch it", "Try again")
	b.holds(1)
	resume()
	time.Sleep(time.Second) // for the question that it slept over
	a.ReadsNot("Another window")
	a.Tap(`button[name="born"][value="now"]`)
	a.Until("document.getElementById('screen').dataset.path.startsWith('/b/')")
	second := a.Path()
	b.takes()
	b.has(path, second)
	a.Reads("Another window has opened the records")
}

// A page that the browser puts to sleep gives the records up before.
func TestASleepingPageGivesTheRecordsUp(t *testing.T) {
	a, b, path := two(t)
	wake := a.Sleep(b.Tab)
	b.Until("navigator.locks.query().then((q) => window.free = !q.held.length) && window.free") // before anybody asks
	b.takes()
	b.has(path)
	wake()
	a.Until("document.getElementById('take')")
	a.takes()
	a.has(path)
}

// A tab of a version that knows nothing of asking is still the only writer.
func TestTakeOverFromAnOlderVersion(t *testing.T) {
	const asking = "navigator.locks.request(lock, {signal: control.signal}, held)"
	worker, err := os.ReadFile(filepath.Join(first.Public, first.Names["worker.js"]))
	if err != nil || !strings.Contains(string(worker), asking) {
		t.Fatalf("the worker does not say %s: %v", asking, err)
	}
	s := browser.Serve(t, first)
	plain := changed(first, "none", "", "")
	s.Swap(changed(first, "worker.", asking, "held()"))
	a := open(t)
	a.Load(s, "/")
	path := a.newBirth()
	browser.Ask[bool](a.Tab, "navigator.serviceWorker.getRegistration().then((r) => r?.unregister()).then(() => true)")
	s.Swap(plain)
	b := open(t)
	b.Load(s, path)
	b.Reads("Another window has the records open")
	b.Tap("#take")
	b.Reads("The other window does not answer")
	a.Close()
	b.takes()
	b.has(path)
}

// keepWorker lets a test end the worker as a browser might, without a word.
const keepWorker = `const Made = Worker;
	window.Worker = function (...a) { return window.made = new Made(...a); };
	window.Worker.prototype = Made.prototype;`

// A worker that is gone without a word: after a while the person is told, and a
// tap brings the same screen back, with the records and what was typed.
func TestWorkerLost(t *testing.T) {
	s := browser.Serve(t, first)
	a := open(t)
	a.Inject(keepWorker)
	a.Load(s, "/")
	path := a.newBirth()
	a.turn("/new")
	a.At("/new")
	a.Type("#f-bed", "half")
	for _, way := range []string{"#again", `#screen a[href="#/emergency"]`} {
		browser.Ask[bool](a.Tab, "window.made.terminate(), true")
		browser.Ask[bool](a.Tab, `document.querySelector('.languages button[value="en"]').click(), true`)
		a.Until("document.getElementById('screen').dataset.failed === 'silent'")
		a.Reads("All that was saved is safe")
		a.Tap(way)
		if way != "#again" {
			a.At("/emergency")
			a.Back()
		}
		a.At("/new")
		a.Until("document.getElementById('f-bed')?.value === 'half'")
	}
	a.has(path)
}

// A worker that only has much to do answers in the end, and that is shown.
func TestWorkerBusy(t *testing.T) {
	s := browser.Serve(t, first)
	a := open(t)
	a.Load(s, "/")
	path := a.newBirth()
	a.turn("/fault/busy")
	a.Until("document.getElementById('screen').dataset.failed === 'silent'")
	a.At("/fault/busy")
	if got := browser.Ask[string](a.Tab, "document.getElementById('screen').innerText"); strings.Contains(got, "does not answer") {
		t.Errorf("the answer came and is not shown:\n%s", got)
	}
	a.has(path)
}

// Behind a PIN the records are locked where they were taken to. A page that the
// browser puts to sleep keeps them while a birth is in progress: a PIN in the
// middle of a repair is what nobody has time for.
func TestTakeOverBehindAPIN(t *testing.T) {
	a, b, path := two(t)
	a.turn("/lock/pin")
	a.At("/lock/pin")
	a.Type("#f-pin", "739104")
	a.Type("#f-again", "739104")
	a.Tap("#screen main form button.next")
	a.Reads("The last group, from the paper")
	a.has(path)
	wake := a.Sleep(b.Tab)
	time.Sleep(500 * time.Millisecond)
	b.holds(1)
	wake()
	a.has(path)
	b.takes()
	a.Reads("Another window has opened the records")
	b.Reads("Records are locked")
	b.Type("#f-pin", "739104")
	b.TapWords("Open the records")
	b.has(path)
	a.takes()
	a.Reads("Records are locked")
}
