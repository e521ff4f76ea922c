#pragma once

#include "app/work/workspace.h"

namespace intercusp {

/// Opens a sample as the case worked on.
Status open_sample(Workspace& w, const std::string& name, std::optional<std::uint64_t> seed, std::uint32_t triangles);
/// Shows a case as new work: history, plan, views and readings start afresh.
void take_case(Workspace& w, Case opened);
/// A case file, a scan or a landmarks file from memory, told apart by content.
Status open_bytes(Workspace& w, const std::string& name, const std::uint8_t* bytes, std::size_t size);
/// Answers the question about the unit of a scan that cannot be millimetres.
Status answer_units(Workspace& w, const std::string& unit);
/// Reads a view as state writes it ({"layout","camera",...}); what is missing or wrong is left as it is.
void apply_view(Workspace& w, const std::string& view_json);

}  // namespace intercusp
