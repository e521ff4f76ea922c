#include "casebook/case_file.h"
#include "cli/case_access.h"
#include "cli/commands.h"
#include "formats/mesh_writer.h"

namespace intercusp::cli {

namespace {

struct ExportOptions {
  std::string path, out, body, frame = "patient";
  MomentOptions moment;
  bool landmarks = false, force = false;
};

/// Pose from the patient frame to the frame asked for.
Pose into_frame(const Case& c, const std::string& frame) {
  return frame == "scanner" ? Pose(c.patient_from_scans.inverse()) : Pose::Identity();
}

/// Bytes of the kind that the file's ending names.
Result<std::vector<std::uint8_t>> write_by_ending(const Mesh& mesh, const std::string& path) {
  const std::size_t dot = path.rfind('.');
  const std::string ending = dot == std::string::npos ? "" : path.substr(dot);
  if (ending == ".stl") return write_stl(mesh);
  if (ending == ".ply") return write_ply(mesh);
  if (ending == ".obj") return write_obj(mesh);
  if (ending == ".glb") return write_glb(mesh);
  return Error{"\"" + ending + "\" is not a kind of file that is written here", path,
               "end the name in .stl, .ply, .obj or .glb"};
}

Result<std::vector<std::uint8_t>> landmarks_file(const CaseAtMoment& s, const ExportOptions& options) {
  const Pose out = into_frame(s.c, options.frame);
  PointMap points = points_at(s.c, s.poses);
  if (points.empty()) return Error{"the case has no landmarks", options.path, ""};
  for (auto& [name, p] : points) p = out * p;
  const std::string text = write_landmarks(points);
  return std::vector<std::uint8_t>(text.begin(), text.end());
}

Result<std::vector<std::uint8_t>> body_file(const CaseAtMoment& s, const ExportOptions& options) {
  const Body* body = s.c.find_body(options.body);
  if (!body) {
    std::string known;
    for (const Body& b : s.c.bodies) known += (known.empty() ? "" : ", ") + b.name;
    return Error{"the case has no body named " + options.body, "--body", "its bodies are: " + known};
  }
  const Mesh mesh =
      transformed(body->surface->mesh(), into_frame(s.c, options.frame) * pose_of_body(s.c, *body, s.poses));
  return write_by_ending(mesh, options.out);
}

int run(const ExportOptions& options) {
  if (options.landmarks == !options.body.empty()) {
    return fail({"say what to export", "", "either --body NAME or --landmarks"});
  }
  const auto state = open_at(options.path, options.moment);
  if (!state.ok()) return fail(state.error());
  const auto bytes = options.landmarks ? landmarks_file(*state.value(), options) : body_file(*state.value(), options);
  if (!bytes.ok()) return fail(bytes.error());
  const Status saved = save_atomically(options.out, bytes.value(), options.force);
  return saved.ok() ? kDone : fail(saved.error());
}

}  // namespace

Run add_export(CLI::App& app) {
  auto options = std::make_shared<ExportOptions>();
  app.add_option("case", options->path, "the case file")->required();
  options->moment.add_to(app);
  app.add_option("--frame", options->frame, "patient (default) or scanner")
      ->check(CLI::IsMember({"patient", "scanner"}));
  app.add_option("--body", options->body, "the body to write (.stl, .ply, .obj or .glb, by the output's ending)");
  app.add_flag("--landmarks", options->landmarks, "write the landmarks instead (JSON)");
  app.add_option("-o,--output", options->out, "the file to write")->required();
  app.add_flag("--force", options->force, "overwrite what is there");
  return [options] { return run(*options); };
}

}  // namespace intercusp::cli
