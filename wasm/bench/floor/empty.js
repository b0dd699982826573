// Runs the empty Go program to its end and sends one screen.
importScripts('{{wasm_exec.js}}');
const go = new Go();
WebAssembly.instantiateStreaming(fetch('{{empty.wasm}}'), go.importObject)
  .then(({instance}) => go.run(instance))
  .then(() => postMessage({main: '<main><h1>Empty</h1><p><a href="#/">Start</a></p></main>'}));
