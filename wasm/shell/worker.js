// The worker in which the Go program runs, so that the page stays quick. It
// loads the program and what the program needs from the start, and passes
// messages. wasm/app/host.go says what the object fourchette is for. The build
// puts the constant "site" before this text.

importScripts(site.exec);

let early = []; // messages that came before the program was ready; then null
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
};

function end(message) {
  if (!over) postMessage(message);
  over = true;
}

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
