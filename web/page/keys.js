// Keyboard: keys with the desktop build's codes, text through a hidden field when a text field is in use.
const named = { Escape: 256, Enter: 257, Tab: 258, Backspace: 259, Insert: 260, Delete: 261, ArrowRight: 262, ArrowLeft: 263,
  ArrowDown: 264, ArrowUp: 265, PageUp: 266, PageDown: 267, Home: 268, End: 269, Shift: 340, Control: 341, Alt: 342, Meta: 343,
  '?': 47 };
const onMac = /Mac|iP(hone|ad|od)/.test(navigator.platform);
const entry = document.getElementById('text-entry');
const view = document.getElementById('view');

export function keyCode(event) {
  if (event.code === 'NumpadEnter') return 335;
  if (named[event.key]) return named[event.key];
  const functionKey = /^F([1-9]|1[0-2])$/.exec(event.key);
  if (functionKey) return 289 + Number(functionKey[1]);
  if (/^[a-z0-9 ',\-./;=[\\\]`]$/i.test(event.key)) return event.key.toUpperCase().charCodeAt(0);
  // Other layouts: by the place of the key.
  const placed = /^(?:Key|Digit)([A-Z0-9])$/.exec(event.code);
  return placed ? placed[1].charCodeAt(0) : -1;
}

/** On a Mac the command key does what Ctrl does elsewhere. */
function modifiers(event) {
  const ctrl = event.ctrlKey || (onMac && event.metaKey);
  return (event.shiftKey ? 1 : 0) | (ctrl ? 2 : 0) | (event.altKey ? 4 : 0) | (event.metaKey && !onMac ? 8 : 0);
}

/** Keys that belong to the browser: reload, full screen, developer tools, address, tabs, zoom. */
export function belongsToBrowser(event) {
  if (['F5', 'F11', 'F12'].includes(event.key)) return true;
  const ctrl = event.ctrlKey || event.metaKey;
  return ctrl && !event.altKey && ['l', 't', 'w', 'r', 'n', '+', '-', '=', '0'].includes(event.key.toLowerCase());
}

const isClipboardKey = (event) => (event.ctrlKey || event.metaKey) && !event.altKey && /^[cxv]$/i.test(event.key);

export function watchKeys(canvas, program, frames) {
  const onKey = (event, down) => {
    if (belongsToBrowser(event) || event.isComposing) return;
    if (leavesPage(event) && !program.call('ic_tab_goes_back')) return;
    if (down && isClipboardKey(event)) return;  // the copy, cut or paste event follows (clipboard.js)
    pressed(event, down, program);
    frames.ask();
  };
  for (const target of [canvas, entry]) {
    target.addEventListener('keydown', (event) => onKey(event, true));
    target.addEventListener('keyup', (event) => onKey(event, false));
  }
  watchTextEntry(program, frames);
  const releaseAll = () => {
    program.call('ic_release_all');
    frames.ask();
  };
  addEventListener('blur', releaseAll);
  document.addEventListener('visibilitychange', () => { if (document.hidden) releaseAll(); });
}

function pressed(event, down, program) {
  const code = keyCode(event);
  if (code >= 0 && !(down && event.repeat && event.key.length === 1)) program.call('ic_key', code, down ? 1 : 0, modifiers(event));
  // Else letting Alt go opens the menus of some browsers, and the page moves under the hand.
  if (event.key === 'Alt') event.preventDefault();
  // A Mac sends no key-up for keys held together with the command key.
  if (!down && event.key === 'Meta') program.call('ic_release_all');
  if (!down) return;
  const writes = [...event.key].length === 1 && !event.metaKey && (!event.ctrlKey || event.getModifierState('AltGraph'));
  if (writes && document.activeElement === entry) return;  // arrives as an input event of the hidden field
  if (writes) program.callWith('ic_text', [event.key], false);
  if (event.key !== 'Unidentified' && event.key !== 'Dead' && event.key !== 'Process') event.preventDefault();
}

/** Tab moves within the program, Shift+Tab back; from the first control it leaves the view for the page's link, so that the
    keyboard is never caught. */
const leavesPage = (event) => event.key === 'Tab' && event.shiftKey && document.activeElement === view;

function watchTextEntry(program, frames) {
  // The field always holds one letter, so that on-screen keyboards offer a backspace.
  const reset = () => { entry.value = '\u00b7'; entry.setSelectionRange(1, 1); };
  entry.addEventListener('focus', reset);
  entry.addEventListener('beforeinput', (event) => {
    if (!event.inputType.startsWith('delete')) return;
    event.preventDefault();
    const code = event.inputType.endsWith('Forward') ? named.Delete : named.Backspace;
    program.call('ic_key', code, 1, 0);
    program.call('ic_key', code, 0, 0);
    frames.ask();
  });
  const take = (event) => {
    if (event.isComposing) return;
    const written = entry.value.replace('\u00b7', '');
    if (written) program.callWith('ic_text', [written], false);
    reset();
    frames.ask();
  };
  entry.addEventListener('input', take);
  entry.addEventListener('compositionend', take);
}

/** Moves the focus into the hidden field while a text field of the program is in use, and back afterwards. */
export function followTextField(wanted) {
  if (wanted && document.activeElement === view) entry.focus({ preventScroll: true });
  else if (!wanted && document.activeElement === entry) view.focus({ preventScroll: true });
}
