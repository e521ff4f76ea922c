// Files in by button or drop, to the errands that read them; files out as downloads.
import { notice } from './notice.js';

export function watchFiles(program, frames, errands) {
  const picker = document.getElementById('file-picker');
  picker.addEventListener('change', () => {
    openFiles([...picker.files], program, frames, errands);
    picker.value = '';
  });
  addEventListener('dragover', (event) => {
    event.preventDefault();
    if (event.dataTransfer) event.dataTransfer.dropEffect = 'copy';
  });
  addEventListener('drop', (event) => {
    event.preventDefault();
    openFiles([...(event.dataTransfer?.files ?? [])], program, frames, errands);
  });
}

// What the page's memory can hold of one scan with all that is derived from it: some 8 million triangles.
const mostBytes = 400e6;
const megabytes = (bytes) => `${Math.round(bytes / 1e6)} MB`;

/** Opens files in turn: cases first, then scans, then landmarks, which need the scans to be there. */
function openFiles(files, program, frames, errands) {
  const rank = (file) => (/\.glb$/i.test(file.name) ? 0 : /\.json$/i.test(file.name) ? 2 : 1);
  for (const file of files.map((f, i) => [rank(f), i, f]).sort((a, b) => a[0] - b[0] || a[1] - b[1]).map((e) => e[2])) {
    // What is wrong with a file the program says itself; here only what kept the file from reaching it.
    try {
      openFile(file, program, errands);
    } catch (error) {
      notice(`${file.name}: ${error.message}`);
    }
    frames.ask();
  }
}

/** Hands a file over: the errand that reads it asks for its bytes. */
function openFile(file, program, errands) {
  if (file.size > mostBytes) {
    throw new Error(`The file has ${megabytes(file.size)}; a page in a browser can open files of up to ${megabytes(mostBytes)}. ` +
      'Export the scan with fewer triangles, or open it in the desktop program. The open case stays as it is.');
  }
  const number = errands.hold(file);
  const name = new TextEncoder().encode(file.name);
  const at = program.place(name);
  program.call('ic_open_held', number, at, name.length);
  program.call('ic_free', at);
}

export function download(name, type, bytes) {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(new Blob([bytes], { type }));
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
}
