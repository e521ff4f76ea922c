#pragma once

#include "app/work/workspace.h"

namespace intercusp {

// What takes long is an errand: by a hand it happens later, while the screen stays usable (then Done comes at once and
// trouble is said on the screen); for a script it has happened when the call returns.

/// Triangles of a sample where no number is asked for.
constexpr std::uint32_t kSampleTriangles = 60000;

/// Opens a sample, with its jaw bones or the arches alone, as the case worked on, then calls `then`.
Status open_sample(Workspace& w, const std::string& name, std::optional<std::uint64_t> seed, std::uint32_t triangles,
                   bool with_bone, const std::function<void()>& then = {});
/// The sample of a first visit: coarse enough to be there at once.
MakeSample first_sample();
/// Opens it, unless something else has been opened when it is there.
Status open_first_sample(Workspace& w, const std::function<void()>& then);
/// Opens the case of a recipe link's fragment, with its view.
Status open_link(Workspace& w, const std::string& fragment);
/// Goes on with work kept earlier.
Status restore_work(Workspace& w, std::vector<std::uint8_t> bytes, const std::string& view_json);
/// A case file, a scan or a landmarks file, told apart by content; then calls `then`.
Status open_file(Workspace& w, ReadFile file, const std::function<void()>& then = {});
/// Shows a case as new work: history, plan, views and readings start afresh.
void take_case(Workspace& w, Case opened);
void take_document(Workspace& w, Document opened);
/// Reads a view as state writes it ({"layout","camera",...}); what is missing or wrong is left as it is.
void apply_view(Workspace& w, const std::string& view_json);

}  // namespace intercusp
