// The review server on the wire: HTTP/1.1 as RFC 9110 and RFC 9112 have it, and nothing beyond the site's own files.
import assert from 'node:assert/strict';
import { readFileSync, readdirSync } from 'node:fs';
import { connect } from 'node:net';
import { request } from 'node:http';
import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { test } from 'node:test';
import { brotliDecompressSync, gunzipSync } from 'node:zlib';
import { program, site, startServer } from './page.mjs';
import { sharedServer } from './served.mjs';

const assets = `assets/${readdirSync(join(site, 'assets'))[0]}`;

/** One request with exactly these headers; resolves with status, headers and raw body. */
async function ask(path, { method = 'GET', headers = {}, host = '127.0.0.1' } = {}) {
  const { port } = await sharedServer();
  return new Promise((resolve, reject) => {
    const asked = request({ host, port, path, method, headers }, (response) => {
      const pieces = [];
      response.on('data', (piece) => pieces.push(piece));
      response.on('end', () => resolve({ status: response.statusCode, headers: response.headers, body: Buffer.concat(pieces) }));
    });
    asked.on('error', reject);
    asked.end();
  });
}

/** Sends bytes as they are and gives back everything the server says until it closes. */
async function raw(text) {
  const { port } = await sharedServer();
  return new Promise((resolve, reject) => {
    const socket = connect(port, '127.0.0.1', () => socket.write(text));
    let said = '';
    socket.on('data', (data) => { said += data.toString('latin1'); });
    socket.on('close', () => resolve(said));
    socket.on('error', reject);
    socket.setTimeout(8000, () => { socket.destroy(); reject(new Error(`no end after: ${said.slice(0, 80)}`)); });
  });
}

test('serve: the page comes over IPv4 and IPv6, isolated and under a strict policy', async () => {
  for (const host of ['127.0.0.1', '::1']) {
    const { status, headers, body } = await ask('/', { host });
    assert.equal(status, 200);
    assert.deepEqual(body, readFileSync(join(site, 'index.html')));
    assert.equal(headers['content-type'], 'text/html; charset=utf-8');
    assert.equal(headers['cross-origin-opener-policy'], 'same-origin');
    assert.equal(headers['cross-origin-embedder-policy'], 'require-corp');
    assert.equal(headers['cross-origin-resource-policy'], 'same-origin');
    assert.equal(headers['x-content-type-options'], 'nosniff');
    assert.equal(headers['referrer-policy'], 'no-referrer');
    assert.match(headers['content-security-policy'], /default-src 'none'/);
    assert.doesNotMatch(headers['content-security-policy'], /unsafe-inline|unsafe-eval'(?<!wasm-unsafe-eval')|https?:/);
    assert.match(headers.date, /^(Mon|Tue|Wed|Thu|Fri|Sat|Sun), \d\d [A-Z][a-z]{2} \d{4} \d\d:\d\d:\d\d GMT$/);
    assert.ok(Math.abs(Date.parse(headers.date) - Date.now()) < 5000);
  }
});

test('serve: a file comes in the best form that the browser takes', async () => {
  const path = `/${assets}/intercusp.wasm`;
  const plain = readFileSync(join(site, path));
  const cases = [['br, gzip', 'br'], ['gzip', 'gzip'], ['gzip;q=0.5, br;q=0', 'gzip'], ['*', 'br'], ['identity', undefined],
    ['', undefined], ['br;q=0, *;q=0.1', 'gzip'], ['BR', 'br'], ['gzip;q=0', undefined]];
  const tags = new Set();
  for (const [accepted, expected] of cases) {
    const { status, headers, body } = await ask(path, { headers: { 'Accept-Encoding': accepted } });
    assert.equal(status, 200);
    assert.equal(headers['content-encoding'], expected, accepted);
    assert.equal(headers['content-type'], 'application/wasm');
    assert.equal(headers.vary, 'Accept-Encoding');
    assert.equal(headers['cache-control'], 'public, max-age=31536000, immutable');
    assert.equal(Number(headers['content-length']), body.length);
    const opened = expected === 'br' ? brotliDecompressSync(body) : expected === 'gzip' ? gunzipSync(body) : body;
    assert.ok(opened.equals(plain), accepted);
    tags.add(headers.etag);
  }
  assert.equal(tags.size, 3, 'each form has a tag of its own');
});

test('serve: a browser that has the file already is told so', async () => {
  const first = await ask('/');
  assert.equal(first.headers['cache-control'], 'no-cache');
  for (const tag of [first.headers.etag, `W/${first.headers.etag}`, `"other", ${first.headers.etag}`, '*']) {
    const again = await ask('/', { headers: { 'If-None-Match': tag } });
    assert.equal(again.status, 304, tag);
    assert.equal(again.body.length, 0);
    assert.equal(again.headers.etag, first.headers.etag);
  }
  assert.equal((await ask('/', { headers: { 'If-None-Match': '"other"' } })).status, 200);
});

test('serve: HEAD gives the headers of GET and no body', async () => {
  const got = await ask('/');
  const head = await ask('/', { method: 'HEAD' });
  assert.equal(head.status, 200);
  assert.equal(head.body.length, 0);
  delete got.headers.date;
  delete head.headers.date;
  assert.deepEqual(head.headers, got.headers);
  assert.equal((await ask('/nothing', { method: 'HEAD' })).body.length, 0);
});

test('serve: other methods are refused with what is allowed', async () => {
  for (const method of ['POST', 'PUT', 'DELETE', 'OPTIONS', 'PATCH']) {
    const { status, headers } = await ask('/', { method });
    assert.equal(status, 405, method);
    assert.equal(headers.allow, 'GET, HEAD');
  }
});

test('serve: no path leads out of the site', async () => {
  const paths = ['/../serve_test.mjs', '/..%2f..%2fCMakeLists.txt', '/%2e%2e/%2e%2e/CMakeLists.txt', '/assets/../../web.stamp',
    '//etc/passwd', '/etc/passwd', '/assets/', '/assets', '/index.html/', '/./index.html', '/index.html%00.js', '/%', '/%zz',
    '/..\\..\\CMakeLists.txt', '/index.html.br', `/${'a/'.repeat(3000)}`];
  for (const path of paths) {
    const said = await raw(`GET ${path} HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n`);
    assert.match(said, /^HTTP\/1\.1 40[04] /, path);
    assert.doesNotMatch(said, /root:|cmake_minimum_required/);
  }
  const { status, headers, body } = await ask('/nothing?<script>');
  assert.equal(status, 404);
  assert.equal(headers['content-type'], 'text/plain; charset=utf-8');
  assert.equal(headers['cross-origin-resource-policy'], 'same-origin');
  assert.doesNotMatch(body.toString(), /script/);
});

test('serve: query, escapes and absolute addresses find their file', async () => {
  assert.equal((await ask('/?x=1#y')).status, 200);
  assert.equal((await ask('/%69ndex.html')).status, 200);
  assert.match(await raw('GET http://localhost/ HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n'), /^HTTP\/1\.1 200 /);
});

test('serve: malformed and oversized requests are refused in words', async () => {
  const large = `GET / HTTP/1.1\r\nHost: x\r\nX-Long: ${'a'.repeat(40000)}\r\n\r\n`;
  assert.match(await raw(large), /^HTTP\/1\.1 431 /);
  assert.match(await raw('NONSENSE\r\n\r\n'), /^HTTP\/1\.1 400 /);
  assert.match(await raw('GET / HTTP/1.1\r\n\r\n'), /^HTTP\/1\.1 400 /, 'no Host, RFC 9112 3.2');
  assert.match(await raw('GET / HTTP/1.1\r\nHost: a\r\nHost: b\r\n\r\n'), /^HTTP\/1\.1 400 /);
  assert.match(await raw('POST / HTTP/1.1\r\nHost: x\r\nContent-Length: 9999999\r\n\r\n'), /^HTTP\/1\.1 413 /);
});

test('serve: one connection carries many requests, and ends when asked to', async () => {
  const one = 'GET /sw.js HTTP/1.1\r\nHost: x\r\n\r\n';
  const said = await raw(one + one + one.replace('\r\n\r\n', '\r\nConnection: close\r\n\r\n'));
  assert.equal(said.match(/HTTP\/1\.1 200 /g).length, 3);
  assert.match(await raw('GET / HTTP/1.0\r\n\r\n'), /^HTTP\/1\.[01] 200 /);
});

test('serve: a port in use is named, with what to do', async () => {
  const { port } = await sharedServer();
  const second = spawnSync(program, ['serve', '--port', String(port), '--site', site], { encoding: 'utf8', timeout: 10000 });
  assert.equal(second.status, 2);
  assert.match(second.stderr, new RegExp(`${port}.*in use|another program.*port`, 's'));
  assert.match(second.stderr, /--port/);
});

test('serve: a folder without the program is refused', () => {
  const refused = spawnSync(program, ['serve', '--port', '0', '--site', '/usr/share/doc'], { encoding: 'utf8', timeout: 10000 });
  assert.equal(refused.status, 2);
  assert.match(refused.stderr, /usr\/share\/doc.*no web program|no web program.*usr\/share\/doc/s);
});

test('serve: it stops on SIGTERM and SIGINT, with connections open', async () => {
  for (const signal of ['SIGTERM', 'SIGINT']) {
    const server = await startServer();
    const socket = connect(server.port, '127.0.0.1');
    await new Promise((resolve) => socket.on('connect', resolve));
    socket.on('error', () => {});
    const began = Date.now();
    server.child.kill(signal);
    assert.equal(await server.ended, 0);
    assert.ok(Date.now() - began < 2500);
    socket.destroy();
  }
});
