// Starts the review server on a free port and opens pages of the web program in Chromium with software rendering.
import { spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { chromium } from 'playwright-core';

export const root = join(dirname(fileURLToPath(import.meta.url)), '..', '..');
export const program = process.env.INTERCUSP_PROGRAM ?? join(root, 'build/native/native/intercusp');
export const site = process.env.INTERCUSP_SITE ?? join(root, 'build/web/site');

const browserArguments = ['--use-angle=swiftshader', '--enable-unsafe-swiftshader', '--ignore-gpu-blocklist',
  '--disable-background-networking', '--disable-component-update', '--disable-sync',
  ...(process.getuid?.() === 0 ? ['--no-sandbox'] : [])];

/** Starts `intercusp serve`, on a free port unless one is named, and gives its address and a way to stop it. */
export async function startServer(...extra) {
  for (const needed of [program, site]) if (!existsSync(needed)) throw new Error(`${needed} is missing: build it first`);
  const port = extra.includes('--port') ? [] : ['--port', '0'];
  const child = spawn(program, ['serve', ...port, '--site', site, ...extra], { stdio: ['ignore', 'pipe', 'inherit'] });
  const address = await new Promise((resolve, reject) => {
    let said = '';
    child.stdout.on('data', (data) => {
      said += data;
      const found = /http:\/\/\S+/.exec(said);
      if (found) resolve(found[0]);
    });
    child.on('exit', (code) => reject(new Error(`serve ended with ${code}`)));
  });
  const ended = new Promise((resolve) => child.on('exit', resolve));
  return { address, port: Number(new URL(address).port), child, ended, stop: () => { child.kill('SIGTERM'); return ended; } };
}

let browser;
export async function startBrowser() {
  browser ??= await chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: browserArguments });
  return browser;
}

/** The smallest window in which the panels stand beside the view; software draws every one of its pixels. */
const smallLaptop = { width: 1100, height: 640 };
/** For what needs the whole column of controls at once. */
export const laptop = { viewport: { width: 1366, height: 768 } };

const contexts = new Set();

/** Closes what a test that failed left open, so that it draws no more. */
export async function closeContexts() {
  for (const context of contexts) await context.close().catch(() => {});
  contexts.clear();
}

export async function stopBrowser() {
  await browser?.close();
  browser = kept = undefined;
}

let drawsUnasked = true;

/** From here on contexts draw only where they are asked to: software draws, which takes half the time of a test, and most tests
    look at no pixel. The program makes its frames all the same; what it hands to WebGL to be drawn is dropped. */
export function drawWhereAsked() { drawsUnasked = false; }

function dropDrawing() {
  for (const draw of ['clear', 'drawArrays', 'drawElements', 'blitFramebuffer']) WebGL2RenderingContext.prototype[draw] = () => {};
}

/** A fresh browser profile, of a person who wants no transitions; what the page writes to the console as an error, and what it
    requests, is collected. `drawn`: for a test that looks at pixels, of which there is half a device pixel a pixel unless
    `deviceScaleFactor` says otherwise. */
export async function freshContext({ drawn = drawsUnasked, ...options } = {}) {
  const context = await (await startBrowser()).newContext({ viewport: smallLaptop, deviceScaleFactor: 0.5, acceptDownloads: true, reducedMotion: 'reduce', ...options });
  contexts.add(context);
  if (!drawn) await context.addInitScript(dropDrawing);
  context.setDefaultTimeout(120000);
  context.errors = [];
  context.requests = [];
  // Asked for with the page and not only with the key that opens the chooser: the key can be there before it, and then the
  // browser cancels the chooser, because nobody sees one here.
  context.on('page', (page) => page.on('filechooser', () => {}));
  context.on('request', (request) => context.requests.push(request.url()));
  context.on('weberror', (error) => context.errors.push(String(error.error())));
  context.on('console', (message) => { if (message.type() === 'error') context.errors.push(message.text()); });
  return context;
}

let kept;

/** The page that tests of one name share, each putting into it what it needs: opening takes most of the time of a short test. */
export async function keptPage(name, address, options = {}) {
  if (kept?.name === name && !kept.page.isClosed()) return kept.page;
  await kept?.context.close();
  kept = undefined;
  const context = await freshContext(options);
  contexts.delete(context);
  const page = await openPage(context, address);
  await settled(page);
  kept = { name, context, page };
  return page;
}

/** Opens the program in a page and waits until it can be used. */
export async function openPage(context, address) {
  const page = await context.newPage();
  await page.goto(address);
  await ready(page);
  return page;
}

export async function ready(page) {
  await page.waitForFunction(() => window.intercusp?.ready);
  await page.evaluate(() => window.intercusp.ready.then(() => true));
}

/** Waits until the program has nothing more to keep or to draw; a message on screen fades by itself and is not waited for. */
export async function settled(page) {
  await page.waitForFunction((began) => {
    const { idle, writing, frames } = window.intercusp.page();
    const quiet = idle || (frames > began + 8 && window.intercusp.state().messages.length > 0);
    return quiet && !writing;
  }, (await pageState(page)).frames, { polling: 50 });
}

export const state = (page) => page.evaluate(() => window.intercusp.state());
export const measures = (page) => page.evaluate(() => window.intercusp.measures());
export const contact = (page) => page.evaluate(() => window.intercusp.contact());
export const pageState = (page) => page.evaluate(() => window.intercusp.page());

/** The bytes of the case as it is saved; as text on their way out of the page, where a list of numbers takes many times as long. */
export async function savedCase(page) {
  const base64 = await page.evaluate(() => new Promise((resolve) => {
    const reader = new FileReader();
    reader.onload = () => resolve(reader.result.split(',')[1]);
    reader.readAsDataURL(new Blob([window.intercusp.save()]));
  }));
  return Buffer.from(base64, 'base64');
}

/** Runs a command as the panels do, and lets its picture come. */
export async function act(page, name, args = {}) {
  const value = await page.evaluate(([n, a]) => window.intercusp.act(n, a), [name, args]);
  await settled(page);
  return value;
}

/** Drops files (name and bytes) on the view, as from a file manager. */
export async function dropFiles(page, files) {
  const list = files.map(({ name, bytes }) => ({ name, base64: Buffer.from(bytes).toString('base64') }));
  await page.evaluate((dropped) => {
    const transfer = new DataTransfer();
    for (const { name, base64 } of dropped) {
      transfer.items.add(new File([Uint8Array.from(atob(base64), (c) => c.charCodeAt(0))], name));
    }
    document.getElementById('view').dispatchEvent(new DragEvent('drop', { bubbles: true, cancelable: true, dataTransfer: transfer }));
  }, list);
}
