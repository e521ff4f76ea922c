// What the program asks of the page (core/app/host.h); the program reaches this object as Module.host.
import { download } from './files.js';
import { notice, speak } from './notice.js';
import { random, toB64 } from './seal.js';
import { forgetEverything } from './forget.js';
import { keepWork } from './work.js';

const settingKey = (key) => `intercusp.setting.${key}`;

export function makeHost(errands, review, practice) {
  return {
    errands,
    program: null,
    frames: null,
    /** Called with each file that was offered as a download; the page interface listens. */
    offered: [],
    /** The copy or cut event under way, whose clipboard may be written without asking. */
    copying: null,
    askForFiles: () => document.getElementById('file-picker').click(),
    announce: speak,
    startErrand: (bytes, file) => errands.start(bytes, file),
    forgetSurfaces: (numbers) => errands.forget(numbers),
    cancelErrand: () => errands.cancel(),
    review: (request, bytes) => review.ask(JSON.parse(request), bytes),
    practice: (request) => practice.ask(JSON.parse(request)),
    stamp: () => `${toB64(random(16))} ${Date.now()}`,
    linkFor: (fragment) => `${location.origin}${location.pathname}#${fragment}`,

    /** Places an answer in the program's memory. */
    text(value) {
      return this.program.placeText(value);
    },

    offerFile(name, type, bytes) {
      this.offered.push({ name, type, size: bytes.length });
      download(name, type, bytes);
    },

    setClipboard(text) {
      if (this.copying) {
        this.copying.clipboardData.setData('text/plain', text);
        return;
      }
      const failed = () => notice(`This browser did not let the page copy. The text is: ${text}`);
      if (!navigator.clipboard) failed();
      else navigator.clipboard.writeText(text).catch(failed);
    },

    keepWork(id, bytes, view) {
      keepWork(id, bytes, view);
    },

    forgetEverything,

    keepSetting(key, value) {
      try {
        localStorage.setItem(settingKey(key), value);
      } catch {
        speak('This browser does not keep settings for this page.');
      }
    },

    setting(key) {
      try {
        return localStorage.getItem(settingKey(key)) ?? '';
      } catch {
        return '';
      }
    },
  };
}
