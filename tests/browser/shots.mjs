// Makes the set of pictures by which the looks are judged: node tests/browser/shots.mjs FOLDER
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { act, freshContext, openPage, settled, startServer, stopBrowser } from './page.mjs';

const folder = process.argv[2] ?? 'build/shots';
const sizes = [['laptop', { width: 1366, height: 768 }, 1, false], ['large', { width: 1920, height: 1080 }, 2, false],
  ['tablet', { width: 820, height: 1180 }, 2, true]];
const scenes = [
  ['first', []],
  ['records', [['stop', { name: 'records' }]]],
  ['bite', [['stop', { name: 'bite' }], ['explain', { id: 'overjet' }]]],
  ['moved', [['stop', { name: 'movement' }], ['set_movement', { segment: 'upper', forward: 5, up: 1.5, pitch: 2 }]]],
  ['clearance', [['set_movement', { segment: 'lower', up: 1.5 }], ['stop', { name: 'clearance' }], ['contact_map', { on: true }]]],
  ['record', [['contact_map', { on: false }], ['stop', { name: 'bite' }], ['layout', { name: 'record' }]]],
  ['four', [['layout', { name: 'four' }]]],
  ['section', [['layout', { name: 'one' }], ['section', { on: true, axis: 'frontal' }]]],
  ['target', [['section', { on: false }], ['stop', { name: 'target' }]]],
  ['splint', [['stop', { name: 'splint' }]]],
  ['sheet', [['stop', { name: 'sheet' }]]],
  ['plans', [['new_plan'], ['set_movement', { segment: 'upper', forward: 3, left: -1 }], ['stop', { name: 'agree' }],
    ['plans_beside', { second: 'A' }]]],
  ['agree', [['back']]],
  ['zones', [['stop', { name: 'movement' }], ['view', { name: 'front' }], ['paint_zone', { on: true, brush_mm: 4 }]], paint],
  ['cuts', [['paint_zone', { on: false }], ['open_sample', { name: 'class2_div1', bone: true }], ['stop', { name: 'cuts' }],
    ['cut', { kind: 'split_right' }], ['cut', { kind: 'lefort1' }], ['view', { name: 'right' }]]],
  ['practice', [['practice', { kinds: ['overjet'], seed: 3 }], ['practice_answer', { text: '5' }]]],
];

/** Draws the brush over three crowns. */
async function paint(page) {
  for (const tooth of [11, 12, 13]) {
    const { x, y } = await act(page, 'project', { landmark: `${tooth}.labial_mid` });
    await page.mouse.move(x - 6, y);
    await page.mouse.down();
    await page.mouse.move(x + 6, y + 4, { steps: 4 });
    await page.mouse.up();
  }
}

mkdirSync(folder, { recursive: true });
const server = await startServer();
for (const [size, viewport, deviceScaleFactor, touch] of sizes) {
  for (const theme of ['light', 'dark']) {
    const context = await freshContext({ viewport, deviceScaleFactor, hasTouch: touch, colorScheme: theme });
    const page = await openPage(context, server.address);
    await settled(page);
    for (const [scene, commands, hand] of scenes) {
      for (const [name, args] of commands) await act(page, name, args);
      if (hand) await hand(page);
      await settled(page);
      await page.screenshot({ path: join(folder, `${size}-${theme}-${scene}.png`) });
    }
    if (context.errors.length) console.error(size, theme, context.errors);
    await context.close();
  }
}
await stopBrowser();
await server.stop();
