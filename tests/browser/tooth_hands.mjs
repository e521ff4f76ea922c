// One click a tooth: which teeth give the first reading, where a person would click them, and the click.
import { act, settled } from './page.mjs';

export const upperTeeth = [16, 13, 11, 21, 23, 26];
export const lowerTeeth = [46, 44, 43, 41, 31, 33, 34, 36];

/** Between the exact points of the crown on its chewing side, in the scanner's frame. */
function crown(exact, tooth) {
  const of = Object.keys(exact).filter((name) => name.startsWith(`${tooth}.`) && /cusp|incisal_edge_m/.test(name));
  return [0, 1, 2].map((k) => of.reduce((sum, name) => sum + exact[name][k], 0) / of.length);
}

/** Clicks it in the view of its arch, and waits until its points are placed. */
export async function clickTooth(page, exact, tooth) {
  const [x, y, z] = crown(exact, tooth);
  const at = await act(page, 'project', { x, y, z, frame: 'scanner', view: upperTeeth.includes(tooth) ? 0 : 1 });
  await page.mouse.move(at.x, at.y);
  await settled(page);
  await page.mouse.click(at.x, at.y);
  await page.waitForFunction((prefix) => window.intercusp.state().case.landmarks.some((name) => name.startsWith(prefix)), `${tooth}.`);
  await settled(page);
}
