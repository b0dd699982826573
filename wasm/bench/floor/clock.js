// Put before a worker's own text: it times the worker by the worker's own
// clock, which begins when the worker is made, and adds what it saw to every
// answer with a screen.
{
  const marks = {};      // what had happened by when
  let came = 0;          // when the message came that is being answered
  let appended = 0;      // bytes written to private files since the last answer
  let files = 0;         // milliseconds spent in private files since then
  let asked = '';
  let opened = 0;        // private files
  const mark = (name) => marks[name] ??= performance.now();

  mark('script');
  addEventListener('message', ({data}) => {
    came = performance.now();
    asked = `${data.method} ${data.path}`;
  });

  const load = self.importScripts;
  self.importScripts = (...names) => {
    load.apply(self, names);
    mark('loader');
  };

  const instantiate = WebAssembly.instantiateStreaming;
  WebAssembly.instantiateStreaming = async (...args) => {
    const program = await instantiate.apply(WebAssembly, args);
    mark('compiled');
    return program;
  };

  const root = StorageManager.prototype.getDirectory;
  StorageManager.prototype.getDirectory = function () {
    mark('folder asked for');
    return root.call(this);
  };

  const open = FileSystemFileHandle.prototype.createSyncAccessHandle;
  FileSystemFileHandle.prototype.createSyncAccessHandle = async function (...args) {
    const handle = await open.apply(this, args);
    mark(`file ${++opened} open`);
    return handle;
  };

  for (const name of ['read', 'write', 'flush', 'getSize']) {
    const call = FileSystemSyncAccessHandle.prototype[name];
    FileSystemSyncAccessHandle.prototype[name] = function (...args) {
      const began = performance.now();
      const n = call.apply(this, args);
      files += performance.now() - began;
      if (name === 'write') appended += n;
      return n;
    };
  }

  const post = self.postMessage;
  self.postMessage = (message) => {
    if (message.ready) mark('ready');
    if (message.main) {
      const now = performance.now();
      message = {...message, bench: {since: now, took: now - came, files, marks, asked, appended}};
      appended = files = 0;
    }
    post.call(self, message);
  };
}
