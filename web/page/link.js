// A case that fits into a link: the part after '#' goes to the program, and never to a server.
import { startOwnWork } from './work.js';

/** Opens the fragment, if there is one. It is then taken off the address: a reload continues the work, not the link. */
export async function takeLink(program) {
  const fragment = location.hash.slice(1);
  if (!fragment) return false;
  const answer = program.callWith('ic_open_fragment', [fragment]);
  history.replaceState(null, '', location.pathname + location.search);
  if (!answer.ok) return false;  // the program says why
  startOwnWork();
  return true;
}

export function watchLink(program, frames) {
  addEventListener('hashchange', async () => {
    await takeLink(program);
    frames.ask();
  });
}
