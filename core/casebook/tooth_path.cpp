#include "casebook/tooth_path.h"

#include <algorithm>
#include <cmath>

#include <nlohmann/json.hpp>

#include "anatomy/tooth_at.h"
#include "casebook/closing.h"
#include "casebook/reports.h"

namespace intercusp {

namespace {

constexpr double kLookEvery = 0.5;  ///< mm
constexpr int kLeastLooks = 4, kMostLooks = 60;
constexpr double kWorse = 0.02;  ///< mm deeper than at the ends to be worth a word

/// The plan up to an entry, of which a share is done.
Plan partly(const Plan& plan, std::size_t entry, double share) {
  Plan part = plan;
  part.entries.resize(entry + 1);
  PlanEntry& last = part.entries.back();
  Movement& m = last.movement;
  for (double* amount : {&m.forward_mm, &m.up_mm, &m.left_mm, &m.pitch_deg, &m.roll_deg, &m.yaw_deg}) *amount *= share;
  last.closing.open_deg *= share;
  return part;
}

class PathWalker {
 public:
  PathWalker(const Case& c, const Plan& plan) : c_(c), plan_(plan), arches_(arch_pairs(c)) { settings_.band_mm = 1; }

  std::vector<PathOverlap> run() {
    std::vector<PathOverlap> out;
    if (arches_.empty()) return out;
    for (std::size_t entry = 0; entry < plan_.entries.size(); ++entry) {
      if (plan_.entries[entry].kind == PlanEntry::Kind::cut) continue;
      if (const auto found = walk(entry)) out.push_back(*found);
    }
    return out;
  }

 private:
  std::optional<PathOverlap> walk(std::size_t entry) {
    const auto start = poses(entry, 0), end = poses(entry, 1);
    if (!start || !end) return std::nullopt;
    const int looks = looks_between(*start, *end);
    PathOverlap worst = look(*start, entry, 0);
    const double at_ends = std::max(worst.deepest_mm, look(*end, entry, 1).deepest_mm);
    for (int i = 1; i < looks; ++i) {
      const double share = static_cast<double>(i) / looks;
      const auto between = poses(entry, share);
      if (!between) return std::nullopt;
      const PathOverlap here = look(*between, entry, share);
      if (here.deepest_mm > worst.deepest_mm) worst = here;
    }
    worst.deepest_at_ends_mm = at_ends;
    return worst.deepest_mm > at_ends + kWorse ? std::optional<PathOverlap>(worst) : std::nullopt;
  }

  std::optional<SegmentPoses> poses(std::size_t entry, double share) const {
    const Plan part = partly(plan_, entry, share);
    auto found = segment_poses(c_, &part, Moment::planned);
    return found.ok() ? std::optional<SegmentPoses>(std::move(found).value()) : std::nullopt;
  }

  int looks_between(const SegmentPoses& start, const SegmentPoses& end) const {
    const PointMap from = points_at(c_, start), to = points_at(c_, end);
    double farthest = 0;
    for (const auto& [name, p] : from) {
      const bool tooth = name.size() > 2 && name[2] == '.';
      if (tooth) farthest = std::max(farthest, (to.at(name) - p).norm());
    }
    return std::clamp(static_cast<int>(std::ceil(farthest / kLookEvery)), kLeastLooks, kMostLooks);
  }

  PathOverlap look(const SegmentPoses& at, std::size_t entry, double share) {
    PathOverlap found;
    found.entry = entry;
    found.share = share;
    for (const auto& [upper, lower] : arches_) {
      const ContactResult r = queries_.at(upper->surface, pose_of_body(c_, *upper, at), lower->surface,
                                          pose_of_body(c_, *lower, at), settings_);
      if (r.regions.empty() || r.regions.front().deepest_mm <= found.deepest_mm) continue;
      const PointMap points = points_at(c_, at);
      found.deepest_mm = r.regions.front().deepest_mm;
      found.upper_tooth = tooth_at(points, r.regions.front().at, Jaw::upper);
      found.lower_tooth = tooth_at(points, r.regions.front().at, Jaw::lower);
    }
    return found;
  }

  const Case& c_;
  const Plan& plan_;
  const std::vector<ArchPair> arches_;
  ContactSettings settings_;
  KeptQueries queries_;
};

}  // namespace

std::vector<PathOverlap> overlaps_on_the_way(const Case& c, const Plan& plan) {
  return PathWalker(c, plan).run();
}

std::string teeth_words(const PathOverlap& way) {
  if (way.upper_tooth == 0 || way.lower_tooth == 0) return "upper on lower teeth";
  return std::to_string(way.upper_tooth) + " on " + std::to_string(way.lower_tooth);
}

nlohmann::json way_row(const PathOverlap& way) {
  nlohmann::json teeth;
  if (way.upper_tooth != 0 && way.lower_tooth != 0) teeth = {way.upper_tooth, way.lower_tooth};
  return {{"step", way.entry + 1},
          {"share", way.share},
          {"deepest_mm", way.deepest_mm},
          {"deepest_at_ends_mm", way.deepest_at_ends_mm},
          {"teeth", teeth}};
}

}  // namespace intercusp
