#include "anatomy/arch_fit.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace intercusp {

namespace {

constexpr double kLeastCovered = 0.45;   ///< an arch that finds less of itself was not recognised
constexpr double kClearlyCovered = 0.9;  ///< one that finds this much lies right: no other place is tried
constexpr double kAsGood = 0.06;         ///< below the best: followed to the end as well
constexpr std::size_t kStarts = 4;       ///< placements that are bent to the scan, before slipping

/// The chewing direction: that of the average arch, turned as its crowns are on the whole.
Vec3 chewing_direction(const ArchTemplate& arch, const std::vector<FittedCrown>& crowns) {
  Vec3 sum = Vec3::Zero();
  for (std::size_t i = 0; i < crowns.size(); ++i)
    sum += crowns[i].place.axes * (arch.crowns[i].placed.axes.transpose() * arch.occlusal());
  return sum.normalized();
}

ArchFit summed_up(const ArchTemplate& arch, ElasticArch& elastic) {
  ArchFit fit;
  fit.upper = arch.upper;
  double square = 0;
  for (std::size_t i = 0; i < arch.crowns.size(); ++i) {
    fit.crowns.push_back({elastic.lying(i), elastic.crowns()[i]});
    const FittedCrown& c = fit.crowns.back();
    fit.covered += c.covered / static_cast<double>(arch.crowns.size());
    square += c.rms_mm * c.rms_mm / static_cast<double>(arch.crowns.size());
  }
  fit.rms_mm = std::sqrt(square);
  fit.up = chewing_direction(arch, fit.crowns);
  return fit;
}

/// From an arch that bends little to one that bends as much as people differ.
void bend(ElasticArch& elastic) {
  for (const double stiffness : {60., 40., 25., 15., 10., 6., 4., 3., 2., 1.5})
    elastic.step({30, 2.5, 0.9, 0.4, stiffness});
}

/// Every crown by itself.
void settle(ElasticArch& elastic) {
  for (int i = 0; i < 5; ++i) elastic.step({80, 1.6, 0.5, 0.5, 1});
  for (int i = 0; i < 4; ++i) elastic.step({400, 1.0, 0.25, 0.6, 0.4});
}

double share_of(ElasticArch& elastic) {
  double sum = 0;
  for (std::size_t i = 0; i < elastic.crowns().size(); ++i) sum += elastic.lying(i, 30).covered;
  return sum / static_cast<double>(elastic.crowns().size());
}

double ranked(std::vector<double> values, std::size_t rank) {
  std::nth_element(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(rank), values.end());
  return values[rank];
}

/// Crowns that lie well: most of their points on the scan, as near as those of the others, and of a size like theirs.
std::vector<bool> well_lying(ElasticArch& elastic) {
  constexpr double kWell = 0.78, kSizeLikeOthers = 0.13, kAsNear = 2.2;
  const std::size_t count = elastic.crowns().size();
  std::vector<Lying> lying;
  std::vector<double> rms;
  std::array<std::vector<double>, 3> sizes;
  for (std::size_t i = 0; i < count; ++i) {
    lying.push_back(elastic.lying(i));
    rms.push_back(lying.back().rms_mm);
    for (std::size_t k = 0; k < 3; ++k)
      sizes[k].push_back(std::log(elastic.crowns()[i].scale[static_cast<Eigen::Index>(k)]));
  }
  std::vector<bool> well;
  for (std::size_t i = 0; i < count; ++i) {
    bool fine = lying[i].covered > kWell && rms[i] < kAsNear * ranked(rms, count / 4);
    for (const auto& size : sizes) fine = fine && std::abs(size[i] - ranked(size, count / 2)) < kSizeLikeOthers;
    well.push_back(fine);
  }
  return well;
}

/// Without those that stand beside one that does not lie well.
std::vector<bool> without_edges(const std::vector<bool>& well) {
  std::vector<bool> inner = well;
  for (std::size_t i = 0; i < well.size(); ++i)
    if ((i > 0 && !well[i - 1]) || (i + 1 < well.size() && !well[i + 1])) inner[i] = false;
  return inner;
}

bool none(const std::vector<bool>& flags) {
  return std::find(flags.begin(), flags.end(), true) == flags.end();
}

/// Crowns that do not lie well are stood again beside those that do, higher or lower, where that helps: teeth that
/// stand well above or below their neighbours are out of reach at first, and an arch may be a tooth off on one side.
/// True when something was mended.
bool mend(ElasticArch& elastic) {
  const std::vector<bool> well = well_lying(elastic);
  if (std::find(well.begin(), well.end(), false) == well.end()) return false;
  std::optional<ElasticArch> best;
  double covered = share_of(elastic);
  for (const std::vector<bool>& kept : {well, without_edges(well)})
    for (const double up_mm : {0., 1.5, 3., 4.5, -1.5, -3.}) {
      if (none(kept)) continue;
      ElasticArch again = elastic;
      again.regrow(kept, up_mm);
      for (const double stiffness : {20., 10., 6., 4., 2., 1.}) again.step({30, 2.2, 0.8, 0.4, stiffness});
      const double share = share_of(again);
      if (share <= covered + 0.005) continue;
      covered = share;
      best.emplace(again);
    }
  if (!best) return false;
  elastic = *best;
  settle(elastic);
  return true;
}

/// Bends the arch from many places and keeps the two that lie best.
class Search {
 public:
  Search(const Surface& scan, const ArchTemplate& arch) : scan_(scan), arch_(arch) {}

  /// True when one of them lies so well that no other needs to be tried.
  bool from(const std::vector<ArchPlacement>& starts, const Progress& progress) {
    for (const ArchPlacement& start : starts) {
      if (progress.cancelled()) return true;
      ElasticArch elastic(scan_, arch_, start);
      bend(elastic);
      best_.push_back({share_of(elastic), elastic});
      std::stable_sort(best_.begin(), best_.end(), [](const Bent& a, const Bent& b) { return a.covered > b.covered; });
      if (best_.size() > 2) best_.pop_back();
      if (best_[0].covered > kClearlyCovered) return true;
    }
    return false;
  }

  std::optional<ArchFit> settled() {
    std::optional<ArchFit> fit;
    for (Bent& bent : best_) {
      if (bent.covered < best_[0].covered - kAsGood) continue;
      settle(bent.elastic);
      for (int round = 0; round < 3 && mend(bent.elastic); ++round) continue;
      ArchFit next = summed_up(arch_, bent.elastic);
      if (!fit || next.covered > fit->covered) fit = std::move(next);
    }
    return fit;
  }

 private:
  struct Bent {
    double covered;
    ElasticArch elastic;
  };
  const Surface& scan_;
  const ArchTemplate& arch_;
  std::vector<Bent> best_;
};

}  // namespace

Result<ArchFit> fit_arch(const Surface& scan, bool upper, const Progress& progress,
                         const std::optional<Pose>& patient_from_scan) {
  if (scan.mesh().empty()) return Error{"the scan has no triangles", "", "read a scan of the arch first"};
  const ArchTemplate& arch = arch_template(upper);
  Search search(scan, arch);
  const std::vector<ArchPlacement> places = place_arch(scan, arch, kStarts, patient_from_scan, progress);
  if (!search.from(places, progress)) search.from(slip_arch(places), progress);
  progress.report(0.8);
  if (progress.cancelled()) return Error{"cancelled", "", ""};
  std::optional<ArchFit> fit = search.settled();
  if (!fit || fit->covered < kLeastCovered)
    return Error{std::string("no ") + (upper ? "upper" : "lower") + " dental arch was recognised on this scan", "",
                 "check that the scan is in millimetres and is of this jaw, or place the landmarks by hand"};
  progress.report(1);
  return *std::move(fit);
}

}  // namespace intercusp
