// Makes the pictures of docs/samples.md, every sample in the five views of the record, light and dark:
//   node tests/browser/sample_pictures.mjs docs/pictures/samples
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { act, freshContext, openPage, settled, startServer, state, stopBrowser } from './page.mjs';

const folder = process.argv[2] ?? 'build/shots/samples';
const samples = ['class1', 'class2_div1', 'class2_div2', 'class3', 'open_bite', 'crossbite', 'class3_prepared'];

/** What holds all views, in CSS pixels: at a device scale of 1 the program's own. */
function around(views) {
  const left = Math.min(...views.map((v) => v.rect[0])), top = Math.min(...views.map((v) => v.rect[1]));
  const right = Math.max(...views.map((v) => v.rect[0] + v.rect[2])), bottom = Math.max(...views.map((v) => v.rect[1] + v.rect[3]));
  return { x: left, y: top, width: right - left, height: bottom - top };
}

mkdirSync(folder, { recursive: true });
const server = await startServer();
for (const colorScheme of ['light', 'dark']) {
  const context = await freshContext({ colorScheme, viewport: { width: 1920, height: 1080 } });
  const page = await openPage(context, server.address);
  await act(page, 'guide', { on: false });
  await act(page, 'stop', { name: 'bite' });  // here nothing stands on the model
  for (const name of samples) {
    await act(page, 'open_sample', { name, triangles: 100000 });
    await act(page, 'layout', { name: 'record' });
    await settled(page);
    await page.screenshot({ path: join(folder, `${name}-${colorScheme}.jpg`), type: 'jpeg', quality: 75,
      clip: around((await state(page)).views) });
  }
  if (context.errors.length) console.error(colorScheme, context.errors);
  await context.close();
}
await stopBrowser();
await server.stop();
