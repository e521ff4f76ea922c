# Checks that run whole programs: each is a script that a developer can run by hand as well.
set(root ${CMAKE_SOURCE_DIR})
# Debian's own Python: NumPy, SciPy and fontTools are installed for it.
find_program(INTERCUSP_PYTHON python3 PATHS /usr/bin NO_DEFAULT_PATH REQUIRED)
add_test(NAME layout COMMAND ${INTERCUSP_PYTHON} ${root}/tests/layout/check_layout.py)
# Cases that only repeat the sample generator, or what other cases run as well: left to the plain run, and to tests/long.sh.
set(repeat_the_generator
  "random recipes*"
  "one click a tooth proposes*"
  "settle finds*"
  "settle of the upper*"
  "pieces of an upper arch find*"
  "a narrow upper arch in pieces*"
  "a recipe's skeletal*"
  "bodies are closed*"
  "bones and roots are closed*"
  "sliced crowns*"
  "every sample measures*"
  "splint imprints: the room*"
  "splint seats*"
  "splint text: it stands*"
  "splint zones*")
# Sanitizers make the generator thirty times slower; the last nine, without it, take 10 to 29 s with them.
set(slow_under_sanitizers
  "bones stay sound*"
  "a symmetric recipe*"
  "points of the skull*"
  "questions are fair*"
  "the same spec makes*"
  "molars that drifted*"
  "closing ends*"
  "an upper jaw forward and up*"
  "a common rigid motion of scan and click*"
  "what is no arch*"
  "landmarks that were corrected*"
  "every landmark of all*"
  "a proposal has every*"
  "class and quarter*"
  "students improve*"
  "sawn and not moved*"
  "a surface that is another patient's*"
  "an upper jaw set back*"
  "the entries of a choice*"
  "settling in pieces says*"
  "no search around the pieces*"
  "what ties pieces*"
  "the sheet says what*"
  "a long name of a plan*"
  "faces that lie level*"
  "a narrow upper arch in pieces*"
  "every cut of surgery*"
  "a cut stays where*"
  "a scan stands for the crowns*"
  "poses: the chin goes*")
list(JOIN repeat_the_generator "," left_by_wasm)
list(JOIN slow_under_sanitizers "," left_by_sanitizers)
add_test(NAME unit_sanitize COMMAND ${root}/build/native-sanitize/tests/intercusp_tests
  "-tce=${left_by_wasm},${left_by_sanitizers}")
set_tests_properties(unit_sanitize PROPERTIES TIMEOUT 1200)
add_test(NAME unit_wasm COMMAND node --no-experimental-fetch ${root}/build/web/tests/intercusp_tests.js "-tce=${left_by_wasm}")
add_test(NAME outside_formats
  COMMAND ${INTERCUSP_PYTHON} ${root}/tests/outside/formats_check.py $<TARGET_FILE:formats_program>)
add_test(NAME outside_splint_files
  COMMAND ${INTERCUSP_PYTHON} ${root}/tests/outside/splint_file_check.py $<TARGET_FILE:intercusp>)
add_test(NAME outside_splint_text
  COMMAND ${INTERCUSP_PYTHON} ${root}/tests/outside/splint_text_check.py $<TARGET_FILE:intercusp> ${root}/core/surgery/stroke_font.cpp)
add_test(NAME cli COMMAND ${INTERCUSP_PYTHON} ${root}/tests/cli/run_cli.py $<TARGET_FILE:intercusp>)
add_test(NAME review_server COMMAND ${INTERCUSP_PYTHON} ${root}/tests/review/server_test.py $<TARGET_FILE:intercusp>)
add_test(NAME review_hardship
  COMMAND ${INTERCUSP_PYTHON} ${root}/tests/review/hardship_test.py $<TARGET_FILE:intercusp> $<TARGET_FILE:moved_clock>)
add_test(NAME review_kill COMMAND ${INTERCUSP_PYTHON} ${root}/tests/review/kill_test.py $<TARGET_FILE:intercusp>)
add_test(NAME review_graded
  COMMAND ${INTERCUSP_PYTHON} ${root}/tests/review/graded_test.py $<TARGET_FILE:intercusp> $<TARGET_FILE:moved_clock>)
add_test(NAME review_share COMMAND ${INTERCUSP_PYTHON} ${root}/tests/review/share_test.py $<TARGET_FILE:intercusp>)
add_test(NAME review_sanitize COMMAND ${root}/build/native-sanitize/tests/review/review_tests)
add_test(NAME case_file COMMAND node ${root}/tests/glb/check_case.mjs $<TARGET_FILE:intercusp>)
add_test(NAME oracle COMMAND ${INTERCUSP_PYTHON} ${root}/tests/oracle/run.py --program $<TARGET_FILE:intercusp> --random 12)
add_test(NAME oracle_practice COMMAND ${INTERCUSP_PYTHON} ${root}/tests/oracle/practice.py --program $<TARGET_FILE:intercusp>)
add_test(NAME fuzz COMMAND bash ${root}/tests/fuzz/run.sh 10000)
add_test(NAME package COMMAND ${INTERCUSP_PYTHON} ${root}/tests/install/package_test.py ${CMAKE_BINARY_DIR})
add_test(NAME browser COMMAND node --test-reporter=spec ${root}/tests/browser/run.mjs)
add_test(NAME window COMMAND node --test --test-reporter=spec ${root}/tests/window/window_test.mjs)
# The longest begin first, so that none of them is left to run alone at the end. The browser waits for what it asks about and
# holds no times (those are --speed), so something else may run beside it.
set_tests_properties(browser PROPERTIES COST 1000 TIMEOUT 2400)
set_tests_properties(unit_sanitize PROPERTIES COST 900)
set_tests_properties(cli PROPERTIES COST 700)
set_tests_properties(window PROPERTIES RUN_SERIAL TRUE TIMEOUT 600)
set_tests_properties(browser window PROPERTIES ENVIRONMENT INTERCUSP_PROGRAM=$<TARGET_FILE:intercusp>)
