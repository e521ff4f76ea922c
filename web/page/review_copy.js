// A shared case of which this browser keeps a copy, sealed as the server has it: opened once, it opens again without a network.
import { Folder, Refused } from './review_server.js';
import { forgetCopy, forgetEnded, keepAbout, keepEntries, keepPiece, keptAbout, keptEntries, keptPiece } from './review_store.js';

const longestWait = 6000;  // ms for a server that says nothing, where a copy is here

/** Gives up on a server that does not answer. */
function notForEver(work) {
  let timer;
  const end = new Promise((resolve, reject) => {
    timer = setTimeout(() => reject(new Refused(0, 'The server does not answer')), longestWait);
  });
  return Promise.race([work, end]).finally(() => clearTimeout(timer));
}

export class CopiedFolder extends Folder {
  constructor(folder, keys, own) {
    super(folder, keys, own);
    this.folder = folder;
    this.away = false;  // the server did not answer when the case was opened
  }

  async about() {
    const kept = await keptAbout(this.folder);
    try {
      const about = await (kept ? notForEver(super.about()) : super.about());
      this.keepAbout(about.ends);
      return about;
    } catch (error) {
      if (error.status === 404) await forgetCopy(this.folder);
      if (error.status !== 0 || !kept) throw error;
      this.away = true;
      return kept;
    }
  }

  keepAbout(ends) {
    forgetEnded().then(() => keepAbout(this.folder, { ends }));
  }

  async log(after) {
    const kept = this.away && after === 0 ? await keptEntries(this.folder) : [];
    return kept.length ? kept : super.log(after);
  }

  keep(frames) {
    if (frames.length) keepEntries(this.folder, frames);
  }

  /** A piece never changes, and whoever opens it sees whether it is the one it is named as. */
  async piece(name) {
    const kept = await keptPiece(this.folder, name);
    if (kept) return kept;
    const sealed = await super.piece(name);
    await keepPiece(this.folder, name, sealed);
    return sealed;
  }

  async putPiece(name, sealed) {
    const answer = await super.putPiece(name, sealed);
    await keepPiece(this.folder, name, sealed);
    return answer;
  }

  async remove() {
    const answer = await super.remove();
    await forgetCopy(this.folder);
    return answer;
  }
}
