# libharu for every build, from Debian's source package, fetched into the build folder (shared by all presets). Without
# compression and without PNG: it then needs no other library, and the same bytes come out everywhere.
set(libharu_parent ${CMAKE_SOURCE_DIR}/build/sources)
execute_process(COMMAND bash ${CMAKE_SOURCE_DIR}/native/setup/fetch_libharu.sh ${libharu_parent} RESULT_VARIABLE libharu_failed)
if(libharu_failed)
  message(FATAL_ERROR "libharu's source could not be fetched (see above)")
endif()
set(libharu ${libharu_parent}/libharu)
set(libharu_made ${CMAKE_BINARY_DIR}/libharu)
file(CONFIGURE OUTPUT ${libharu_made}/hpdf_config.h CONTENT
"#define LIBHPDF_HAVE_NOZLIB
#define LIBHPDF_HAVE_NOPNGLIB
#define LIBHPDF_STDC_HEADERS 1
")
file(GLOB libharu_sources ${libharu}/src/*.c)
list(FILTER libharu_sources EXCLUDE REGEX "_png\\.c$")
add_library(libharu STATIC ${libharu_sources})
set_target_properties(libharu PROPERTIES PREFIX "" UNITY_BUILD OFF)
target_include_directories(libharu SYSTEM PUBLIC ${libharu}/include ${libharu_made})
target_compile_options(libharu PRIVATE -w -ffp-contract=off)
