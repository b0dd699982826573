// Records leave in one file and come back from one. The program makes the file
// and reads it; here its pieces go between the program and the phone.
//
//   data-save="code"   a button that saves a file sealed with that code; its name
//                      is in data-name
//   data-load="id"     a button that reads the file chosen in the field of that
//                      id, with the code typed in the field f-code
//
// copy does what the button is for. say sends one message to the program and
// promises its answer; go shows a page.

const pieceBytes = 48 * 1024; // the core takes requests of 64 KiB at most

export async function copy(button, say, go) {
  try {
    await ('save' in button.dataset ? save() : load());
  } catch (fault) {
    go(`${location.hash.slice(1).split('?')[0]}?fault=${fault.message}`);
  }

  // told is an answer, or the fault that is in it.
  async function told(message) {
    const answer = await say(message);
    if (answer.fault) throw new Error(answer.fault);
    return answer;
  }

  async function save() {
    const parts = [];
    for (let code = button.dataset.save; ; code = '') {
      const {piece, last} = await told({save: code});
      parts.push(piece);
      if (last) break;
    }
    const name = `${button.dataset.name}-${new Date().toISOString().slice(0, 10)}.records`;
    const given = await handOut(new File(parts, name, {type: 'application/octet-stream'}));
    document.getElementById('saved')?.toggleAttribute('hidden', !given);
  }

  async function load() {
    const file = document.getElementById(button.dataset.load).files[0];
    if (!file) throw new Error('file_missing');
    const progress = document.getElementById('loading');
    progress.hidden = false;
    await told({load: document.getElementById('f-code').value || '-'});
    for (let at = 0; at < file.size; at += pieceBytes) {
      const piece = new Uint8Array(await file.slice(at, at + pieceBytes).arrayBuffer());
      await told({load: '', at, piece});
      progress.value = Math.min(1, (at + pieceBytes) / file.size);
    }
    await told({load: ''});
    go('/records/restored');
  }
}

// handOut gives a file to the phone: to another app where the phone asks which,
// or into the folder of downloads.
async function handOut(file) {
  if (matchMedia('(pointer: coarse)').matches && navigator.canShare?.({files: [file]})) {
    try {
      await navigator.share({files: [file]});
      return true;
    } catch (e) {
      if (e.name === 'AbortError') return false; // she chose none
    }
  }
  const link = document.createElement('a');
  link.href = URL.createObjectURL(file);
  link.download = file.name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
  return true;
}
