#include "casebook/reports.h"

#include <nlohmann/json.hpp>

#include "anatomy/tooth_at.h"
#include "casebook/bone_in_way.h"
#include "casebook/plate_sites.h"
#include "casebook/tooth_path.h"
#include "occlusion/changed_by.h"
#include "occlusion/relation.h"

namespace intercusp {

using nlohmann::json;

namespace {

json point(const Vec3& v) {
  return json::array({v.x(), v.y(), v.z()});
}

json optional_number(const std::optional<double>& value) {
  return value ? json(*value) : json();
}

json constructs(const std::vector<Construct>& list) {
  json out = json::array();
  for (const Construct& construct : list) {
    json points = json::array();
    for (const Vec3& p : construct.points) points.push_back(point(p));
    out.push_back({{"kind", construct.kind}, {"points", std::move(points)}});
    if (!construct.label.empty()) out.back()["label"] = construct.label;
  }
  return out;
}

json measured_row(const MeasureDefinition& definition, const MeasureValue& value) {
  json row = {{"id", definition.id},
              {"name", definition.name},
              {"value", value.value},
              {"unit", definition.unit},
              {"uncertainty", value.uncertainty},
              {"usual", definition.usual ? json::array({(*definition.usual)[0], (*definition.usual)[1]}) : json()},
              {"source", definition.source},
              {"definition", definition.definition},
              {"changed_by", changed_by(definition.id)},
              {"words", in_words(definition, value)},
              {"construct", constructs(value.construct)}};
  if (value.relation) row["class"] = *value.relation;
  if (value.quarters) row["quarters"] = *value.quarters;
  if (value.unit_mm) row["unit_mm"] = *value.unit_mm;
  if (value.probability) row["probability"] = *value.probability;
  for (const ClassOdds& odds : value.odds) {
    row["odds"].push_back(
        {{"class", angle_class(odds.quarters)}, {"quarters", odds.quarters}, {"probability", odds.probability}});
  }
  if (!value.odds.empty()) row["odds_words"] = odds_in_words(value);
  if (value.finding) row["finding"] = *value.finding;
  if (value.sagittal_mm) row["sagittal_mm"] = *value.sagittal_mm;
  if (value.from_mesh) row["from_mesh"] = *value.from_mesh;
  for (const PairReading& pair : value.pairs)
    row["pairs"].push_back({{"between", pair.between}, {"value", pair.value}});
  return row;
}

Jaw jaw_of_body(const std::string& name) {
  if (name.rfind("upper_arch", 0) == 0) return Jaw::upper;  // also the arch of a piece
  return name.rfind("lower_arch", 0) == 0 ? Jaw::lower : Jaw::skull;
}

/// The teeth of both bodies at a point, first body first; empty unless both are arches.
json teeth(const PointMap& points, const ContactPair& pair, const Vec3& at) {
  const Jaw a = jaw_of_body(pair.first), b = jaw_of_body(pair.second);
  if (a == Jaw::skull || b == Jaw::skull) return {};
  const int first = tooth_at(points, at, a), second = tooth_at(points, at, b);
  if (first == 0 || second == 0) return {};
  return json::array({std::to_string(first), std::to_string(second)});
}

/// "46 against maxilla" where teeth meet bone; empty for other pairs.
std::string tooth_against_bone(const PointMap& points, const ContactPair& pair, const Vec3& at) {
  const Jaw a = jaw_of_body(pair.first), b = jaw_of_body(pair.second);
  if ((a == Jaw::skull) == (b == Jaw::skull)) return {};
  const int tooth = tooth_at(points, at, a == Jaw::skull ? b : a);
  const std::string& arch = a == Jaw::skull ? pair.second : pair.first;
  return (tooth == 0 ? arch : std::to_string(tooth)) + " against " + (a == Jaw::skull ? pair.first : pair.second);
}

json region_row(const PointMap& points, const ContactPair& pair, const OverlapRegion& region) {
  json row = {{"deepest_mm", region.deepest_mm},
              {"at", point(region.at)},
              {"direction", point(region.direction)},
              {"volume_mm3", optional_number(region.volume_mm3)},
              {"area_mm2", region.area_mm2}};
  json at = teeth(points, pair, region.at);
  if (!at.empty()) row["teeth"] = std::move(at);
  const std::string site = tooth_against_bone(points, pair, region.at);
  if (!site.empty()) row["site"] = site;
  return row;
}

json contact_row(const PointMap& points, const ContactPair& pair, const ContactPatch& patch) {
  json row = {{"at", point(patch.at)}, {"gap_mm", patch.gap_mm}, {"area_mm2", patch.area_mm2}};
  json at = teeth(points, pair, patch.at);
  if (!at.empty()) row["teeth"] = std::move(at);
  return row;
}

json pair_row(const PointMap& points, const ContactPair& pair) {
  const ContactResult& r = pair.result;
  json row = {{"between", {pair.first, pair.second}},
              {"minimum_distance_mm", std::isfinite(r.minimum_distance_mm) ? json(r.minimum_distance_mm) : json()},
              {"overlap_volume_mm3", optional_number(r.overlap_volume_mm3)},
              {"regions", json::array()},
              {"contacts", json::array()}};
  if (!r.overlap_volume_mm3) row["why"] = r.volume_why;
  for (const OverlapRegion& region : r.regions) row["regions"].push_back(region_row(points, pair, region));
  for (const ContactPatch& patch : r.contacts) row["contacts"].push_back(contact_row(points, pair, patch));
  return row;
}

PosedPairOfBodies posed(const Case& c, const SegmentPoses& poses, const Body& a, const Body& b,
                        const ScannedCrowns& over_a, const ScannedCrowns& over_b) {
  return {a.name, b.name, a.surface, b.surface, pose_of_body(c, a, poses), pose_of_body(c, b, poses), over_a, over_b};
}

Error unknown_body(const Case& c, const std::string& name) {
  std::string known;
  for (const Body& body : c.bodies) known += (known.empty() ? "" : ", ") + body.name;
  return Error{"the case has no body named " + name, "", "its bodies are: " + known};
}

}  // namespace

std::string moment_name(Moment at) {
  switch (at) {
    case Moment::rest:
      return "rest";
    case Moment::intermediate:
      return "intermediate";
    case Moment::planned:
      break;
  }
  return "planned";
}

void read_contact(const Case& c, MeasureInput& input) {
  if (!input.upper.surface || !input.lower.surface) return;
  auto contact = std::make_shared<ArchContact>();
  ContactSettings settings = c.contact_settings;
  settings.band_mm = 1;  // as far as the measures look
  contact->contact_mm = settings.contact_mm;
  contact->result = find_contact(*input.upper.surface, input.upper.patient_from_surface, *input.lower.surface,
                                 input.lower.patient_from_surface, settings);
  input.contact = std::move(contact);
}

json measure_report(const Case& c, const Plan* plan, Moment at, const SegmentPoses& poses) {
  json report = {{"case", c.id},
                 {"plan", plan ? json(plan->name) : json()},
                 {"at", moment_name(at)},
                 {"frame", "occlusal"},
                 {"measures", json::array()},
                 {"not_measurable", json::array()}};
  MeasureInput input = measure_input(c, poses);
  read_contact(c, input);
  for (const MeasureRow& row : measure_all(input)) {
    if (row.value) {
      report["measures"].push_back(measured_row(*row.definition, *row.value));
    } else {
      report["not_measurable"].push_back(
          {{"id", row.definition->id}, {"name", row.definition->name}, {"needs", row.needs}});
    }
  }
  return report;
}

std::map<std::string, double> values_by_id(const json& report) {
  std::map<std::string, double> values;
  for (const json& row : report["measures"]) values[row["id"].get<std::string>()] = row["value"].get<double>();
  return values;
}

ContactResult KeptQueries::at(const SurfacePtr& first, const Pose& first_pose, const SurfacePtr& second,
                              const Pose& second_pose, const ContactSettings& settings) {
  Kept& kept = kept_[{first.get(), second.get()}];
  if (!kept.query) kept = {first, second, std::make_unique<PairQuery>(*first, *second), true};
  kept.used = true;
  return kept.query->at(first_pose, second_pose, settings);
}

void KeptQueries::forget_unused() {
  for (auto it = kept_.begin(); it != kept_.end();) {
    it = it->second.used ? std::next(it) : kept_.erase(it);
  }
  for (auto& entry : kept_) entry.second.used = false;
  bared_.forget_unused();
}

namespace {

/// Roots lie inside their bone: whatever came to them would have met the bone before.
bool inside_bone(const Body& body) {
  const std::string tail = "_roots";
  return body.name.size() > tail.size() && body.name.compare(body.name.size() - tail.size(), tail.size(), tail) == 0;
}

}  // namespace

Result<std::vector<PosedPairOfBodies>> pairs_to_compare(const Case& c, const SegmentPoses& poses,
                                                        const std::string& first, const std::string& second) {
  if (!first.empty() || !second.empty()) {
    const Body *a = c.find_body(first), *b = c.find_body(second);
    if (!a) return unknown_body(c, first);
    if (!b) return unknown_body(c, second);
    return std::vector<PosedPairOfBodies>{posed(c, poses, *a, *b, crowns_over(c, *a), crowns_over(c, *b))};
  }
  std::vector<ScannedCrowns> over;
  for (const Body& body : c.bodies) over.push_back(crowns_over(c, body));
  std::vector<PosedPairOfBodies> pairs;
  for (std::size_t i = 0; i < c.bodies.size(); ++i) {
    for (std::size_t k = i + 1; k < c.bodies.size(); ++k) {
      if (segment_of_body(c, c.bodies[i]) == segment_of_body(c, c.bodies[k])) continue;
      if (inside_bone(c.bodies[i]) || inside_bone(c.bodies[k])) continue;
      pairs.push_back(posed(c, poses, c.bodies[i], c.bodies[k], over[i], over[k]));
    }
  }
  return pairs;
}

namespace {

/// One pair of bodies at a time, with the crowns of bone that scans stand for left out.
class PairComparer {
 public:
  PairComparer(const ContactSettings& settings, KeptQueries& queries) : settings_(settings), queries_(queries) {}

  ContactResult compare(const PosedPairOfBodies& p) {
    const bool first_teeth = is_dental(p.first), second_teeth = is_dental(p.second);
    if (first_teeth || second_teeth)
      return at(p, second_teeth ? bared(p.first_surface, p.first_crowns) : p.first_surface,
                first_teeth ? bared(p.second_surface, p.second_crowns) : p.second_surface);
    ContactResult result = at(p, p.first_surface, p.second_surface);
    const SurfacePtr first = bared(p.first_surface, p.first_crowns), second = bared(p.second_surface, p.second_crowns);
    if (first != p.first_surface || second != p.second_surface) leave_crowns_out(p, first, second, result);
    return result;
  }

 private:
  SurfacePtr bared(const SurfacePtr& bone, const ScannedCrowns& over) { return queries_.bared().of(bone, over); }

  ContactResult at(const PosedPairOfBodies& p, const SurfacePtr& first, const SurfacePtr& second) {
    return queries_.at(first, p.first_pose, second, p.second_pose, settings_);
  }

  void leave_crowns_out(const PosedPairOfBodies& p, const SurfacePtr& first, const SurfacePtr& second,
                        ContactResult& result) {
    const auto on_crown = [&](const Vec3& place) {
      return on_scanned_crown(*p.first_surface, *first, p.first_pose.inverse() * place) ||
             on_scanned_crown(*p.second_surface, *second, p.second_pose.inverse() * place);
    };
    std::vector<OverlapRegion> regions;
    for (OverlapRegion& region : result.regions) {
      if (!on_crown(region.at)) {
        regions.push_back(std::move(region));
      } else if (result.overlap_volume_mm3 && region.volume_mm3) {
        *result.overlap_volume_mm3 = std::max(0.0, *result.overlap_volume_mm3 - *region.volume_mm3);
      }
    }
    result.regions = std::move(regions);
    auto& contacts = result.contacts;
    contacts.erase(
        std::remove_if(contacts.begin(), contacts.end(), [&](const ContactPatch& patch) { return on_crown(patch.at); }),
        contacts.end());
    if (!result.regions.empty() || !std::isfinite(result.minimum_distance_mm)) return;
    if (result.minimum_distance_mm > 0 && !on_crown(result.nearest_first)) return;
    const ContactResult without = at(p, first, second);
    result.minimum_distance_mm = without.minimum_distance_mm;
    result.nearest_first = without.nearest_first;
    result.nearest_second = without.nearest_second;
  }

  const ContactSettings& settings_;
  KeptQueries& queries_;
};

}  // namespace

std::vector<ContactPair> contacts_of(const std::vector<PosedPairOfBodies>& pairs, const ContactSettings& settings,
                                     KeptQueries* kept) {
  KeptQueries once;
  PairComparer comparer(settings, kept ? *kept : once);
  std::vector<ContactPair> found;
  for (const PosedPairOfBodies& p : pairs) found.push_back({p.first, p.second, comparer.compare(p)});
  if (kept) kept->forget_unused();
  return found;
}

Result<std::vector<ContactPair>> contact_pairs(const Case& c, const SegmentPoses& poses,
                                               const ContactSettings& settings, const std::string& first,
                                               const std::string& second) {
  auto pairs = pairs_to_compare(c, poses, first, second);
  if (!pairs) return pairs.error();
  return contacts_of(pairs.value(), settings);
}

json contact_report(const Case& c, const SegmentPoses& poses, const std::vector<ContactPair>& pairs, const Plan* plan) {
  const PointMap points = points_at(c, poses);
  const BoneInWayFinder finder(c, plan, poses);
  json report = {{"pairs", json::array()}};
  for (const ContactPair& pair : pairs) {
    report["pairs"].push_back(pair_row(points, pair));
    json& regions = report["pairs"].back()["regions"];
    if (regions.empty() || !BoneInWayFinder::applies(pair)) continue;
    regions = json::array();
    for (const BoneInWay& row : finder.in(pair)) regions.push_back(bone_row(row));
  }
  if (!plan) return report;
  report["plates"] = report["stability"] = report["on_the_way"] = json::array();
  for (const PlateGap& gap : plate_gaps(c, plan, poses)) report["plates"].push_back(plate_row(gap));
  for (const StabilityNote& note : stability_notes(extent_of(c, poses)))
    report["stability"].push_back(stability_row(note));
  for (const PathOverlap& way : overlaps_on_the_way(c, *plan)) report["on_the_way"].push_back(way_row(way));
  return report;
}

}  // namespace intercusp
