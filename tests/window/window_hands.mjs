// The desktop window under a virtual display: started, moved about in by mouse and keys, looked at, and what it shows read.
import { execFileSync, spawn } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';

const root = join(dirname(fileURLToPath(import.meta.url)), '..', '..');
export const program = process.env.INTERCUSP_PROGRAM ?? join(root, 'build/native/native/intercusp');
export const run = (...args) => execFileSync(program, args, { encoding: 'utf8' });

export async function until(what, check, seconds = 30, every = 200) {
  for (const end = Date.now() + 1000 * seconds; Date.now() < end; await pause(every)) {
    const value = await check();
    if (value) return value;
  }
  throw new Error(`${what} did not come within ${seconds} s`);
}

/** A display of its own, on a number that the server chooses. It keeps its state when its last client goes: one that
    resets itself then may turn away the client that comes at that moment. */
export async function startDisplay(t, dpi = 96) {
  const server = spawn('Xvfb', ['-noreset', '-displayfd', '3', '-screen', '0', '1600x1000x24', '-dpi', String(dpi)], { stdio: ['ignore', 'ignore', 'ignore', 'pipe'] });
  const number = await new Promise((resolve, reject) => {
    server.stdio[3].once('data', (data) => resolve(String(data).trim()));
    server.once('exit', () => reject(new Error('Xvfb did not start')));
  });
  // Waited for: a server that goes takes the socket of its number along, also when the next one has that number by then.
  t.after(() => new Promise((gone) => { server.once('exit', gone); server.kill(); }));
  return `:${number}`;
}

export async function startView(t, display, folder, ...args) {
  const env = { ...process.env, DISPLAY: display, HOME: folder, XDG_STATE_HOME: join(folder, 'state'), XDG_CONFIG_HOME: join(folder, 'config') };
  const child = spawn(program, ['view', ...args], { env, stdio: ['ignore', 'ignore', 'pipe'] });
  let said = '';
  child.stderr.on('data', (data) => { said += data; });
  let gone = false;
  const ended = new Promise((resolve) => child.on('exit', (code) => { gone = true; resolve({ code, said }); }));
  t.after(() => child.kill());
  const hands = (...words) => execFileSync('xdotool', words, { env, encoding: 'utf8' }).trim();
  const picture = (name) => {
    const path = join(folder, name);
    execFileSync('import', ['-window', 'root', path], { env });
    return path;
  };
  await until('the window', () => {
    if (gone) throw new Error(`the program ended before its window came: ${said}`);
    try { return hands('search', '--name', '^Intercusp'); } catch { return ''; }
  });
  return { ended, hands, picture, child };
}

/** To the stop where the arrow keys nudge: its words in the line at the foot of a window of 1366 x 768. */
export function toMovement(hands) {
  hands('mousemove', '410', '737', 'click', '1');
}

export const colours = (path) => Number(execFileSync('identify', ['-format', '%k', path], { encoding: 'utf8' }));

export function folderFor(t) {
  const folder = mkdtempSync(join(tmpdir(), 'intercusp-window-'));
  t.after(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** What a window shows, by the file that it keeps of it, and a hand on its controls. */
export function atControls(hands, shown) {
  const state = () => (existsSync(shown) ? JSON.parse(readFileSync(shown, 'utf8')) : {});
  const showing = (what, check) => until(what, () => { const s = state(); return check(s) ? s : null; });
  const click = async (id) => {
    const { widgets } = await showing(id, (s) => s.widgets?.[id]);
    const [x, y, w, h] = widgets[id];
    hands('mousemove', String(Math.round(x + w / 2)), String(Math.round(y + h / 2)), 'click', '1');
  };
  return { state, showing, click };
}

/** Says in a window who one is. */
export async function introduceAt(who, name, role) {
  await who.click('introduction.name');
  await pause(500);
  who.hands('type', '--delay', '40', name);
  await pause(500);
  await who.click(`introduction.${role}`);
}

/** `intercusp serve` with a store on a port that does not change when it is started again. */
export async function startServer(t, folder, port = 0) {
  const site = join(folder, 'site');
  mkdirSync(site, { recursive: true });
  writeFileSync(join(site, 'index.html'), '<!doctype html><title>Intercusp</title>');
  const child = spawn(program, ['serve', '--port', String(port), '--site', site, '--store', join(folder, 'store')], { stdio: ['ignore', 'pipe', 'ignore'] });
  t.after(() => child.kill());
  const address = await new Promise((resolve) => child.stdout.once('data', (data) => resolve(/http:\/\/\S+/.exec(String(data))[0])));
  const stop = () => new Promise((gone) => { child.once('exit', gone); child.kill(); });
  return { address, port: Number(new URL(address).port), stop };
}
