// People who review a case together in pages of their own.
import { click } from './hands.mjs';
import { act, ready, settled, state } from './page.mjs';

export const review = async (page) => (await state(page)).review;
export const until = (page, what, arg) => page.waitForFunction(what, arg, { polling: 20, timeout: 30000 });
export const forward = async (page) => (await state(page)).entries[0].forward_mm;
export const untilForward = (page, mm) => until(page, (wanted) => window.intercusp.state().entries?.[0]?.forward_mm === wanted, mm);

/** Everything that a page sends, as it goes over the wire. */
export function listen(page, sent) {
  page.on('request', (request) => sent.push(Buffer.from(request.url()), request.postDataBuffer() ?? Buffer.alloc(0)));
  page.on('websocket', (socket) => socket.on('framesent', ({ payload }) => sent.push(Buffer.from(payload))));
}

export async function introduce(page, name, role) {
  await click(page, 'introduction.name');
  await page.keyboard.type(name);
  await settled(page);
  await click(page, `introduction.${role}`);
}

/** Shares a sample with a movement, as R. Falk, orthodontist; gives the review as its state has it. */
export async function shareSample(page) {
  await settled(page);
  await act(page, 'guide', { on: false });
  await act(page, 'open_sample', { name: 'class3', triangles: 20000 });
  await act(page, 'set_movement', { segment: 'upper', forward: 3 });
  await click(page, 'share');
  await introduce(page, 'R. Falk', 'orthodontist');
  await click(page, 'share.review');
  await until(page, () => window.intercusp.state().review?.connection === 'live');
  const shared = await review(page);
  await act(page, 'back');
  return shared;
}

/** Opens a link as somebody who follows it, and says who they are; on a computer that others use, if need be. */
export async function follow(context, link, name, role, sent = [], shared = false) {
  const page = await context.newPage();
  listen(page, sent);
  await page.goto(link);
  await ready(page);
  await settled(page);
  await introduce(page, name, role);
  if (shared) await click(page, 'introduction.shared');
  await click(page, 'join.open');
  await until(page, () => window.intercusp.state().review?.connection === 'live');
  return page;
}

export const small = { viewport: { width: 1100, height: 640 } };

export const sameCase = async (...pages) => {
  const digest = (await review(pages[0])).digest;
  for (const page of pages.slice(1)) await until(page, (wanted) => window.intercusp.state().review.digest === wanted, digest);
};
