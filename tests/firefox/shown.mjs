// What stands written on the screen, held against reports of the command line.
import assert from 'node:assert/strict';
import { valueOf } from '../browser/numbers.mjs';
import { state } from '../browser/page.mjs';

const within = ([x, y, w, h], [left, top, width, height]) => left + width / 2 >= x && left + width / 2 < x + w
  && top + height / 2 >= y && top + height / 2 < y + h;

/** The words on a control, from left to right. */
export async function wordsOn(page, id) {
  const { widgets, texts } = await state(page);
  assert.ok(widgets[id], `${id} is on the screen`);
  return texts.filter(({ rect }) => within(widgets[id], rect)).sort((a, b) => a.rect[0] - b.rect[0]).map(({ words }) => words);
}

/** The table of numbers says what was measured, beside it at the start where there is a plan; so does the card. */
export async function assertShown(page, ids, read, start) {
  for (const id of ids) {
    const [said, card] = [await wordsOn(page, `row.${id}`), await wordsOn(page, `card.${id}`)];
    const wanted = [start, read].filter(Boolean).map((report) => Math.abs(valueOf(report, id)).toFixed(2));
    const numbers = said.filter((words) => /^\d+\.\d+$/.test(words));
    assert.deepEqual(numbers.slice(0, wanted.length), wanted, `${id}: ${said}`);
    const { class: relation } = read.measures.find((measure) => measure.id === id);
    if (relation) assert.ok(said.includes(relation) && card.includes(`Class ${relation}`), `${id}: ${said}, on the card ${card}`);
    const onCard = id.startsWith('midline') && wanted.at(-1) === '0.00' ? 'midlines coincident' : `${wanted.at(-1)} mm`;
    assert.ok(card.includes(onCard), `${id}, on the card: ${card}`);
  }
}
