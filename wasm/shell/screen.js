// Puts screens on the page and keeps focus, scroll and what was typed where a
// person expects them.
//
// Start with show. The same path again is the same screen, changed: nothing
// moves; unless the records came or went, which makes it another screen. Another path is another screen: it is read from its top, or, when a
// person comes back to it, from where she left it, with what she had typed.

import {arrived} from './{{aids.js}}';

const screen = document.getElementById('screen');
let path = '';      // of the screen that is shown
let storage = '';   // why it had no records
let typed = false;  // something was typed or chosen on it

export const shown = () => path;
export const touched = () => typed;

// show puts a screen on the page, a new one as its step of the history left it.
export function show(reply, step) {
  const same = reply.path === path && reply.storage === storage;
  const before = same ? {focused: focused(), typed: [...draft(), ...absent()], open: opened()} : null;
  ({path, storage} = reply);
  typed = false;
  document.title = reply.title;
  dress({lang: reply.lang, dir: reply.dir, 'data-theme': reply.theme});
  if (!same) screen.dataset.path = ''; // until the address follows
  put(reply);
  screen.hidden = false;
  delete screen.dataset.failed;
  showTimes();
  if (same) stay(before);
  else arrive(step);
  arrived(same);
}

// settled says that the address is that of the screen, too.
export function settled() {
  screen.dataset.path = path;
}

// put replaces what has changed: the bar and the foot are mostly the same, and
// a slow phone would lay them out anew at every tap. The HTML is made by Go,
// which escapes; the page's policy runs no script from it.
let kept = {};
function put({bar, main, foot}) {
  if (screen.children.length === 3) {
    if (bar !== kept.bar) screen.children[0].outerHTML = bar;
    screen.children[1].outerHTML = main;
    if (foot !== kept.foot) screen.children[2].outerHTML = foot;
  } else {
    screen.innerHTML = bar + main + foot;
  }
  kept = {bar, foot};
}

// dress sets what the whole page looks by. To set it again, even to the same,
// costs a slow phone a look at every element.
function dress(attributes) {
  const page = document.documentElement;
  for (const [name, value] of Object.entries(attributes)) {
    if (page.getAttribute(name) !== value) page.setAttribute(name, value);
  }
}

// arrive begins a screen. Focus goes to its heading, so that a screen reader
// says where it is and the next Tab leads into the screen.
function arrive(step) {
  fill(step?.typed ?? []);
  scrollTo(0, step?.y ?? 0);
  refused() || focus('[autofocus]') || focus('h1[tabindex]');
}

// refused goes to the field that was refused, behind what was typed: that is
// where the work goes on. A form that asks has another address with every
// answer, and so another screen: there, too.
function refused() {
  const field = screen.querySelector('[aria-invalid="true"]');
  field?.focus({preventScroll: true});
  if (field?.type === 'text') field.setSelectionRange(field.value.length, field.value.length);
  (field?.closest('.field') ?? field ?? screen.querySelector('[role="alert"]'))?.scrollIntoView({block: 'nearest'});
  return Boolean(field);
}

// stay gives back what replacing the HTML took away.
function stay({focused, typed: values, open}) {
  fill(values);
  const details = screen.querySelectorAll('details');
  if (details.length === open.length) details.forEach((d, i) => d.open ||= open[i]);
  if (!refused() && !focus(focused.selector, focused.place)) {
    focus('h1[tabindex]'); // what had the focus is gone; a reader must not fall back to the page's start
  }
}

// fill gives empty fields what was typed into them.
function fill(values) {
  for (const [id, value] of values) {
    const field = screen.querySelector('#' + CSS.escape(id));
    if (field && !field.value) field.value = value, typed = true;
  }
}

function focus(selector, place = 0) {
  const e = screen.querySelectorAll(selector)[place];
  e?.focus({preventScroll: true});
  return Boolean(e);
}

// focused tells how to find what has the focus in the HTML that will replace
// it: by its id, or by what it sends or leads to, and as which of its like.
function focused() {
  const e = document.activeElement;
  const is = (attribute) => e.hasAttribute(attribute) ? `[${attribute}="${CSS.escape(e.getAttribute(attribute))}"]` : '';
  const selector = e.localName + (is('id') || is('name') + is('value') + is('href'));
  return {selector, place: [...screen.querySelectorAll(selector)].indexOf(e)};
}

// draft lists what was typed and not sent: the answer knows nothing of it. A
// PIN is never kept, nor what has data-unkept: it opens something. What
// was sent is left out, or a dose that has been written down would stand in
// its field again.
function draft() {
  return fields().filter((f) => !f.form?.dataset.sent && f.value !== f.defaultValue).map((f) => [f.id, f.value]);
}

const fields = () => [...screen.querySelectorAll('input[id]:not([type="hidden"], [type="password"], [data-unkept]), textarea[id]')];

const opened = () => [...screen.querySelectorAll('details')].map((d) => d.open);

addEventListener('input', () => {
  typed = true;
  keepDraft();
});

// sent says that what stands in a form is on its way: it is no draft any more.
export function sent(form) {
  form.dataset.sent = 'yes';
  keepDraft();
}

// unsent says that nothing more can be written down: all that stands in a
// field is a draft again, what was sent or refused too.
export function unsent() {
  const typed = fields().filter((f) => f.value).map((f) => [f.id, f.value]);
  history.replaceState({...history.state, typed}, '');
}

// What was typed and not sent, and the place on the screen, are kept with
// their step of the history, so that Back and a reload find them again: a
// rescue may come between. What belongs into fields that are not there now waits
// for them: the records may be elsewhere for a while, or locked.
function keepDraft() {
  if (!screen.dataset.path) return;
  history.replaceState({...history.state, typed: [...draft(), ...absent()]}, '');
}

const absent = () => (history.state?.typed ?? []).filter(([id]) => !document.getElementById(id));

let scrolling = 0;
addEventListener('scroll', () => {
  clearTimeout(scrolling);
  const step = location.hash;
  scrolling = setTimeout(() => step === location.hash && history.replaceState({...history.state, y: scrollY}, ''), 150);
}, {passive: true});

// showTimes fills in how long ago something was, as hours and minutes, and how
// long a wait still is, as minutes and seconds, and goes on by itself. A clock
// that stands before the time in question says nothing. When a wait is over,
// what may be done now is Go's to say: then calls waited.
let ticking = 0;
let waited = () => {};
export const onWaited = (then) => waited = then;

function showTimes() {
  for (const time of screen.querySelectorAll('time[data-since]')) {
    const minutes = Math.floor((Date.now() - Number(time.dataset.since)) / 60_000);
    if (minutes >= 0) time.textContent = sixties(minutes);
  }
  const waits = [...screen.querySelectorAll('time[data-until]')];
  const left = waits.map((time) => Math.ceil((Number(time.dataset.until) - Date.now()) / 1000));
  waits.forEach((time, i) => time.textContent = sixties(Math.max(left[i], 0)));
  clearTimeout(ticking);
  ticking = setTimeout(showTimes, waits.length ? 1000 : 30_000);
  if (left.some((seconds) => seconds <= 0)) waited();
}

const sixties = (n) => `${Math.floor(n / 60)}:${String(n % 60).padStart(2, '0')}`;

// fail shows what the shell itself has to say: why the program is gone, what
// was kept, and the way back. Every text comes from the tables.
export function fail({lang, dir, texts}, why, detail, wayOut) {
  path = '';
  dress({lang, dir});
  document.title = texts[why];
  const main = make('main', '', 'page');
  const heading = make('h1', texts[why]);
  heading.tabIndex = -1;
  const again = make('button', texts[why === 'mismatch' ? 'load_again' : 'start_again'], 'next');
  again.id = 'again';
  again.onclick = wayOut;
  const home = make('a', texts.home, 'more-link');
  home.href = '#/';
  const rescue = make('a', texts.rescue, 'more-link');
  rescue.href = '#/emergency';
  const more = make('details', '', 'source');
  more.append(make('summary', texts.detail), make('pre', detail));
  main.append(heading, make('p', texts[why + '_what']), again, rescue, home, more);
  screen.replaceChildren(main);
  screen.hidden = false;
  screen.dataset.path = '';
  screen.dataset.failed = why;
  heading.focus();
  scrollTo(0, 0);
}

function make(tag, text, look = '') {
  const e = document.createElement(tag);
  e.textContent = text;
  if (look) e.className = look;
  return e;
}
