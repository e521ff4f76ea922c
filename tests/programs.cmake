# Checks that run whole programs: each is a script that a developer can run by hand as well.
set(root ${CMAKE_SOURCE_DIR})
add_test(NAME layout COMMAND python3 ${root}/tests/layout/check_layout.py)
add_test(NAME unit_sanitize COMMAND ${root}/build/native-sanitize/tests/intercusp_tests)
add_test(NAME unit_wasm COMMAND node --no-experimental-fetch ${root}/build/web/tests/intercusp_tests.js)
add_test(NAME cli COMMAND python3 ${root}/tests/cli/run_cli.py $<TARGET_FILE:intercusp>)
add_test(NAME case_file COMMAND node ${root}/tests/glb/check_case.mjs $<TARGET_FILE:intercusp>)
