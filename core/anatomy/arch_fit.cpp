#include "anatomy/arch_fit.h"

#include <algorithm>
#include <cmath>

#include "anatomy/scan_partner.h"

namespace intercusp {

namespace {

constexpr double kPartnerWithin = 0.6;   ///< mm: a point of a fitted crown that is farther from the scan has no partner
constexpr double kPartnerCosine = 0.6;   ///< of its normal
constexpr double kLeastCovered = 0.45;   ///< an arch that finds less of itself was not recognised
constexpr double kClearlyCovered = 0.9;  ///< one that finds this much lies right: no other place is tried
constexpr double kAsGood = 0.06;         ///< below the best: followed to the end as well
constexpr std::size_t kStarts = 4;       ///< placements that are bent to the scan, before slipping

FittedCrown judged(const Surface& scan, const TemplateCrown& model, const CrownOnScan& place) {
  FittedCrown fitted;
  fitted.place = place;
  double sum = 0;
  std::size_t found = 0;
  std::uint32_t hint = 0;
  ScanPartner partner;
  for (std::size_t i = 0; i < model.points.size(); ++i) {
    const Vec3 normal = place.turned_normal(model.normals[i]);
    if (!find_partner(scan, place.world(model.points[i]), normal, kPartnerWithin, kPartnerCosine, hint, partner))
      continue;
    sum += partner.away_mm * partner.away_mm;
    ++found;
  }
  fitted.covered = static_cast<double>(found) / static_cast<double>(model.points.size());
  fitted.rms_mm = found ? std::sqrt(sum / static_cast<double>(found)) : kPartnerWithin;
  return fitted;
}

/// The chewing direction: that of the average arch, turned as its crowns are on the whole.
Vec3 chewing_direction(const ArchTemplate& arch, const std::vector<FittedCrown>& crowns) {
  Vec3 sum = Vec3::Zero();
  for (std::size_t i = 0; i < crowns.size(); ++i)
    sum += crowns[i].place.axes * (arch.crowns[i].placed.axes.transpose() * arch.occlusal());
  return sum.normalized();
}

ArchFit summed_up(const Surface& scan, const ArchTemplate& arch, const ElasticArch& elastic) {
  ArchFit fit;
  fit.upper = arch.upper;
  double square = 0;
  for (std::size_t i = 0; i < arch.crowns.size(); ++i) {
    fit.crowns.push_back(judged(scan, arch.crowns[i], elastic.crowns()[i]));
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
  return elastic.covered_on_the_whole(30, kPartnerWithin, kPartnerCosine);
}

/// Crowns that lie well: most of their points on the scan, of a size like the others.
std::vector<bool> well_lying(ElasticArch& elastic) {
  constexpr double kWell = 0.78, kSizeLikeOthers = 0.13;
  std::vector<double> sizes;
  for (const CrownOnScan& c : elastic.crowns()) sizes.push_back(std::log(c.scale.x()));
  std::nth_element(sizes.begin(), sizes.begin() + 7, sizes.end());
  std::vector<bool> well;
  for (std::size_t i = 0; i < elastic.crowns().size(); ++i)
    well.push_back(elastic.covered(i, kPartnerWithin, kPartnerCosine) > kWell &&
                   std::abs(std::log(elastic.crowns()[i].scale.x()) - sizes[7]) < kSizeLikeOthers);
  return well;
}

/// Crowns that do not lie well are stood again beside those that do, higher or lower, where that helps: teeth that stand
/// well above or below their neighbours are out of reach at first. True when something was mended.
bool mend(ElasticArch& elastic) {
  const std::vector<bool> well = well_lying(elastic);
  if (std::all_of(well.begin(), well.end(), [](bool w) { return w; })) return false;
  std::optional<ElasticArch> best;
  double covered = share_of(elastic);
  for (const double up_mm : {0., 1.5, 3., 4.5, -1.5, -3.}) {
    ElasticArch again = elastic;
    again.regrow(well, up_mm);
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
      ArchFit next = summed_up(scan_, arch_, bent.elastic);
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
