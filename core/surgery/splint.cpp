#include "surgery/splint.h"

#include <cmath>

#include "surgery/splint_check.h"

namespace intercusp {
namespace {

constexpr double kAround = 3;       ///< of an arch that is kept around the slab, mm
constexpr double kFieldStep = 0.3;  ///< spacing of the distances to an arch, mm

/// The triangles that reach into the box.
Mesh cropped(const Mesh& mesh, const Box& box) {
  Mesh out;
  std::vector<std::uint32_t> renamed(mesh.positions.size(), 0);
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    Box around;
    for (int k = 0; k < 3; ++k) around.extend(mesh.corner(t, k));
    if (!box.intersects(around)) continue;
    Triangle triangle = mesh.triangles[t];
    for (std::uint32_t& v : triangle) {
      if (renamed[v] == 0) {
        out.positions.push_back(mesh.positions[v]);
        renamed[v] = static_cast<std::uint32_t>(out.positions.size());
      }
      v = renamed[v] - 1;
    }
    out.triangles.push_back(triangle);
  }
  return out;
}

Mesh turned_over(const Mesh& mesh) {
  Mesh out = mesh;
  for (Vec3f& p : out.positions) p.z() = -p.z();
  return out;
}

HeightMap turned_over(const HeightMap& map) {
  HeightMap out = map;
  for (std::size_t n = 0; n < out.size(); ++n) out[n] = -out[n];
  return out;
}

SeatingPath given_path(const Mesh& arch, const HeightMap& top, const HeightMap& outline, const SplintSettings& settings,
                       const std::array<double, 2>& tilt_deg) {
  if (settings.find_path) return best_path(arch, top, outline);
  SeatingPath path;
  path.forward_deg = tilt_deg[0];
  path.left_deg = tilt_deg[1];
  path.off = tilted_way(path.forward_deg, path.left_deg);
  return path;
}

/// Holes for wires and more room around what is bonded to the teeth, in the splint's own frame: negative in what is
/// taken out.
class SplintCuts : public ScalarField {
 public:
  SplintCuts(const SplintSettings& settings, const Pose& own, const SplintSlab& slab, const SeatField& upper,
             const SeatField& lower)
      : settings_(settings), own_(own), upper_(upper), lower_(lower) {
    const Vec3 middle = slab.middle();
    for (const SplintHole& hole : settings.holes) {
      Vec3 from = own * hole.at;
      from.z() = 0.5 * (slab.top(from.x(), from.y()) + slab.bottom(from.x(), from.y()));
      Vec3 out = from - middle;
      out.z() = 0;
      holes_.push_back({from, out.stableNormalized(), 0.5 * hole.diameter_mm});
    }
  }
  bool empty() const { return holes_.empty() && settings_.upper_relief.empty() && settings_.lower_relief.empty(); }
  double value(const Vec3& p) const override {
    double value = kNowhere;
    for (const Bore& bore : holes_) {
      const double along = std::max(0.0, (p - bore.from).dot(bore.out));
      value = std::min(value, (p - bore.from - along * bore.out).norm() - bore.radius);
    }
    value = std::min(value, relief(settings_.upper_relief, upper_, p));
    return std::min(value, relief(settings_.lower_relief, lower_, p));
  }

 private:
  struct Bore {
    Vec3 from, out;
    double radius;
  };
  static constexpr double kNowhere = 10;

  double relief(const std::vector<SplintRelief>& list, const SeatField& seat, const Vec3& p) const {
    double value = kNowhere;
    for (const SplintRelief& each : list) {
      const double around = (p - own_ * each.at).norm() - each.radius_mm;
      value = std::min(value, std::max(around, seat.value(p) - settings_.clearance_mm - each.extra_mm));
    }
    return value;
  }

  const SplintSettings& settings_;
  Pose own_;
  const SeatField &upper_, &lower_;
  std::vector<Bore> holes_;
};

/// How far from an arch its distances must be known.
double reach_of(const SplintSettings& settings) {
  double extra = 0;
  for (const auto& list : {settings.upper_relief, settings.lower_relief}) {
    for (const SplintRelief& relief : list) extra = std::max(extra, relief.extra_mm);
  }
  return settings.clearance_mm + 2 * settings.step_mm + kFieldStep + extra;
}

/// One splint on its way, in its own frame.
struct SplintMaker {
  const SplintRequest& request;
  const Progress& progress;
  Splint out;

  Status cancelled() const { return Error{"stopped", "", ""}; }

  Result<Splint> make() {
    const Pose own = request.frame.inverse();
    const Mesh upper = transformed(request.upper, own), lower = transformed(request.lower, own);
    const auto slab = SplintSlab::make(upper, lower, request.settings);
    if (!slab.ok()) return slab.error();
    progress.report(0.1);
    const Box box(slab.value().box().min() - Vec3::Constant(kAround),
                  slab.value().box().max() + Vec3::Constant(kAround));
    const Mesh near_upper = cropped(upper, box), near_lower = cropped(lower, box);
    const HeightMap& outline = slab.value().outline_map();
    out.upper.path =
        given_path(near_upper, slab.value().top_map(), outline, request.settings, request.settings.upper_tilt_deg);
    out.lower.path = given_path(turned_over(near_lower), turned_over(slab.value().bottom_map()), outline,
                                request.settings, request.settings.lower_tilt_deg);
    out.lower.path.off.z() = -out.lower.path.off.z();
    progress.report(0.2);
    return fill(slab.value(), near_upper, near_lower);
  }

  Result<Splint> fill(const SplintSlab& slab, const Mesh& near_upper, const Mesh& near_lower) {
    const SplintSettings& settings = request.settings;
    const double margin = 3 * settings.step_mm + 1, reach = reach_of(settings);
    const Box box(slab.box().min() - Vec3::Constant(margin), slab.box().max() + Vec3::Constant(margin));
    const SeatField upper(Surface::make(near_upper), out.upper.path.off, box, kFieldStep, reach);
    const SeatField lower(Surface::make(near_lower), out.lower.path.off, box, kFieldStep, reach);
    if (progress.cancelled()) return cancelled().error();
    progress.report(0.4);
    SplintParts parts;
    parts.form = &slab;
    parts.box = slab.box();
    parts.upper = &upper;
    parts.lower = &lower;
    const SplintCuts cuts(settings, request.frame.inverse(), slab, upper, lower);
    if (!cuts.empty()) parts.bored = &cuts;
    auto solid = make_solid(parts, settings, progress);
    if (!solid.ok()) return solid.error();
    if (progress.cancelled()) return cancelled().error();
    out.part = std::move(solid.value().part);
    out.mesh = std::move(solid.value().mesh);
    check_splint(parts, settings, progress, out);
    if (progress.cancelled()) return cancelled().error();
    return into_patient_frame();
  }

  void seat_into_patient_frame(SplintSeat& seat) const {
    seat.off = request.frame.linear() * seat.path.off;
    seat.touch = request.frame * seat.touch;
    seat.beyond_at = request.frame * seat.beyond_at;
  }

  Result<Splint> into_patient_frame() {
    out.mesh = transformed(out.mesh, request.frame);
    for (ThinPlace& place : out.thin) place.at = request.frame * place.at;
    seat_into_patient_frame(out.upper);
    seat_into_patient_frame(out.lower);
    return std::move(out);
  }
};

}  // namespace

Result<Splint> make_splint(const SplintRequest& request, const Progress& progress) {
  const Status sound = check_settings(request.settings);
  if (!sound.ok()) return sound.error();
  if (request.upper.empty() || request.lower.empty()) {
    return Error{"a splint needs an upper and a lower arch", "", "add the scans of the teeth"};
  }
  SplintMaker maker{request, progress, {}};
  return maker.make();
}

}  // namespace intercusp
