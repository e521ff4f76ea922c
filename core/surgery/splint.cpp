#include "surgery/splint.h"

#include <cmath>
#include <optional>

#include "base/parallel.h"
#include "surgery/coarse_arch.h"
#include "surgery/splint_check.h"
#include "surgery/splint_text.h"

namespace intercusp {
namespace {

constexpr double kAround = 3;           ///< of an arch that is kept around the slab, mm
constexpr double kFieldStep = 0.3;      ///< least spacing of the distances to an arch, mm
constexpr double kCoarsestText = 0.35;  ///< spacing of a grid that still draws strokes of 0.8 mm
constexpr std::size_t kSeatTries = 3;   ///< at leaving room where an arch touches on its way in
constexpr double kTouchRoom = 0.5;      ///< radius of that room, mm
constexpr PathSearch kPathSearch{0.5, 0.02}, kLookPathSearch{1, 0.3};
constexpr double kLookPathCell = 1.2;  ///< to which the arches are made coarse for seeking their paths of a look, mm
constexpr double kLookCell = 0.6;      ///< to which the arches are made coarse for a look, mm

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

/// A slab as an arch that seats from above sees it.
struct SlabSide {
  HeightMap top, outline;
};

/// The way chosen by hand; none: sought, or straight.
SeatingPath chosen_path(const Mesh& arch, const SlabSide& side, const SplintSettings& settings,
                        const std::array<double, 2>* given_deg) {
  if (!given_deg && settings.find_path)
    return best_path(arch, side.top, side.outline, settings.to_print ? kPathSearch : kLookPathSearch);
  SeatingPath path;
  if (given_deg) {
    path.forward_deg = (*given_deg)[0];
    path.left_deg = (*given_deg)[1];
  }
  path.off = tilted_way(path.forward_deg, path.left_deg);
  return path;
}

/// An arch's painted zone with its room.
struct SplintZone {
  SeatField seat;
  double room_mm;
};

/// Holes for wires and more room around what is bonded to the teeth, in the splint's own frame: negative in what is
/// taken out.
class SplintCuts : public ScalarField {
 public:
  SplintCuts(const SplintSettings& settings, const Pose& own, const SplintSlab& slab, const SeatField& upper,
             const SeatField& lower, const std::vector<SplintZone>& zones)
      : settings_(settings), own_(own), upper_(upper), lower_(lower), zones_(zones) {
    const Vec3 middle = slab.middle();
    for (const SplintHole& hole : settings.holes) {
      Vec3 from = own * hole.at;
      from.z() = 0.5 * (slab.top(from.x(), from.y()) + slab.bottom(from.x(), from.y()));
      Vec3 out = from - middle;
      out.z() = 0;
      holes_.push_back({from, out.stableNormalized(), 0.5 * hole.diameter_mm});
    }
  }
  bool empty() const {
    return holes_.empty() && zones_.empty() && settings_.upper_relief.empty() && settings_.lower_relief.empty();
  }
  double value(const Vec3& p) const override {
    double value = kNowhere;
    for (const Bore& bore : holes_) {
      const double along = std::max(0.0, (p - bore.from).dot(bore.out));
      value = std::min(value, (p - bore.from - along * bore.out).norm() - bore.radius);
    }
    for (const SplintZone& zone : zones_) value = std::min(value, zone.seat.value(p) - zone.room_mm);
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
  const std::vector<SplintZone>& zones_;
  std::vector<Bore> holes_;
};

/// As fine as the surface is worth.
double field_step(const SplintSettings& settings) {
  if (!settings.to_print) return settings.step_mm;
  return std::max(kFieldStep, 0.75 * settings.step_mm);
}

/// How far from an arch its distances must be known.
double reach_of(const SplintSettings& settings) {
  double extra = 0;
  for (const auto& list : {settings.upper_relief, settings.lower_relief}) {
    for (const SplintRelief& relief : list) extra = std::max(extra, relief.extra_mm);
  }
  return settings.clearance_mm + settings.step_mm + field_step(settings) + extra;
}

/// One splint on its way, in its own frame.
struct SplintMaker {
  const SplintRequest& request;
  const Progress& progress;
  Splint out;

  Status cancelled() const { return Error{"stopped", "", ""}; }

  /// In the splint's own frame.
  Mesh arch_from(const Mesh& arch_of_patient, const Pose& own) const {
    const Mesh arch = transformed(arch_of_patient, own);
    return request.settings.to_print ? arch : coarse_arch(arch, kLookCell);
  }

  Result<Splint> make() {
    const Pose own = request.frame.inverse();
    Mesh upper, lower;
    both([&] { upper = arch_from(request.upper, own); }, [&] { lower = arch_from(request.lower, own); });
    const auto slab = SplintSlab::make(upper, lower, request.settings);
    if (!slab.ok()) return slab.error();
    progress.report(0.1);
    const Box box(slab.value().box().min() - Vec3::Constant(kAround),
                  slab.value().box().max() + Vec3::Constant(kAround));
    const Mesh near_upper = cropped(upper, box), near_lower = cropped(lower, box);
    find_paths(slab.value(), near_upper, near_lower);
    progress.report(0.2);
    return fill(slab.value(), near_upper, near_lower);
  }

  void find_paths(const SplintSlab& slab, const Mesh& near_upper, const Mesh& near_lower) {
    const SplintSettings& s = request.settings;
    const auto form = [&](const Mesh& arch) { return s.to_print ? arch : coarse_arch(arch, kLookPathCell); };
    const SlabSide above{slab.top_map(), slab.outline_map()};
    const SlabSide below{turned_over(slab.bottom_map()), slab.outline_map()};
    both(
        [&] {
          out.upper.path = chosen_path(form(near_upper), above, s, s.upper_path_given ? &s.upper_tilt_deg : nullptr);
        },
        [&] {
          out.lower.path =
              chosen_path(turned_over(form(near_lower)), below, s, s.lower_path_given ? &s.lower_tilt_deg : nullptr);
        });
    out.lower.path.off.z() = -out.lower.path.off.z();
  }

  Result<Splint> fill(const SplintSlab& slab, const Mesh& near_upper, const Mesh& near_lower) {
    const SplintSettings& settings = request.settings;
    const double margin = 3 * settings.step_mm + 1, reach = reach_of(settings);
    const Box box(slab.box().min() - Vec3::Constant(margin), slab.box().max() + Vec3::Constant(margin));
    const double spacing = field_step(settings);

    std::optional<SeatField> upper, lower;
    const auto field = [&](const Mesh& arch, const SplintSeat& seat, std::optional<SeatField>& into) {
      into.emplace(Surface::make(arch), seat.path.off, box, spacing, reach, &slab);
    };
    both([&] { field(near_upper, out.upper, upper); }, [&] { field(near_lower, out.lower, lower); });
    if (progress.cancelled()) return cancelled().error();
    progress.report(0.4);
    SplintParts parts;
    parts.form = &slab;
    parts.box = slab.box();
    parts.upper = &*upper;
    parts.lower = &*lower;
    const std::vector<SplintZone> zones = painted_zones(slab, box);
    const SplintCuts cuts(settings, request.frame.inverse(), slab, *upper, *lower, zones);
    if (!cuts.empty()) parts.bored = &cuts;
    const std::optional<SplintText> text = raised_text(slab);
    if (text) parts.text = &*text;
    const Status made = make_until_seated(parts);
    if (!made.ok()) return made.error();
    return into_patient_frame();
  }

  /// Where a scan is at fault by less than the grid sees, an arch may touch on its way in: there room is left, and the
  /// splint made again.
  Status make_until_seated(SplintParts& parts) {
    const SeatingPath upper = out.upper.path, lower = out.lower.path;
    for (std::size_t attempt = 0, given = 0;; ++attempt) {
      auto solid = make_solid(parts, request.settings, progress);
      if (!solid.ok()) return solid.error();
      if (progress.cancelled()) return cancelled();
      out.part = std::move(solid.value().part);
      out.mesh = std::move(solid.value().mesh);
      out.upper = seat_along(upper);
      out.lower = seat_along(lower);
      check_splint(parts, request.settings, progress, out);
      if (progress.cancelled()) return cancelled();
      out.left_open = given;
      parts.rooms = std::move(solid.value().rooms);
      const std::size_t before = parts.rooms.size();
      for (const SplintSeat* seat : {&out.upper, &out.lower}) {
        if (seat->checked && !seat->seats) parts.rooms.push_back({seat->touch, kTouchRoom});
      }
      if (attempt == kSeatTries || parts.rooms.size() == before) return Done{};
      given += parts.rooms.size() - before;
    }
  }

  static SplintSeat seat_along(const SeatingPath& path) {
    SplintSeat seat;
    seat.path = path;
    return seat;
  }

  /// What lies within the clearance and the zone's own room of painted teeth on their way off.
  std::vector<SplintZone> painted_zones(const SplintSlab& slab, const Box& box) const {
    const SplintSettings& settings = request.settings;
    std::vector<SplintZone> zones;
    const double room = settings.clearance_mm + settings.zone_room_mm, spacing = field_step(settings);
    for (const bool of_upper : {true, false}) {
      const Mesh& painted = of_upper ? request.upper_zone : request.lower_zone;
      if (settings.zone_room_mm <= 0 || painted.empty()) continue;
      const SurfacePtr surface = Surface::make(cropped(transformed(painted, request.frame.inverse()), box));
      if (surface->mesh().empty()) continue;
      const Vec3& off = of_upper ? out.upper.path.off : out.lower.path.off;
      zones.push_back({SeatField(surface, off, box, spacing, room + settings.step_mm + spacing, &slab), room});
    }
    return zones;
  }

  /// Left out where the grid is too coarse to draw its strokes.
  std::optional<SplintText> raised_text(const SplintSlab& slab) {
    if (request.settings.step_mm > kCoarsestText) return std::nullopt;
    for (const std::string& words : request.settings.raised_text) {
      auto text = SplintText::make(slab, words, request.settings.rounding_mm);
      if (!text) continue;
      out.text = words;
      out.letter_mm = text->letter_mm();
      return text;
    }
    return std::nullopt;
  }

  void seat_into_patient_frame(SplintSeat& seat) const {
    seat.off = request.frame.linear() * seat.path.off;
    seat.touch = request.frame * seat.touch;
    seat.blocked_at = request.frame * seat.blocked_at;
    seat.beyond_at = request.frame * seat.beyond_at;
  }

  Result<Splint> into_patient_frame() {
    out.mesh = transformed(out.mesh, request.frame);
    for (ThinPlace& place : out.thin) place.at = request.frame * place.at;
    out.fins.thinnest.at = request.frame * out.fins.thinnest.at;
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
