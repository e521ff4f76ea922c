// Copy, cut and paste by the browser's own events: only these may read and write the clipboard without asking.
const keyOf = { copy: 'C', cut: 'X', paste: 'V' };
const ctrl = 2;

function pressWithCtrl(letter, program, frames) {
  const code = letter.charCodeAt(0);
  program.call('ic_key', code, 1, ctrl);
  program.call('ic_barrier');
  program.call('ic_key', code, 0, 0);
  frames.draw();
  frames.draw();
}

export function watchClipboard(program, frames, host) {
  document.addEventListener('paste', (event) => {
    const text = event.clipboardData?.getData('text/plain');
    if (!text) return;
    event.preventDefault();
    program.callWith('ic_clipboard', [text], false);
    pressWithCtrl(keyOf.paste, program, frames);
  });
  for (const kind of ['copy', 'cut']) {
    document.addEventListener(kind, (event) => {
      event.preventDefault();
      host.copying = event;  // the program answers through Host::set_clipboard, within this event
      pressWithCtrl(keyOf[kind], program, frames);
      host.copying = null;
    });
  }
}
