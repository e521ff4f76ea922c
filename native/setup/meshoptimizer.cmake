# The simplifier of meshoptimizer for every build, from Debian's source package, fetched into the build folder (shared by
# all presets).
set(meshoptimizer_parent ${CMAKE_SOURCE_DIR}/build/sources)
execute_process(COMMAND bash ${CMAKE_SOURCE_DIR}/native/setup/fetch_meshoptimizer.sh ${meshoptimizer_parent}
  RESULT_VARIABLE meshoptimizer_failed)
if(meshoptimizer_failed)
  message(FATAL_ERROR "meshoptimizer's source could not be fetched (see above)")
endif()
set(meshoptimizer ${meshoptimizer_parent}/meshoptimizer/src)
add_library(meshoptimizer STATIC ${meshoptimizer}/simplifier.cpp ${meshoptimizer}/allocator.cpp)
set_target_properties(meshoptimizer PROPERTIES PREFIX "" UNITY_BUILD OFF)
target_include_directories(meshoptimizer SYSTEM PUBLIC ${meshoptimizer})
# The same forms everywhere: no fused multiply-add.
target_compile_options(meshoptimizer PRIVATE -w -ffp-contract=off)
