// Brings in new versions. A new version is fetched whole and then waits; it
// takes over only while no birth is open and nothing is half typed, or by a tap
// where nobody can know, and then this page is loaded once more, on the same
// screen.
//
//   data-update      is shown while a new version waits
//   data-take-over   a button that brings it in

// updates begins to look for new versions. mayTakeOver says whether a new
// version may take over for all pages of the app, mayReload whether this page
// may be loaded again. What it gives back: look, to be called whenever either
// may have changed, and reload.
export function updates({mayTakeOver, mayReload}) {
  const workers = navigator.serviceWorker; // undefined at a plain address on a local network
  let registration = null;
  let due = false; // a new version has taken over: this page is of the old one

  function look() {
    if (due && mayReload()) location.reload();
    const waits = workers?.controller && registration?.waiting;
    if (waits && mayTakeOver()) takeOver();
    const offer = document.querySelector('[data-update]');
    if (offer) offer.hidden = !waits;
  }

  const takeOver = () => registration?.waiting?.postMessage('take over');

  addEventListener('click', (e) => e.target.closest('[data-take-over]') && takeOver());

  async function begin() {
    // The first version takes over a page of its own version: nothing is due.
    let had = Boolean(workers.controller);
    workers.addEventListener('controllerchange', () => {
      due = had;
      had = true;
      look();
    });
    registration = await workers.register('sw.js', {updateViaCache: 'none'});
    registration.addEventListener('updatefound', () => {
      registration.installing?.addEventListener('statechange', look);
    });
    document.addEventListener('visibilitychange', () => {
      if (!document.hidden) registration.update().catch(() => {}); // no connection: another time
    });
    look();
  }

  // reload asks for a new version first: the way out when the parts of this
  // one do not fit each other.
  async function reload() {
    await registration?.update().catch(() => {});
    location.reload();
  }

  if (workers) begin().catch(() => {}); // refused in some private windows: the app works, but not offline
  return {look, reload};
}
