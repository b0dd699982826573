// Put into a page before its own scripts: it notes when each answer that the
// worker sent has been painted, and when the tap before it was made.
window.bench = {answers: [], tapped: 0, sent: 0};
addEventListener('click', (e) => {
  if (e.isTrusted) bench.tapped = e.timeStamp;
}, true);
window.Worker = class extends Worker {
  constructor(...args) {
    super(...args);
    // First in line: the page's own listener shows the answer in this same task.
    this.addEventListener('message', ({data}) => {
      if (!data.bench) return;
      const times = {tapped: bench.tapped, sent: bench.sent, came: performance.now()};
      painted(times).then(() => bench.answers.push({...data, page: times}));
    });
  }
  postMessage(message) {
    bench.sent = performance.now();
    super.postMessage(message);
  }
};

// painted waits for the next frame to be laid out and painted: a frame's
// callbacks come before that in the same task, so the task after it comes later.
function painted(times) {
  return new Promise((done) => requestAnimationFrame(() => {
    times.frame = performance.now();
    const next = new MessageChannel();
    next.port1.onmessage = () => done(times.painted = performance.now());
    next.port2.postMessage(null);
  }));
}
