// Firefox in a window under Xvfb, since without a window it has no WebGL 2 on a machine without a graphics card, driven over
// WebDriver BiDi. Its pages answer the few calls that the hands of tests/browser make, so that the same hands serve here.
import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import puppeteer from 'puppeteer-core';
import { ready, settled } from '../browser/page.mjs';

const program = process.env.FIREFOX ?? '/usr/bin/firefox-esr';
const patience = 120000;  // ms
const screen = '1600x1400x24';
/** A laptop of 1366 x 768 once the browser's own bars are off. */
const laptop = ['--width', '1366', '--height', '853'];

/** The Enter beside the letters: by that name the driver presses the one of the keypad. */
const drivers = { Enter: '\uE006' };

const preferences = (downloads) => ({
  'browser.download.dir': downloads,
  'browser.download.folderList': 2,
  'browser.download.alwaysOpenPanel': false,
  'browser.download.open_pdf_attachments_inline': false,
  'pdfjs.disabled': true,
  'dom.disable_open_during_load': true,  // what needs a person's hand needs it here too; the driver's own profile lets all through
  'dom.w3c_touch_events.enabled': 1,  // fingers also where the machine has no touch screen
  'ui.prefersReducedMotion': 1,
});

async function startDisplay() {
  const server = spawn('Xvfb', ['-noreset', '-displayfd', '3', '-screen', '0', screen], { stdio: ['ignore', 'ignore', 'ignore', 'pipe'] });
  const number = await new Promise((resolve, reject) => {
    server.stdio[3].once('data', (data) => resolve(String(data).trim()));
    server.once('error', () => reject(new Error('Xvfb is missing: apt-get install xvfb')));
    server.once('exit', () => reject(new Error('Xvfb did not start')));
  });
  process.once('exit', () => server.kill());  // also where a run is ended in the middle
  return { name: `:${number}`, stop: () => new Promise((gone) => { server.once('exit', gone); server.kill(); }) };
}

async function startFirefox() {
  if (!existsSync(program)) throw new Error(`${program} is missing: apt-get install firefox-esr`);
  const downloads = mkdtempSync(join(tmpdir(), 'intercusp-downloads-'));
  const display = await startDisplay();
  const browser = await puppeteer.launch({
    browser: 'firefox', executablePath: program, headless: false, defaultViewport: null, args: laptop,
    env: { ...process.env, DISPLAY: display.name, LIBGL_ALWAYS_SOFTWARE: '1', MOZ_ENABLE_WAYLAND: '0' },
    extraPrefsFirefox: preferences(downloads),
  });
  const stop = async () => {
    await browser.close();
    await display.stop();
    rmSync(downloads, { recursive: true, force: true });
  };
  return { browser, downloads, stop };
}

let running;
const windows = new Set();

export async function stopFirefox() {
  await (await running)?.stop();
  running = undefined;
}

/** Closes the windows of a test, forgets what they handed out, and gives what went wrong in them. */
export async function closeWindows() {
  const errors = [...windows].flatMap((window) => window.errors);
  for (const window of windows) await window.close().catch(() => {});
  windows.clear();
  const { downloads } = (await running) ?? {};
  if (downloads) for (const name of readdirSync(downloads)) rmSync(join(downloads, name));
  return errors;
}

/** Opens an address in a window of a person of its own (storage, keys and all), and waits until the program can be used. */
export async function openWindow(address) {
  running ??= startFirefox();
  const { browser, downloads } = await running;
  const context = await browser.createBrowserContext();
  const window = new WindowPage(await context.newPage({ type: 'window' }), downloads, () => context.close());
  windows.add(window);
  await window.goto(address);
  await ready(window);
  await settled(window);
  return window;
}

/** A page of Firefox, as the hands of tests/browser take one. */
class WindowPage {
  constructor(page, downloads, close) {
    Object.assign(this, { page, downloads, close, errors: [], mouse: page.mouse, touchscreen: page.touchscreen });
    page.setDefaultTimeout(patience);
    page.on('pageerror', (error) => this.errors.push(String(error)));
    page.on('console', (message) => { if (message.type() === 'error') this.errors.push(message.text()); });
    this.keyboard = { type: (text) => page.keyboard.type(text), press: (keys) => this.press(keys) };
  }

  goto(address) { return this.page.goto(address); }

  evaluate(does, argument) { return this.page.evaluate(does, argument); }

  waitForFunction(holds, argument, { polling = 50, timeout = patience } = {}) {
    return this.page.waitForFunction(holds, { polling, timeout }, argument);
  }

  /** A tablet of this size. */
  async held(width, height) {
    await this.page.setViewport({ width, height });
    await settled(this);
  }

  async screenshot(options) { return Buffer.from(await this.page.screenshot(options)); }

  /** Keys held together, such as Control+Shift+Z. */
  async press(keys) {
    const held = keys.split('+'), last = held.pop();
    for (const key of held) await this.page.keyboard.down(key);
    await this.page.keyboard.press(drivers[last] ?? last);
    for (const key of held.reverse()) await this.page.keyboard.up(key);
  }

  /** Gives the files to the chooser that what is done opens. */
  async choose(paths, does) {
    const [chooser] = await Promise.all([this.page.waitForFileChooser(), does()]);
    await chooser.accept(paths);
    await settled(this);
  }

  /** The files that what is done hands out, by the endings of their names. */
  async download(endings, does) {
    await does();
    return Promise.all(endings.map((ending) => this.downloaded(ending)));
  }

  async downloaded(ending) {
    for (const end = Date.now() + patience; Date.now() < end; await pause(50)) {
      const names = readdirSync(this.downloads), name = names.find((one) => one.endsWith(ending));
      if (!name || names.some((one) => one.endsWith('.part'))) continue;
      const path = join(this.downloads, name), bytes = readFileSync(path);
      if (bytes.length === 0) continue;  // the place that Firefox keeps for it
      rmSync(path);
      return { name, bytes };
    }
    throw new Error(`no file *${ending} came: ${readdirSync(this.downloads)}`);
  }
}
