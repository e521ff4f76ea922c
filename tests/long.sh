#!/bin/bash
# Checks that take hours or hold times, for before a release, after tests/run.sh: the review server killed 200 times and with
# 10,000 idle connections, 2,000 edits by three people at once (in memory, and in two browsers and a window), 2,000 random jaws
# against the oracle and against the truth they were built to, settle from 200 starts and in pieces from 60, the removal of a whole wedge, 500 random
# cuts and the splints of 200 random plans against CGAL, 2,000 practice questions against the oracle, every unit test under
# sanitizers and as WebAssembly, how fast the page opens and turns, the package on a bare system (as root, with debootstrap), and
# every parser under at least ten million fuzzer executions.
#   tests/long.sh [COUNT]
set -euo pipefail
cd "$(dirname "$0")/.."
INTERCUSP_KILLS=200 /usr/bin/python3 tests/review/kill_test.py build/native/native/intercusp
INTERCUSP_IDLE=10000 /usr/bin/python3 tests/review/server_test.py build/native/native/intercusp Crowd
INTERCUSP_STEPS=10000 build/native/tests/intercusp_tests -tc='*kept from pose to pose*'
INTERCUSP_POSES=2000 build/native/tests/intercusp_tests -tc='the nearest points are those of all pairs*'
INTERCUSP_POINTS=100000 build/native/tests/outside/intercusp_outside_tests -tc='CGAL: unsigned distance*'
INTERCUSP_JAWS=2000 build/native/tests/intercusp_tests -tc='random recipes read as they were built*'
INTERCUSP_STARTS=200 build/native/tests/intercusp_tests -tc='settle finds*'
INTERCUSP_PIECED_STARTS=60 build/native/tests/intercusp_tests -tc='pieces of an upper arch find*'
INTERCUSP_REMOVAL=1 build/native/tests/intercusp_tests -tc='after the previewed removal*,the same on a skull*'
INTERCUSP_CUTS=500 build/native/tests/outside/intercusp_outside_tests -tc='*pieces of random cuts*'
INTERCUSP_SPLINTS=200 build/native/tests/outside/intercusp_outside_tests -tc='*splints of samples*'
/usr/bin/python3 tests/oracle/run.py --program build/native/native/intercusp --random 2000
INTERCUSP_EDITS=2000 build/native/tests/intercusp_tests -tc='replicas hold the same case*'
node --test-reporter=spec tests/browser/run.mjs --long together
INTERCUSP_QUESTIONS=500 build/native/tests/intercusp_tests -tc='questions are fair*'
/usr/bin/python3 tests/oracle/practice.py --program build/native/native/intercusp --count 2000
for preset in native-sanitize web; do
  cmake --preset "$preset" -DINTERCUSP_EVERY_ROOM=ON >/dev/null
  cmake --build --preset "$preset"
done
build/native-sanitize/tests/intercusp_tests
NODE_PATH=/usr/share/nodejs node --no-experimental-fetch build/web/tests/intercusp_tests.js
for preset in native-sanitize web; do cmake --preset "$preset" -DINTERCUSP_EVERY_ROOM=OFF >/dev/null; done
node --test-reporter=spec tests/browser/run.mjs --speed
# The main flows in Firefox (Debian's firefox-esr), in a window of its own: it has no WebGL without one.
npm ci --prefix tests/firefox --no-audit --no-fund --loglevel=error
node --test-reporter=spec tests/firefox/run.mjs
(cd build/native && cpack >/dev/null) && bash tests/install/bare_system.sh build/native/intercusp_*.deb
# On a machine that does nothing else: an input that takes longer than 5 s counts as a hang, and waiting counts too.
bash tests/fuzz/run.sh "${1:-10000000}"
