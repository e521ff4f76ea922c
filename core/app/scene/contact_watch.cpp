#include "app/scene/contact_watch.h"

#include <algorithm>
#include <chrono>
#include <cmath>

#include "casebook/bone_in_way.h"
#include "casebook/cut_case.h"

namespace intercusp {

namespace {

double milliseconds_now() {
  using clock = std::chrono::steady_clock;
  return std::chrono::duration<double, std::milli>(clock::now().time_since_epoch()).count();
}

Jaw jaw_of_body(const Case& c, const std::string& name) {
  const Body* body = c.find_body(name);
  return body && is_lower_name(segment_of_body(c, *body)) ? Jaw::lower : Jaw::upper;
}

std::string place_words(int first_tooth, int second_tooth, const ContactPair& pair) {
  if (first_tooth && second_tooth) return std::to_string(first_tooth) + " on " + std::to_string(second_tooth);
  return body_words(pair.first) + " on " + body_words(pair.second);
}

}  // namespace

void ContactWatch::forget() {
  const std::uint64_t answers = answers_ + 1, age = age_ + 1;
  *this = ContactWatch();
  answers_ = answers;
  age_ = age;
}

// Bone against bone by place takes longer than the contacts: asked for once the jaws rest.
void ContactWatch::ask_for_bone(ErrandDesk& desk, const Case& c, const Plan* plan, const SegmentPoses& poses,
                                const PointMap& points) {
  if (asked_bone_ || !has_cuts(plan) || (bone_version_ == version_ && !bone_about_)) return;
  auto pairs = pairs_to_compare(c, poses);
  if (!pairs) return;
  FindBoneInWay errand{c, plan->name, poses, {}, c.contact_settings};
  for (PosedPairOfBodies& pair : pairs.value()) {
    const auto found = std::find_if(pairs_.begin(), pairs_.end(), [&](const ContactPair& p) {
      return p.first == pair.first && p.second == pair.second && !p.result.regions.empty();
    });
    if (found != pairs_.end() && BoneInWayFinder::applies(*found)) errand.pairs.push_back(std::move(pair));
  }
  if (errand.pairs.empty()) {
    if (!bone_about_) return;
    bone_.clear();
    bone_about_ = false;
    return list(c, points);
  }
  asked_bone_ = true;
  const auto use = [this, c, points, age = age_, version = version_](ErrandAnswer& answer) -> Status {
    if (age != age_) return Done{};
    asked_bone_ = false;
    bone_version_ = version;
    bone_about_ = false;
    auto* found = std::get_if<BoneFound>(&answer);
    bone_ = found ? std::move(found->places) : std::vector<BoneFound::Place>{};
    if (version == version_ && found) list(c, points);
    return Done{};
  };
  (void)desk.go(std::move(errand), "", use).ok();
}

// What takes long at the first step of a hand, while nothing else is to be done.
void ContactWatch::make_light(ErrandDesk& desk, const Case& c, const Plan* plan) {
  if (asked_light_ || !desk.has_runner() || desk.busy() || !has_cuts(plan)) return;
  light_.erase(std::remove_if(light_.begin(), light_.end(), [](const auto& body) { return body.expired(); }),
               light_.end());
  for (const Body& body : c.bodies) {
    const auto made = [&](const auto& known) { return known.lock() == body.surface; };
    if (!body.surface || std::any_of(light_.begin(), light_.end(), made)) continue;
    light_.push_back(body.surface);
    asked_light_ = true;
    const auto then = [this](ErrandAnswer&) -> Status {
      asked_light_ = false;
      return Done{};
    };
    (void)desk.go(MakeLight{body.surface}, "", then).ok();
    return;
  }
}

void ContactWatch::refresh(ErrandDesk& desk, const Case& c, const Plan* plan, const SegmentPoses& poses,
                           const PointMap& points, const Wish& wish) {
  if (!wish.dragging) hand_has_case_ = false;
  if (!asked_ && !due(wish) && !wish.dragging) {
    ask_for_bone(desk, c, plan, poses, points);
    make_light(desk, c, plan);
  }
  if (asked_ || !due(wish)) return;
  // On the screen's own thread: while dragging, rest at least twice as long as the last answer took.
  if (wish.dragging && !desk.has_runner() && wish.seconds - last_end_ < 2e-3 * last_ms_) return;
  asked_ = true;
  if (wish.dragging && !wish.whole_band && desk.has_runner() && has_cuts(plan))
    follow(desk, c, *plan, poses, points, wish);
  else
    compare(desk, c, poses, points, wish);
}

void ContactWatch::follow(ErrandDesk& desk, const Case& c, const Plan& plan, const SegmentPoses& poses,
                          const PointMap& points, const Wish& wish) {
  FollowHand errand{std::nullopt, plan.name, poses, wish.plates};
  if (!hand_has_case_) errand.in_pieces = c;
  hand_has_case_ = true;
  const auto then = [this, c, points, begin = milliseconds_now(), age = age_, wish](ErrandAnswer& answer) -> Status {
    if (age != age_) return Done{};
    auto* followed = std::get_if<HandFollowed>(&answer);
    if (const auto* error = std::get_if<Error>(&answer)) trouble_ = error->sentence();
    pairs_ = followed ? std::move(followed->pairs) : std::vector<ContactPair>{};
    bone_ = followed ? std::move(followed->bone.places) : std::vector<BoneFound::Place>{};
    bone_version_ = wish.readings_version;
    if (followed && wish.plates) plates_ = std::move(followed->gaps);
    coarse_ = bone_about_ = true;
    answered(c, begin, wish);
    list(c, points);
    return Done{};
  };
  (void)desk.go(std::move(errand), "", then).ok();
}

void ContactWatch::compare(ErrandDesk& desk, const Case& c, const SegmentPoses& poses, const PointMap& points,
                           const Wish& wish) {
  FindContacts errand;
  errand.settings = c.contact_settings;
  const bool coarse = wish.dragging && !wish.whole_band;
  if (coarse) errand.settings.band_mm = std::min(errand.settings.band_mm, errand.settings.near_contact_mm);
  auto pairs = pairs_to_compare(c, poses);
  trouble_ = pairs ? "" : pairs.error().sentence();
  if (pairs) errand.pairs = std::move(pairs).value();
  const auto then = [this, c, points, coarse, begin = milliseconds_now(), age = age_,
                     wish](ErrandAnswer& answer) -> Status {
    if (age != age_) return Done{};
    auto* found = std::get_if<ContactsFound>(&answer);
    if (const auto* error = std::get_if<Error>(&answer)) trouble_ = error->sentence();
    pairs_ = found ? std::move(found->pairs) : std::vector<ContactPair>{};
    coarse_ = coarse;
    answered(c, begin, wish);
    list(c, points);
    return Done{};
  };
  (void)desk.go(std::move(errand), "", then).ok();
}

void ContactWatch::answered(const Case& c, double begin, const Wish& wish) {
  asked_ = false;
  last_ms_ = milliseconds_now() - begin;
  last_end_ = wish.seconds + last_ms_ * 1e-3;
  version_ = wish.readings_version;
  contact_mm_ = c.contact_settings.contact_mm;
  ++answers_;
}

std::shared_ptr<const ArchContact> ContactWatch::arches() const {
  const auto arches = std::find_if(pairs_.begin(), pairs_.end(), [](const ContactPair& p) {
    return p.first == "upper_arch" && p.second == "lower_arch";
  });
  if (coarse_ || arches == pairs_.end()) return nullptr;
  return std::make_shared<const ArchContact>(ArchContact{arches->result, contact_mm_});
}

void ContactWatch::list(const Case& c, const PointMap& points) {
  clearance_.clear();
  teeth_.clear();
  nearest_.reset();
  for (const ContactPair& pair : pairs_) {
    const Jaw first = jaw_of_body(c, pair.first), second = jaw_of_body(c, pair.second);
    const bool by_place = bone_version_ == version_ && !bone_.empty() && BoneInWayFinder::applies(pair);
    for (const OverlapRegion& r : pair.result.regions) {
      if (by_place) break;
      const std::string site = place_words(tooth_at(points, r.at, first), tooth_at(points, r.at, second), pair);
      clearance_.push_back({site, pair.first, pair.second, r.deepest_mm, r.volume_mm3, r.area_mm2, r.at, r.direction,
                            false, 0, "", false});
    }
    const double gap = pair.result.minimum_distance_mm;
    if (std::isfinite(gap) && (!nearest_ || gap < nearest_->gap_mm))
      nearest_ = NearestPlace{place_words(tooth_at(points, pair.result.nearest_first, first),
                                          tooth_at(points, pair.result.nearest_second, second), pair),
                              gap};
    for (const ContactPatch& p : pair.result.contacts) {
      for (const int tooth : {tooth_at(points, p.at, first), tooth_at(points, p.at, second)}) {
        if (!tooth) continue;
        ToothContact& t = teeth_[tooth];
        t.area_mm2 += p.area_mm2;
        t.least_gap_mm = std::min(t.least_gap_mm, p.gap_mm);
      }
    }
  }
  if (bone_version_ == version_)
    for (const BoneFound::Place& b : bone_)
      clearance_.push_back({b.site, b.first, b.second, b.depth_mm, b.volume_mm3, b.area_mm2, b.at, b.direction,
                            b.planned, b.thickness_mm, b.touches, bone_about_});
  // Contact that nobody asked for, then what the plan implies, then what only touches; each deepest first.
  const auto rank = [](const ClearanceRow& r) { return r.depth_mm < kTouchingDepthMm ? 2 : r.planned ? 1 : 0; };
  std::stable_sort(clearance_.begin(), clearance_.end(), [&](const auto& a, const auto& b) {
    return rank(a) != rank(b) ? rank(a) < rank(b) : a.depth_mm > b.depth_mm;
  });
  if (!clearance_.empty()) nearest_.reset();
}

}  // namespace intercusp
