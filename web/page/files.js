// Files in by button or drop, straight into the program's memory; files out as downloads.
import { notice } from './notice.js';

export function watchFiles(program, frames) {
  const picker = document.getElementById('file-picker');
  picker.addEventListener('change', async () => {
    await openFiles([...picker.files], program, frames);
    picker.value = '';
  });
  addEventListener('dragover', (event) => {
    event.preventDefault();
    if (event.dataTransfer) event.dataTransfer.dropEffect = 'copy';
  });
  addEventListener('drop', async (event) => {
    event.preventDefault();
    await openFiles([...(event.dataTransfer?.files ?? [])], program, frames);
  });
}

/** Opens files one after another: cases first, then scans, then landmarks, which need the scans to be there. */
async function openFiles(files, program, frames) {
  const rank = (file) => (/\.glb$/i.test(file.name) ? 0 : /\.json$/i.test(file.name) ? 2 : 1);
  for (const file of files.map((f, i) => [rank(f), i, f]).sort((a, b) => a[0] - b[0] || a[1] - b[1]).map((e) => e[2])) {
    // What is wrong with a file the program says itself; here only what kept the file from reaching it.
    await openFile(file, program).catch((error) => notice(`${file.name}: ${error.message}`));
    frames.ask();
  }
}

/** Streams a file into the program's memory, so that it is never held twice. */
async function openFile(file, program) {
  const at = program.allocate(file.size);
  let filled = 0;
  const reader = file.stream().getReader();
  for (let piece = await reader.read(); !piece.done; piece = await reader.read()) {
    if (filled + piece.value.length > file.size) throw new Error('The file changed while it was read. Open it again.');
    program.module.HEAPU8.set(piece.value, at + filled);
    filled += piece.value.length;
  }
  return program.openPlaced(file.name, at, filled);
}

export function download(name, type, bytes) {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(new Blob([bytes], { type }));
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
}
