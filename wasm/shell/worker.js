// The worker in which the Go program runs, so that the page stays quick. It
// loads the program and what the program needs from the start, and passes
// messages. wasm/app/host.go says what the object fourchette is for. The build
// puts the constant "site" before this text.

importScripts(site.exec);

let early = []; // messages that came before the program was ready; then null
const lock = 'fourchette-records';
let over = false; // the page has been told how the program ended

onmessage = ({data}) => early ? early.push(data) : fourchette.receive(data);

// A key is made of a PIN in a worker of its own, in this same text: that takes
// a second and much memory, which only the end of a worker gives back.
const deriving = self.name === 'derive';

function derive(pin, recipe) {
  return new Promise((done, failed) => {
    const worker = new Worker(self.location.href, {name: 'derive'});
    const end = (say, what) => {
      worker.terminate();
      say(what);
    };
    worker.onmessage = ({data}) => {
      if (data.ready) worker.postMessage({pin, recipe});
      else if (data.key) end(done, data.key);
      else end(failed, new Error(data.failed ?? data.stopped ?? data.refused));
    };
    worker.onerror = (e) => end(failed, new Error(e.message));
  });
}

self.fourchette = {
  site,
  deriving,
  derive,
  fetch: bytes,
  send: (message) => postMessage(message),
  ready() {
    postMessage({ready: site.version});
    for (const message of early) fourchette.receive(message);
    early = null;
  },
  refuse: (version) => end({refused: version}),
  fail: (text) => end({failed: text}),
  hold: () => hold(2000, 'who'),
  ask: () => void hold(6000, 'give').then(() => postMessage({turn: 'take'})),
  held: () => letGo !== null,
  letGo: () => letGo?.(),
  wanted: async () => (await navigator.locks.query()).pending.some(({name}) => name === lock),
  keeping,
};

function end(message) {
  if (!over) postMessage(message);
  over = true;
}

// ---- the records have one holder ----
//
// Of all pages of the app one has the records: its worker holds a lock, which
// the browser takes back when the worker ends, however it ends. Who wants the
// records waits for the lock and says so to the others: 'who' asks whether
// anybody has it, and who has it says 'here'; 'give' asks for it. The page is
// told, sends the message 'give' behind all that was tapped before, and the
// program closes its files and lets go.

const others = new BroadcastChannel(lock);
let letGo = null;   // ends the lock; null: it is not held here
let waiting = null; // the word that was said to the others, and how to wait no longer

// hold waits for the lock for some milliseconds and says whether it came. The
// browser is not told sooner that nobody waits: told at once, it may forget it.
// The word is said again and again: it may be heard before the wait is known.
function hold(patience, word) {
  const control = new AbortController();
  return new Promise((came) => {
    let over = false;
    const say = () => others.postMessage(word);
    const saying = setInterval(say, 500);
    const stop = () => { over = true; clearInterval(saying); came(false); };
    const held = () => over ? null : new Promise((end) => { // too late, it is given back
      letGo = () => { letGo = null; end(); };
      clearInterval(saying);
      came(true);
    });
    waiting = {word, stop};
    setTimeout(() => { stop(); control.abort(); }, patience);
    navigator.locks.request(lock, {signal: control.signal}, held).catch(stop);
    say();
  });
}

others.onmessage = ({data}) => {
  if (data === 'who' && letGo) others.postMessage('here');
  if (data === 'here' && waiting?.word === 'who') waiting.stop();
  if (data === 'give' && letGo) postMessage({turn: 'give'});
};

// keeping is whether the browser has promised to keep what is written, how many
// bytes it says that there is room for, and whether some can still be had. It
// says a round number, by which nobody can be recognised, also when the phone
// is full: so now and then, or when it is asked to, it is tried. The first
// screen does not wait for that.
let tried = {time: NaN, had: true};

async function tryRoom() {
  tried = {time: performance.now(), had: !letGo || await canHave(20_000_000)};
}

async function keeping(now) {
  if (isNaN(tried.time) && !now) {
    tried.time = 0;
    setTimeout(tryRoom, 1000);
    return {unknown: true};
  }
  if (now || performance.now() - tried.time > 60_000) await tryRoom();
  const [promised, {quota, usage}] = await Promise.all([navigator.storage.persisted(), navigator.storage.estimate()]);
  return {promised, room: quota - usage, short: !tried.had};
}

// canHave makes a file beside the records so large, without writing into it,
// and at once small again.
async function canHave(bytes) {
  let handle = null;
  try {
    const folder = await navigator.storage.getDirectory();
    handle = await (await folder.getFileHandle('room', {create: true})).createSyncAccessHandle();
    handle.truncate(bytes);
    return true;
  } catch {
    return false;
  } finally {
    handle?.truncate(0);
    handle?.close();
  }
}

// ---- files ----

async function file(name) {
  const response = await fetch(name);
  if (!response.ok) throw new Error(`${name}: ${response.status}`);
  return response;
}

async function bytes(name) {
  return new Uint8Array(await (await file(name)).arrayBuffer());
}

// heard keeps the beginning of what the program writes before it ends: a
// panic's own words, for the one who will repair it.
let heard = '';
const write = fs.writeSync;
fs.writeSync = (descriptor, text) => {
  if (heard.length < 2000) heard += new TextDecoder().decode(text);
  return write.call(fs, descriptor, text);
};

async function run() {
  const go = new Go();
  const load = (name) => deriving ? null : bytes(name);
  const [program, english, pack] = await Promise.all([
    WebAssembly.instantiateStreaming(file(site.program), go.importObject),
    load(site.tables[site.languages[0].lang]),
    load(site.pack),
  ]);
  Object.assign(fourchette, {english, pack});
  await go.run(program.instance); // comes back only when the program has ended
  end({stopped: heard || 'it ended'});
}

run().catch((e) => end({failed: String(e)}));
