// The JSON reports of `measure` and `contact`, the same from the command line and from the page.
#pragma once

#include <nlohmann/json_fwd.hpp>

#include <map>
#include <memory>

#include "anatomy/tooth_at.h"
#include "casebook/replaced_crowns.h"
#include "geometry/pair_query.h"

namespace intercusp {

/// What scans can err by, mm: shallower than that two surfaces touch, and a place is no overlap that is counted, listed
/// or marked.
constexpr double kTouchingDepthMm = 0.1;

std::string moment_name(Moment at);

/// Adds where the arches touch, for the measures of contacts. Cost of one contact query.
void read_contact(const Case& c, MeasureInput& input);

/// {"case","plan","at","frame","measures":[...],"not_measurable":[...]}; see docs/methods.md.
nlohmann::json measure_report(const Case& c, const Plan* plan, Moment at, const SegmentPoses& poses);

/// The values of the measures of such a report, by id.
std::map<std::string, double> values_by_id(const nlohmann::json& report);

struct ContactPair {
  std::string first, second;
  ContactResult result;
};

/// Contact queries kept from one pose to the next, one for each pair of surfaces asked about last time. They say only
/// where to look first: the answers are the same with and without.
class KeptQueries {
 public:
  ContactResult at(const SurfacePtr& first, const Pose& first_pose, const SurfacePtr& second, const Pose& second_pose,
                   const ContactSettings& settings);
  /// Lets go of the queries that were not asked since the last call.
  void forget_unused();
  BaredBones& bared() { return bared_; }

 private:
  struct Kept {
    SurfacePtr first, second;
    std::unique_ptr<PairQuery> query;
    bool used = true;
  };
  std::map<std::pair<const Surface*, const Surface*>, Kept> kept_;
  BaredBones bared_;
};

/// Two bodies where they stand, ready to be compared.
struct PosedPairOfBodies {
  std::string first, second;
  SurfacePtr first_surface, second_surface;
  Pose first_pose = Pose::Identity(), second_pose = Pose::Identity();
  ScannedCrowns first_crowns, second_crowns;  ///< that stand for those of a bone, see crowns_over
};

/// Every pair of bodies on different segments that can meet, or the one pair asked for.
Result<std::vector<PosedPairOfBodies>> pairs_to_compare(const Case& c, const SegmentPoses& poses,
                                                        const std::string& first = {}, const std::string& second = {});

/// The contacts of each of these pairs; faster with the queries kept from a pose nearby. Crowns that a bone shows and a
/// scan of the same jaw shows better do not count: teeth are compared with the bone without them, and places where two
/// bones meet there are left out (the scans' own pairs tell them).
std::vector<ContactPair> contacts_of(const std::vector<PosedPairOfBodies>& pairs, const ContactSettings& settings,
                                     KeptQueries* kept = nullptr);

/// Both steps in one.
Result<std::vector<ContactPair>> contact_pairs(const Case& c, const SegmentPoses& poses,
                                               const ContactSettings& settings, const std::string& first = {},
                                               const std::string& second = {});

/// {"pairs":[{"between":[a,b],...}]}. Teeth are named from the nearest landmarks. Overlaps of two bones are divided by
/// place, with "site" and what else bone_row gives (core/casebook/bone_in_way.h); the plan tells which are planned.
/// With a plan also "plates" and "stability" (plate_row and stability_row, core/casebook/plate_sites.h), and
/// "on_the_way" of its steps (way_row, core/casebook/tooth_path.h).
nlohmann::json contact_report(const Case& c, const SegmentPoses& poses, const std::vector<ContactPair>& pairs,
                              const Plan* plan = nullptr);

}  // namespace intercusp
