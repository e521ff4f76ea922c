// Every case file that the program writes passes the Khronos glTF validator without errors or warnings, and an independent
// reader finds the bodies in metres, +Y up, the front of the face towards +Z.
//   usage: node check_case.mjs PATH_OF_INTERCUSP
import assert from 'node:assert/strict';
import {execFileSync} from 'node:child_process';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import {NodeIO, getBounds} from '@gltf-transform/core';
import validator from 'gltf-validator';

const program = path.resolve(process.argv[2]);
const folder = fs.mkdtempSync(path.join(os.tmpdir(), 'intercusp-glb-'));
const run = (...args) => execFileSync(program, args, {encoding: 'utf8', stdio: ['ignore', 'pipe', 'pipe']});
const at = name => path.join(folder, name);

function makeFiles() {
  run('sample', 'class3', '--triangles', '20000', '-o', at('sample.glb'));
  run('sample', 'class1', '--triangles', '20000', '--bone', '-o', at('bone.glb'));
  run('move', at('sample.glb'), '--plan', 'A', '--segment', 'upper', '--forward', '4', '--pitch', '3', '-o', at('moved.glb'));
  for (const body of ['upper_arch', 'lower_arch']) run('export', at('sample.glb'), '--body', body, '-o', at(`${body}.stl`));
  run('export', at('sample.glb'), '--landmarks', '-o', at('landmarks.json'));
  run('new', '--upper', at('upper_arch.stl'), '--lower', at('lower_arch.stl'), '--landmarks', at('landmarks.json'), '-o', at('new.glb'));
  run('new', '--upper', at('upper_arch.stl'), '--lower', at('lower_arch.stl'), '-o', at('bare.glb'));
  run('export', at('sample.glb'), '--body', 'lower_arch', '-o', at('body.glb'));
  return ['sample.glb', 'bone.glb', 'moved.glb', 'new.glb', 'bare.glb', 'body.glb'];
}

async function validate(name) {
  const report = await validator.validateBytes(new Uint8Array(fs.readFileSync(at(name))));
  const {numErrors, numWarnings} = report.issues;
  assert.deepEqual([numErrors, numWarnings], [0, 0], `${name}: ${JSON.stringify(report.issues.messages.slice(0, 5))}`);
  console.log(`${name}: no errors, no warnings`);
}

async function readIndependently() {
  const document = await new NodeIO().readBinary(new Uint8Array(fs.readFileSync(at('sample.glb'))));
  const nodes = Object.fromEntries(document.getRoot().listNodes().map(node => [node.getName(), node]));
  const info = JSON.parse(run('info', at('sample.glb'), '--format', 'json'));
  for (const body of info.bodies) {
    const {min, max} = getBounds(nodes[body.name]);
    const size = max.map((value, k) => (value - min[k]) * 1000);
    const expected = [body.size_mm[0], body.size_mm[2], body.size_mm[1]];  // x, up, depth
    size.forEach((value, k) => assert.ok(Math.abs(value - expected[k]) < 0.01, `${body.name}: ${size} against ${expected}`));
  }
  const middle = name => { const {min, max} = getBounds(nodes[name]); return min.map((value, k) => (value + max[k]) / 2); };
  assert.ok(middle('upper_arch')[1] > middle('lower_arch')[1], 'the upper arch is above the lower one');
  // The incisors stand at the origin of the patient frame and the molars behind them: the arch reaches back, towards -Z.
  assert.ok(middle('upper_arch')[2] < 0, 'the front of the face looks towards +Z');
  console.log('an independent reader finds the bodies in metres, +Y up, front towards +Z');
}

try {
  for (const name of makeFiles()) await validate(name);
  await readIndependently();
} finally {
  fs.rmSync(folder, {recursive: true});
}
