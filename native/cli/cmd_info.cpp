#include <cstdio>

#include <nlohmann/json.hpp>

#include "anatomy/occlusal_frame.h"
#include "casebook/cut_case.h"
#include "casebook/digest.h"
#include "casebook/privacy.h"
#include "cli/case_access.h"
#include "cli/commands.h"
#include "geometry/mesh_check.h"

namespace intercusp::cli {

using nlohmann::json;

namespace {

struct InfoOptions {
  std::string path, format = "text";
};

json body_row(const Case& c, const Body& body) {
  const Mesh& mesh = body.surface->mesh();
  const Vec3 size = mesh.positions.empty() ? Vec3(0, 0, 0) : Vec3(body.surface->box().sizes());
  return {{"name", body.name},
          {"segment", segment_of_body(c, body)},
          {"vertices", mesh.positions.size()},
          {"triangles", mesh.triangles.size()},
          {"size_mm", {size.x(), size.y(), size.z()}},
          {"closed", body.surface->closed()},
          {"findings", findings(check_mesh(mesh))},
          {"sha256", body.mesh_sha256}};
}

json plan_row(const Case& c, const Plan& plan) {
  json row = {{"name", plan.name},
              {"movements", 0},
              {"closings", 0},
              {"cuts", json::array()},
              {"first_jaw", plan.first_jaw},
              {"digest", plan_digest(c, plan)}};
  for (const PlanEntry& entry : plan.entries) {
    if (entry.kind == PlanEntry::Kind::cut) {
      row["cuts"].push_back(cut_kind_name(entry.cut.kind));
      continue;
    }
    const char* kind = entry.kind == PlanEntry::Kind::movement ? "movements" : "closings";
    row[kind] = row[kind].get<int>() + 1;
  }
  if (row["cuts"].empty()) return row;
  const auto cut = with_cuts(c, &plan);
  if (!cut.ok()) {
    row["cuts_fail"] = cut.error().sentence();
    return row;
  }
  row["bodies"] = json::array();
  for (const Body& body : cut.value().bodies) row["bodies"].push_back(body_row(cut.value(), body));
  return row;
}

json report(const Case& c) {
  json out = {{"case", c.id},
              {"frame", c.frame_known ? "patient" : "scanner"},
              {"bodies", json::array()},
              {"plans", json::array()}};
  for (const Body& body : c.bodies) out["bodies"].push_back(body_row(c, body));
  for (const Plan& plan : c.plans) out["plans"].push_back(plan_row(c, plan));
  out["landmarks"] = c.landmarks.size();
  out["missing_for_frame"] = missing_for_occlusal_frame(points_at(c, {}));
  if (const auto warning = id_warning(c.id)) out["warning"] = *warning;
  return out;
}

void print_info_text(const json& r) {
  std::printf("case       %s\n", r["case"].get<std::string>().c_str());
  std::printf("frame      %s\n", r["frame"] == "patient"
                                     ? "patient"
                                     : "of the scanner: landmarks that give the patient frame are missing");
  for (const json& body : r["bodies"]) {
    std::printf("body       %-12s %zu triangles, %.1f x %.1f x %.1f mm, %s\n", body["name"].get<std::string>().c_str(),
                body["triangles"].get<std::size_t>(), body["size_mm"][0].get<double>(),
                body["size_mm"][1].get<double>(), body["size_mm"][2].get<double>(),
                body["closed"].get<bool>() ? "closed" : "open");
    for (const json& finding : body["findings"]) std::printf("           %s\n", finding.get<std::string>().c_str());
  }
  std::printf("landmarks  %zu\n", r["landmarks"].get<std::size_t>());
  for (const json& name : r["missing_for_frame"]) std::printf("missing    %s\n", name.get<std::string>().c_str());
  for (const json& plan : r["plans"]) {
    std::printf("plan       %s: %d movements, %zu cuts, %d closings, %s jaw first, digest %s\n",
                plan["name"].get<std::string>().c_str(), plan["movements"].get<int>(), plan["cuts"].size(),
                plan["closings"].get<int>(), plan["first_jaw"].get<std::string>().c_str(),
                plan["digest"].get<std::string>().c_str());
    if (plan.contains("cuts_fail")) {
      std::printf("           its cuts cannot be made: %s\n", plan["cuts_fail"].get<std::string>().c_str());
    }
    for (const json& body : plan.value("bodies", json::array())) {
      std::printf("           %-20s moves with %-14s %zu triangles, %s\n", body["name"].get<std::string>().c_str(),
                  body["segment"].get<std::string>().c_str(), body["triangles"].get<std::size_t>(),
                  body["closed"].get<bool>() ? "closed" : "open");
    }
  }
  if (r.contains("warning")) std::printf("warning    %s\n", r["warning"].get<std::string>().c_str());
}

void print_info_csv(const json& r) {
  std::printf("body,segment,vertices,triangles,size_x_mm,size_y_mm,size_z_mm,closed,sha256\n");
  for (const json& body : r["bodies"]) {
    std::printf("%s,%s,%zu,%zu,%.3f,%.3f,%.3f,%s,%s\n", body["name"].get<std::string>().c_str(),
                body["segment"].get<std::string>().c_str(), body["vertices"].get<std::size_t>(),
                body["triangles"].get<std::size_t>(), body["size_mm"][0].get<double>(),
                body["size_mm"][1].get<double>(), body["size_mm"][2].get<double>(),
                body["closed"].get<bool>() ? "yes" : "no", body["sha256"].get<std::string>().c_str());
  }
}

int run(const InfoOptions& options) {
  const auto c = open_case(options.path);
  if (!c.ok()) return fail(c.error());
  const json r = report(c.value());
  if (options.format == "json") {
    std::printf("%s\n", r.dump(2).c_str());
  } else if (options.format == "csv") {
    print_info_csv(r);
  } else {
    print_info_text(r);
  }
  return kDone;
}

}  // namespace

Run add_info(CLI::App& app) {
  auto options = std::make_shared<InfoOptions>();
  app.add_option("case", options->path, "the case file")->required();
  add_format(app, options->format);
  return [options] { return run(*options); };
}

}  // namespace intercusp::cli
