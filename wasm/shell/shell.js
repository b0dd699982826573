// The shell carries taps to the Go program and its screens back. It knows
// neither medicine nor which screens there are.
//
// Start with ask: every tap becomes one message, messages wait in a queue, and
// one at a time goes to the worker in which the Go program runs. screen.js puts
// answers on the page, update.js brings in new versions. The build puts the
// constant "site" before this text: version, worker, words, languages.

import {show, shown, settled, sent, unsent, fail, onWaited, touched} from './{{screen.js}}';
import {updates} from './{{update.js}}';

// here is the address of the screen that is shown, or asked for.
const here = () => due?.path ?? (location.hash.slice(1) || '/');

// ---- messages ----

let worker = null;     // null: not started, or ended
let ready = false;     // the Go program takes messages
let last = 0;          // the number of the last message
let underway = null;   // the message that is being answered
let waiting = [];      // messages behind it, in order
let moves = 0;         // how often the person went to another address herself
let open = -1;         // births in progress; -1: not known
let shows = 0;         // how many screens were shown
let due = null;        // the address that the screen shown is yet to get
let mute = false;      // the worker was given up: it has not answered for long
let lockable = false;  // the records are open and a PIN shuts them

// ask sends a tap. The same tap again, while the first is on its way, is a
// finger that bounced; unless she has been elsewhere since, for then the answer
// to the first will not be shown. Of screens only the last that she asked for
// is wanted.
function ask(method, path, form = '') {
  if (mute) drop();
  if (method === 'get') waiting = waiting.filter((m) => m.method !== 'get');
  const same = (m) => m?.method === method && m.path === path && m.form === form && (method === 'post' || m.moves === moves);
  if (![underway, ...waiting].some(same)) {
    waiting.push({id: ++last, method, path, form, moves});
    waiting.sort((a, b) => isTurn(a) - isTurn(b));
  }
  next();
}

// A turn says that the records come or go: the last of all messages, because
// what was tapped is finished first. Its answer is the screen that is shown,
// with the records or without them.
const isTurn = ({method}) => method === 'give' || method === 'take';

function next() {
  if (underway || !waiting.length) return;
  if (!worker) return start();
  if (!ready) return;
  underway = waiting.shift();
  if (isTurn(underway) && due) settle();
  underway.from = here();
  const {id, method, path = here(), form} = underway;
  worker.postMessage({id, method, path, form, at: shown(), lang: choice.lang, theme: choice.theme, mark: kept('mark') ?? ''});
  slow.begin();
}

function answered(reply) {
  if (reply.id !== underway?.id) return;
  mute = false;
  const message = underway;
  underway = null;
  slow.end();
  open = reply.open;
  const locked = lockable && !reply.lockable && message.method === 'post';
  lockable = reply.lockable;
  if (message.path === '/lock/idle' && lockable && shown()) return next(); // somebody is at a birth: nothing moves
  if (message.method === 'post') keepChoice(reply);
  if (message.method === 'post' && reply.holds) persist();
  if (reply.mark && reply.mark !== kept('mark')) keep('mark', reply.mark);
  if (message.method === 'give' && reply.storage || locked) { // what was tapped meanwhile could not be written
    waiting = waiting.filter((m) => m.method !== 'post');
    unsent();
  }
  // A person who has gone elsewhere meanwhile has asked for that screen too:
  // its answer follows, and this one must not touch the address; unless it must
  // be seen: what she wrote was refused, or was too much. The address
  // changes at once, and the event that tells of it may come after this answer.
  const stays = message.moves === moves && message.from === here();
  if (reply.must) waiting = waiting.filter((m) => m.method !== 'get');
  if (stays || reply.must) {
    const leads = reply.path !== here();
    const step = leads && message.method === 'post';
    shows++;
    if (leads) due = {path: reply.path, step};
    show(reply, step ? null : history.state);
    seenAt = Infinity;
    afterPainting(() => {
      seenAt = performance.now();
      settle();
    });
  }
  next();
}

// settle lets what stands in the address lead to the screen that is shown. A
// post that led on becomes a step of its own, so that Back returns to it. It
// waits until the screen is painted: a slow phone takes as long over an address
// as over a tenth of a screen.
function settle() {
  if (due) {
    const address = '#' + due.path;
    if (due.step) history.pushState(null, '', address);
    else history.replaceState(history.state, '', address);
  }
  due = null;
  settled();
  update.look();
}

// afterPainting runs f when the next frame is painted, or soon where nothing
// is painted because the page is hidden.
function afterPainting(f) {
  if (document.hidden) return setTimeout(f, 0);
  requestAnimationFrame(() => setTimeout(f, 0));
}

// ---- the worker ----

function start() {
  ready = false;
  slow.begin();
  worker = new Worker(site.worker);
  worker.onmessage = ({data}) => {
    if (data.ready) begin(data.ready);
    else if (data.turn) ask(data.turn);
    else if (data.refused) ended('mismatch', `${site.version}, ${data.refused}`);
    else if (data.failed) ended('cannot_start', data.failed);
    else if (data.stopped) ended('crashed', data.stopped);
    else if (talks.has(data.id)) talk(data);
    else answered(data);
  };
  worker.onerror = (e) => ended('cannot_start', e.message ?? site.worker);
}

// say sends what is no tap, and promises the answer. It is lost with the worker.
const talks = new Map();

function say(message) {
  return new Promise((done, failed) => {
    if (!ready) return failed(new Error('not_ready'));
    const id = `say ${++last}`;
    talks.set(id, {done, failed});
    worker.postMessage({...message, id});
  });
}

function talk(answer) {
  talks.get(answer.id).done(answer);
  talks.delete(answer.id);
}

function begin(version) {
  if (version !== site.version) return ended('mismatch', `${site.version}, ${version}`);
  ready = true;
  mute = false;
  next();
}

// ended says that the program is gone, and why. The next tap starts it anew;
// nobody can know whether a message on its way was carried out, so none is
// sent twice: the screen asked for next shows what was kept.
function ended(why, detail) {
  drop();
  const wayOut = why === 'mismatch' ? () => update.reload() : () => ask('get', here());
  words().then((w) => fail(w, why, detail, wayOut), unhide);
}

function drop() {
  worker?.terminate();
  worker = underway = null;
  for (const {failed} of talks.values()) failed(new Error('not_ready'));
  talks.clear();
  waiting = [];
  mute = false;
  slow.end();
}

// silent says that no answer comes, from a worker that was lost or that has
// much to do: an answer that comes after all is shown, the next tap starts anew.
function silent() {
  slow.end();
  mute = true;
  words().then((w) => mute && fail(w, 'silent', shown() || here(), () => ask('get', here())), unhide);
}

// A page that the browser puts to sleep gives the records up: asleep, it could
// not answer whoever asks for them. With a birth in progress behind a PIN it
// keeps them, because that does not lock by itself.
let asleep = false;
document.addEventListener('freeze', () => {
  if (lockable && open > 0) return;
  asleep = worker !== null;
  drop();
});
document.addEventListener('resume', () => {
  if (asleep) ask('get', here());
  asleep = false;
});

// slow shows that something is under way once it has taken a second, and what
// can be done once it has taken too long. The first start may have to bring in
// all files.
const slow = {
  timer: 0,
  limit: 0,
  line: document.getElementById('progress'),
  begin() {
    this.end();
    this.timer = setTimeout(() => this.say(), 1000);
    this.limit = setTimeout(silent, ready ? 10_000 : 60_000);
  },
  say() {
    unhide();
    if (!shown()) return; // what index.html came with says it
    words().then(({texts}) => {
      this.line.textContent = texts.working;
      this.line.hidden = !this.timer;
    }, () => {});
  },
  end() {
    clearTimeout(this.timer);
    clearTimeout(this.limit);
    this.timer = 0;
    this.line.hidden = true;
  },
};

// unhide shows what index.html came with, when there is nothing better.
function unhide() {
  document.getElementById('screen').hidden = false;
}

// ---- taps ----

addEventListener('hashchange', () => {
  due = null; // she has gone elsewhere
  moves++;
  ask('get', here());
});

addEventListener('click', (e) => {
  if (due) settle(); // before a link changes the address
  if (bounced(e)) {
    e.preventDefault();
    e.stopPropagation();
    return;
  }
  const link = e.target.closest('a[href^="#/"]');
  if (link && link.getAttribute('href').slice(1) === here()) { // no hashchange will come
    e.preventDefault();
    ask('get', here());
  }
}, true);

// bounced tells a second tap in the same spot that was meant for what stood
// there before: a finger that bounces, or one that tapped again because a slow
// phone did nothing. Nobody reads a new screen, or a question put in its place,
// and aims in less than deaf milliseconds; such a tap would answer unread.
const deaf = 600;
let tap = {x: -1000, y: -1000, shows: 0};
let seenAt = -1000; // when the screen was painted
function bounced(e) {
  if (!e.isTrusted || e.detail === 0) return false; // a key or a reader's voice
  const before = tap;
  const is = shows !== before.shows && e.timeStamp - seenAt < deaf && Math.hypot(e.clientX - before.x, e.clientY - before.y) < 40;
  tap = {x: e.clientX, y: e.clientY, shows: is ? before.shows : shows};
  return is;
}

addEventListener('submit', (e) => {
  const form = e.target;
  const path = (form.getAttribute('action') ?? '').slice(1);
  if (!path.startsWith('/')) return;
  e.preventDefault();
  sent(form);
  const data = new URLSearchParams(new FormData(form));
  if (e.submitter?.name) data.append(e.submitter.name, e.submitter.value);
  if (form.method === 'post') {
    ask('post', path, String(data));
  } else if (here() === `${path}?${data}`) {
    ask('get', here());
  } else {
    location.hash = `${path}?${data}`;
  }
});

// persist asks the browser, once, not to tidy away what is kept: when the first
// record was written, because a browser that asks the person must not ask
// before she has something to lose.
let persisted = false;
function persist() {
  if (!persisted) navigator.storage?.persist?.();
  persisted = true;
}

// Records that nobody has touched for five minutes are locked; the program does
// it unless somebody is at a birth, and leaves a page that needs no record as it
// is. A phone that slept longer locks as soon as it wakes: before the first
// touch counts as one. Of two clocks the one counts by which more has passed.
const rest = 5 * 60 * 1000;
let touchedAt = [Date.now(), performance.now()];

function rested() {
  const passed = Math.max(Date.now() - touchedAt[0], performance.now() - touchedAt[1]);
  if (lockable && passed > rest) ask('post', '/lock/idle');
}

function touch() {
  rested();
  touchedAt = [Date.now(), performance.now()];
}

for (const kind of ['pointerdown', 'keydown', 'scroll']) addEventListener(kind, touch, {capture: true, passive: true});
document.addEventListener('visibilitychange', rested);
setInterval(() => { if (!underway && !waiting.length && !due) rested(); }, 20_000);

// A page that the browser put aside whole comes back with its program asleep
// and its files held: it is loaded again instead.
addEventListener('pagehide', () => worker?.terminate());
addEventListener('pageshow', (e) => e.persisted && location.reload());

// ---- what is kept of the person's choices, and the shell's own words ----

const choice = {lang: kept('lang') ?? suits(), theme: kept('theme') ?? ''};

function kept(name) {
  try { return localStorage.getItem(name); } catch { return null; } // storage may be forbidden
}

function keepChoice({lang, theme}) {
  Object.assign(choice, {lang, theme});
  keep('lang', lang);
  keep('theme', theme);
}

function keep(name, value) {
  try { localStorage.setItem(name, value); } catch { /* kept until the page is closed */ }
}

// suits finds the first language of the browser's own list that the app has.
function suits() {
  const has = (tag) => site.languages.find((l) => l === tag) ?? site.languages.find((l) => l === tag.split('-')[0]);
  return navigator.languages.map(has).find(Boolean) ?? site.languages[0];
}

const wordsFile = fetch(site.words).then((r) => r.json());
wordsFile.catch(() => {}); // said where it is needed

async function words() {
  const all = await wordsFile;
  const lang = all[choice.lang] ? choice.lang : site.languages[0];
  return {lang, ...all[lang]};
}

// ---- begin ----

function idle() { return !underway && !waiting.length && !due && !touched(); }

// What saves and reads files is loaded when it is wanted: no start waits for it.
addEventListener('click', async (e) => {
  const button = e.target.closest('button[data-save], button[data-load]');
  if (!button || button.disabled) return;
  button.disabled = true;
  const {copy} = await import('./{{copies.js}}');
  await copy(button, say, (path) => { location.hash = path; });
  button.disabled = false;
});

const update = updates({
  // Not over an emergency page or a dose: she is reading it.
  mayTakeOver: () => open === 0 && idle() && /^\/(settings|about)?$/.test(shown()),
  mayReload: () => idle() && !/^\/(emergency|dose|grade)/.test(shown()),
});
history.scrollRestoration = 'manual';
document.documentElement.dataset.theme = choice.theme;
document.getElementById('screen').hidden = true;
onWaited(() => idle() && ask('get', here()));
if (!('WebAssembly' in self)) ended('no_wasm', navigator.userAgent);
else if (!('instantiateStreaming' in WebAssembly)) ended('too_old', navigator.userAgent);
else ask('get', here());
