// Comparing reports: the same structure, and numbers within a bound.
import assert from 'node:assert/strict';

export const bound = 1e-6;  // mm and degrees, between the page and the command line

export function assertClose(actual, expected, path = '', within = bound) {
  if (typeof expected === 'number') {
    assert.equal(typeof actual, 'number', path);
    assert.ok(Math.abs(actual - expected) <= within, `${path}: ${actual} and ${expected}`);
  } else if (Array.isArray(expected)) {
    assert.equal(actual?.length, expected.length, `${path}: length`);
    expected.forEach((value, i) => assertClose(actual[i], value, `${path}[${i}]`, within));
  } else if (expected && typeof expected === 'object') {
    assert.deepEqual(Object.keys(actual ?? {}).sort(), Object.keys(expected).sort(), path);
    for (const key of Object.keys(expected)) assertClose(actual[key], expected[key], `${path}.${key}`, within);
  } else {
    assert.deepEqual(actual, expected, path);
  }
}

export const valueOf = (report, id) => report.measures.find((measure) => measure.id === id)?.value;
