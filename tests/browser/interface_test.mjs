// window.intercusp: every command is documented, and every documented command exists.
import assert from 'node:assert/strict';
import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { test } from 'node:test';
import { act, keptPage, root } from './page.mjs';
import { sharedServer } from './served.mjs';

function documented() {
  const text = readFileSync(join(root, 'docs/page-interface.md'), 'utf8').split('\n## Commands\n')[1];
  return [...text.matchAll(/^\| `([a-z_]+)` \|/gm)].map((match) => match[1]);
}

function written() {
  const folder = join(root, 'core/app/work');
  const sources = readdirSync(folder).filter((name) => name.endsWith('_commands.cpp')).map((name) => readFileSync(join(folder, name), 'utf8'));
  return sources.flatMap((text) => [...text.matchAll(/\bt\["([a-z_]+)"\]/g)].map((match) => match[1]));
}

test('interface: a script opens, moves, reads and saves', async () => {
  const page = await keptPage('interface', (await sharedServer()).address);
  const result = await page.evaluate(async () => {
    const intercusp = await window.intercusp.ready;
    intercusp.act('open_sample', { name: 'class1', triangles: 20000 });
    intercusp.act('set_movement', { segment: 'upper', forward: 2 });
    const saved = intercusp.save();
    intercusp.act('open_sample', { name: 'class3', triangles: 20000 });
    intercusp.open(saved, 'again.glb');
    return { entries: intercusp.state().entries, pairs: intercusp.contact().pairs.length, overjet: intercusp.measures().measures.find((m) => m.id === 'overjet').value };
  });
  assert.equal(result.entries[0].forward_mm, 2);
  assert.equal(result.pairs, 1);
  assert.ok(Number.isFinite(result.overjet));
});

test('interface: the list of commands in the documentation is complete', async () => {
  assert.ok(written().length > 20);
  assert.deepEqual(documented().sort(), written().sort());
  const page = await keptPage('interface', (await sharedServer()).address);
  await assert.rejects(act(page, 'no_such_command'), /no command/);
  // What takes long is asked for what it refuses: only whether the command exists is looked at.
  const refused = { plan: 'none', segment: 'none', opening_mm: -5 };
  for (const name of documented()) {
    const answer = await page.evaluate(([n, args]) => { try { window.intercusp.act(n, args); return ''; } catch (e) { return e.message; } },
      [name, refused]);
    assert.doesNotMatch(answer, /there is no command/, name);
  }
});
