// The one server that the tests of a run share.
import { startServer } from './page.mjs';

let server;

export async function sharedServer() {
  server ??= startServer();
  return server;
}

export async function stopSharedServer() {
  await (await server)?.stop();
  server = undefined;
}
