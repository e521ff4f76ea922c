# Dear ImGui for both builds, from Debian's source package, fetched into the build folder (shared by all presets).
set(imgui_parent ${CMAKE_SOURCE_DIR}/build/sources)
execute_process(COMMAND bash ${CMAKE_SOURCE_DIR}/native/setup/fetch_imgui.sh ${imgui_parent} RESULT_VARIABLE imgui_failed)
if(imgui_failed)
  message(FATAL_ERROR "Dear ImGui's source could not be fetched (see above)")
endif()
set(imgui ${imgui_parent}/imgui)

add_library(imgui STATIC
  ${imgui}/imgui.cpp ${imgui}/imgui_draw.cpp ${imgui}/imgui_tables.cpp ${imgui}/imgui_widgets.cpp
  ${imgui}/backends/imgui_impl_opengl3.cpp ${imgui}/misc/cpp/imgui_stdlib.cpp)
target_include_directories(imgui SYSTEM PUBLIC ${imgui} ${imgui}/backends ${imgui}/misc/cpp)
target_compile_definitions(imgui PUBLIC
  IMGUI_IMPL_OPENGL_ES3 IMGUI_DISABLE_OBSOLETE_FUNCTIONS IMGUI_DISABLE_DEMO_WINDOWS IMGUI_DISABLE_METRICS_WINDOW
  IMGUI_USER_CONFIG="${CMAKE_SOURCE_DIR}/core/app/imgui_config.h")
if(NOT EMSCRIPTEN)
  find_package(glfw3 REQUIRED)
  target_sources(imgui PRIVATE ${imgui}/backends/imgui_impl_glfw.cpp)
  target_link_libraries(imgui PUBLIC glfw GLESv2)
endif()
