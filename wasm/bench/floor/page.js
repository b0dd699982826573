// The least a page with a worker can be: it starts the worker, shows what the
// worker sends, and registers the service worker.
const worker = new Worker('{{worker.js}}');
worker.onmessage = ({data}) => document.getElementById('screen').innerHTML = data.main;
navigator.serviceWorker.register('sw.js');
