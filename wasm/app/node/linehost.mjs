// Answers topics from lines, with the program that the browser runs, under
// Node.js and without a disk:
//
//   topic REQUEST          -> REPLY            both in base64
//   bench topic REQUEST n  -> NS ALLOCATIONS   of one call, the mean of n
//   anything else          -> ! what is wrong
//
// Usage: node wasm/app/node/linehost.mjs [PACK]. PACK is a content pack's file;
// without it the built-in pack is used. SITE names the folder that
// "go run ./wasm/serve -build-only" built into, wasm/.site unless set.

import {readFile} from 'node:fs/promises';
import {createRequire} from 'node:module';
import {createInterface} from 'node:readline';
import {join, resolve} from 'node:path';
import {fileURLToPath} from 'node:url';

const folder = resolve(process.env.SITE ?? fileURLToPath(new URL('../../.site', import.meta.url)));
const {version, names, languages} = JSON.parse(await readFile(join(folder, 'site.json')));
const read = (name) => readFile(join(folder, 'public', names[name]));

globalThis.fs = createRequire(import.meta.url)('node:fs'); // so that a panic is written to standard error
await import(join(folder, 'public', names['wasm_exec.js']));

const answers = []; // who waits for an answer, the oldest first

const started = new Promise((ready, fail) => {
  globalThis.fourchette = {
    site: {version, languages, notice: null, tables: Object.fromEntries(languages.map(({lang}) => [lang, lang]))},
    fetch: () => Promise.reject(new Error('this host fetches nothing')),
    ready,
    refuse: (other) => fail(new Error(`the program is of version ${other}, the site of ${version}`)),
    fail: (text) => fail(new Error(text)),
    send: (message) => answers.shift()(message),
  };
});

fourchette.english = await read(`${languages[0].lang}.table`);
fourchette.pack = process.argv[2] ? await readFile(process.argv[2]) : await read('builtin.pack');
const go = new Go();
const {instance} = await WebAssembly.instantiate(await read('app.wasm'), go.importObject);
go.run(instance).then(() => {
  console.error('linehost: the program has ended');
  process.exit(1);
});
await started;

function ask(message) {
  return new Promise((answer) => {
    answers.push(answer);
    fourchette.receive(message);
  });
}

async function answer(line) {
  const [bench, topic, request, times] = /^bench (\S+) (\S*) (\d+)$/.exec(line) ?? [];
  if (bench) {
    const cost = await ask({topic, request: Buffer.from(request, 'base64'), times: Number(times)});
    return `${cost.nanoseconds} ${cost.allocations}`;
  }
  const [call, name, bytes] = /^(\S+) (\S*)$/.exec(line) ?? [];
  if (!call) return `! neither "topic REQUEST" nor "bench topic REQUEST n": ${line.slice(0, 80)}`;
  const {reply} = await ask({topic: name, request: Buffer.from(bytes, 'base64')});
  return Buffer.from(reply).toString('base64');
}

for await (const line of createInterface({input: process.stdin})) {
  process.stdout.write(await answer(line) + '\n');
}
process.exit(0);
