# The QR code generator (its C version, one file) for every build, from Debian's source package, fetched into the build
# folder (shared by all presets).
set(qrcode_parent ${CMAKE_SOURCE_DIR}/build/sources)
execute_process(COMMAND bash ${CMAKE_SOURCE_DIR}/native/setup/fetch_qrcode.sh ${qrcode_parent} RESULT_VARIABLE qrcode_failed)
if(qrcode_failed)
  message(FATAL_ERROR "the QR code generator's source could not be fetched (see above)")
endif()
add_library(qrcode STATIC ${qrcode_parent}/qr-code-generator/c/qrcodegen.c)
set_target_properties(qrcode PROPERTIES PREFIX "" UNITY_BUILD OFF)
target_include_directories(qrcode SYSTEM PUBLIC ${qrcode_parent}/qr-code-generator/c)
target_compile_options(qrcode PRIVATE -w)
