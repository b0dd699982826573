// What a screen may ask of the phone beside being shown, by attributes:
//
//   data-awake            the phone's screen stays on while this is shown
//   data-aloud="#id"      a button that reads the parts of #id aloud, one after
//                         the other, again and again until it is tapped again;
//                         each part is an element with data-say, or an li
//   data-print            a button that prints
//   data-share="#id"      a button that hands the text of #id to another app
//
// A button whose wish this phone cannot fulfil stays hidden: without a voice
// for the language the words stand still on the screen, which is the other way
// to work with gloves on.

const screen = document.getElementById('screen');
const voices = window.speechSynthesis;
const between = 6000; // from one part to the next: time for a stitch, and to ask for it again

// arrived is called when a screen is shown; staying says that it is the same
// screen, changed.
export function arrived(staying) {
  if (!staying) silence();
  awake();
  offer();
}

// ---- awake ----

let lock = null;

async function awake() {
  const wanted = screen.querySelector('[data-awake]') !== null && !document.hidden;
  if (!wanted) {
    lock?.release();
    lock = null;
  } else if (!lock) {
    lock = await navigator.wakeLock?.request('screen').catch(() => null) ?? null; // refused when the battery is low
    lock?.addEventListener('release', () => lock = null);
  }
}

document.addEventListener('visibilitychange', awake); // the lock ends when the page is hidden

// ---- offers ----

// voiceFor finds a voice on the phone itself for the page's language: one from
// the network would fall silent at the bedside.
function voiceFor(lang) {
  const tag = lang.toLowerCase().split('-')[0];
  return voices?.getVoices().find((v) => v.localService && v.lang.toLowerCase().split(/[-_]/)[0] === tag);
}

// The voices are asked for only where a button wants one: the phone loads its
// speech for that, and every tap would wait for it.
function offer() {
  const can = {
    '[data-aloud]': () => Boolean(voiceFor(document.documentElement.lang)),
    '[data-share]': () => 'share' in navigator,
    '[data-print]': () => 'print' in window,
  };
  for (const [selector, able] of Object.entries(can)) {
    for (const button of screen.querySelectorAll(selector)) button.hidden = !able();
  }
}

voices?.addEventListener?.('voiceschanged', offer); // they arrive late

// ---- aloud ----

let reading = null; // the button that began it

function read(button) {
  const voice = voiceFor(document.documentElement.lang);
  const parts = [...screen.querySelectorAll(`${button.dataset.aloud} :is([data-say], li)`)].map((e) => e.textContent.trim()).filter(Boolean);
  if (!voice || !parts.length) return;
  reading = button;
  button.setAttribute('aria-pressed', 'true');
  say(voice, parts, 0, button);
}

function say(voice, parts, at, button) {
  if (reading !== button) return;
  const words = new SpeechSynthesisUtterance(parts[at]);
  Object.assign(words, {voice, lang: voice.lang, rate: 0.9});
  words.onend = () => setTimeout(() => say(voice, parts, (at + 1) % parts.length, button), between);
  voices.speak(words);
}

function silence() {
  if (!reading) return;
  reading.setAttribute('aria-pressed', 'false');
  reading = null;
  voices.cancel();
}

// ---- taps ----

screen.addEventListener('click', (e) => {
  const button = e.target.closest('[data-aloud], [data-print], [data-share]');
  if (!button) return;
  e.preventDefault();
  if ('print' in button.dataset) {
    print();
  } else if (button.dataset.share) {
    const text = screen.querySelector(button.dataset.share)?.innerText ?? '';
    navigator.share({title: document.title, text}).catch(() => {}); // the person changed her mind
  } else if (reading === button) {
    silence();
  } else {
    silence();
    read(button);
  }
});
