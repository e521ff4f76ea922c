#include "anatomy/arch_fit.h"

#include <algorithm>
#include <cmath>

#include "anatomy/scan_partner.h"

namespace intercusp {

namespace {

constexpr double kPartnerWithin = 0.6;   ///< mm: a point of a fitted crown that is farther from the scan has no partner
constexpr double kPartnerCosine = 0.6;   ///< of its normal
constexpr double kLeastCovered = 0.45;   ///< an arch that finds less of itself was not recognised
constexpr std::size_t kStarts = 3;       ///< placements that are followed to the end

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

ArchFit drawn_on(const Surface& scan, const ArchTemplate& arch, const ArchPlacement& start) {
  ElasticArch elastic(scan, arch, start);
  // From an arch that bends little to crowns that lie by themselves.
  for (const double stiffness : {60., 40., 25., 15., 10., 6., 4., 3., 2., 1.5})
    elastic.step({40, 2.5, 0.9, 0.4, stiffness});
  for (int i = 0; i < 5; ++i) elastic.step({80, 1.6, 0.5, 0.5, 1});
  for (int i = 0; i < 4; ++i) elastic.step({400, 1.0, 0.25, 0.6, 0.4});
  return summed_up(scan, arch, elastic);
}

}  // namespace

Result<ArchFit> fit_arch(const Surface& scan, bool upper, const Progress& progress,
                         const std::optional<Pose>& patient_from_scan) {
  if (scan.mesh().empty()) return Error{"the scan has no triangles", "", "read a scan of the arch first"};
  const ArchTemplate& arch = arch_template(upper);
  std::optional<ArchFit> best;
  double done = 0.5;
  for (const ArchPlacement& start : place_arch(scan, arch, kStarts, patient_from_scan, progress)) {
    if (progress.cancelled()) break;
    ArchFit fit = drawn_on(scan, arch, start);
    if (!best || fit.covered > best->covered) best = std::move(fit);
    progress.report(done += 0.5 / kStarts);
  }
  if (progress.cancelled()) return Error{"cancelled", "", ""};
  if (!best || best->covered < kLeastCovered)
    return Error{std::string("no ") + (upper ? "upper" : "lower") + " dental arch was recognised on this scan", "",
                 "check that the scan is in millimetres and is of this jaw, or place the landmarks by hand"};
  return *std::move(best);
}

}  // namespace intercusp
