// Answers taps as the Go program answered them, without thinking: each answer
// was recorded. Where the program appended an event, this appends as many
// bytes to a private file and flushes before it answers.
let answers;
let file;
let end = 0;

async function begin() {
  answers = await (await fetch('{{answers.json}}')).json();
  const root = await navigator.storage.getDirectory();
  const handle = await root.getFileHandle('floor', {create: true});
  file = await handle.createSyncAccessHandle();
  file.truncate(0);
  postMessage({ready: answers.version});
}

onmessage = ({data}) => {
  const {asked, appended, reply} = answers.list.shift() ?? {};
  const now = `${data.method} ${data.path}`;
  if (now !== asked) return postMessage({failed: `asked ${now}, recorded ${asked}`});
  if (appended) {
    end += file.write(new Uint8Array(appended), {at: end});
    file.flush();
  }
  postMessage({...reply, id: data.id});
};

begin().catch((e) => postMessage({failed: String(e)}));
