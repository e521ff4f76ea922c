// Build-time settings of Dear ImGui (IMGUI_USER_CONFIG).
#pragma once

// WebGL 2 and GL ES 3.0 have no vertex offset, so long lists need 32-bit indices.
#define ImDrawIdx unsigned int
