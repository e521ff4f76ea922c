#pragma once

#include <nlohmann/json.hpp>

#include "app/work/workspace.h"

namespace intercusp {

/// How the case is looked at, for links and kept work: layout, cameras, stop, plan, what is shown.
nlohmann::json view_json(const Workspace& w);
void read_view(Workspace& w, const nlohmann::json& view);

nlohmann::json camera_json(const Camera& c);
/// False when the JSON is not a camera; `c` is then unchanged.
bool read_camera(const nlohmann::json& json, Camera& c);

/// state() of the page: what a script or a test wants to know.
nlohmann::json state_json(const Workspace& w, float scale);

}  // namespace intercusp
