#include "casebook/cut_case.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "casebook/root_tips.h"
#include "geometry/cut.h"

namespace intercusp {

namespace {

constexpr double kSliverShare = 0.01;  ///< of the bone's volume
constexpr double kThirdShare = 0.02;

std::string percent(double share) {
  char text[32];
  std::snprintf(text, sizeof text, "%.1f %%", 100 * share);
  return text;
}

/// Says which parts of a sawn bone are not what was meant.
Status check_parts(const Osteotomy& cut, const Body& bone, const CutResult& sawn, bool rest_may_part) {
  const double whole = signed_volume(sawn.positive) + signed_volume(sawn.negative);
  for (const bool positive : {true, false}) {
    const std::vector<Mesh> parts = solid_parts(positive ? sawn.positive : sawn.negative);
    double sum = 0;
    for (const Mesh& part : parts) sum += signed_volume(part);
    if (sum < kSliverShare * whole) {
      return Error{cut_words(cut.kind) + " takes off only a sliver of " + bone.name + " (" + percent(sum / whole) + ")",
                   "", "move the cut into the bone"};
    }
    if (positive && rest_may_part) continue;
    if (parts.size() > 1 && signed_volume(parts[1]) > kThirdShare * whole) {
      return Error{cut_words(cut.kind) + " would divide " + bone.name + " in three: a part of " +
                       percent(signed_volume(parts[1]) / whole) + " comes loose",
                   "", "move the cut"};
    }
  }
  return Done{};
}

/// Works through the cuts of a plan.
class CaseCutter {
 public:
  CaseCutter(const Case& c, PieceCache* cache, bool may_saw = true)
      : out_(c), scans_from_patient_(c.patient_from_scans.inverse()), cache_(cache), may_saw_(may_saw) {}

  Status make(const Osteotomy& cut) {
    for (const Osteotomy& other : made_) {
      if (other.kind == cut.kind) return Error{"the plan makes " + cut_words(cut.kind) + " twice", "", "take one away"};
    }
    out_ = with_root_tips(out_);
    auto placed = place_cut(out_, cut);
    if (!placed.ok()) return placed.error();
    if (Status clear = no_root_met(cut, placed.value().clearances); !clear.ok()) return clear;
    const Status done = make_placed(cut, placed.value().sawings);
    out_.cut_sawings[cut.kind] = std::move(placed.value().sawings);
    made_.push_back(cut);
    return done;
  }

  Case take() { return std::move(out_); }
  /// Stopped at a piece that the cache does not hold.
  bool lacking() const { return lacking_; }

 private:
  Status make_placed(const Osteotomy& cut, const std::vector<PieceCut>& sawings) {
    switch (cut.kind) {
      case CutKind::lefort1:
        return free_maxilla(cut, sawings.front());
      case CutKind::split_right:
      case CutKind::split_left:
        return cut_mandible(cut, sawings.front(), cut.kind == CutKind::split_right ? "ramus_right" : "ramus_left");
      case CutKind::chin:
        return cut_mandible(cut, sawings.front(), "chin");
      case CutKind::pieces:
        break;
    }
    return part_maxilla(cut, sawings);
  }

  /// One body sawn, from the cache where it was sawn before.
  Result<PieceCache::Sawn> sawn(const Body& body, const CutSurface& in_patient, double kerf, const Osteotomy* checked) {
    const CutSurface surface = in_patient.moved(scans_from_patient_);
    const std::string key = key_of(body, surface, kerf);
    if (const PieceCache::Sawn* known = cache_ ? cache_->find(key) : nullptr) {
      cache_->keep(key, *known);
      return *known;
    }
    if (!may_saw_) {
      lacking_ = true;
      return Error{body.name + " is not sawn yet", "", ""};
    }
    const bool closed = body.surface->closed();
    if (checked && !closed) {
      return Error{body.name + " is open (" + std::to_string(body.surface->open_edges()) +
                       " open edges), so its pieces could not be closed",
                   "", "close its surface first"};
    }
    auto parts =
        closed ? cut_mesh(body.surface->mesh(), surface, kerf) : cut_open_mesh(body.surface->mesh(), surface, kerf);
    // A scan may pass through itself between two teeth: it is a shell anyway, and stays open there.
    if (!parts.ok() && closed && !checked) parts = cut_open_mesh(body.surface->mesh(), surface, kerf);
    if (!parts.ok()) return named(parts.error(), body);
    if (checked) {
      const Status fine = check_parts(*checked, body, parts.value(), checked->kind == CutKind::lefort1);
      if (!fine.ok()) return fine.error();
    }
    CutResult result = std::move(parts).value();
    PieceCache::Sawn made{body.mesh_sha256.empty() ? body.surface : nullptr,
                          make_body("", Surface::make(std::move(result.positive))),
                          make_body("", Surface::make(std::move(result.negative)))};
    if (cache_) cache_->keep(key, made);
    return made;
  }

  static Error named(Error error, const Body& body) {
    const std::size_t at = error.what.find("the body");
    if (at != std::string::npos) error.what.replace(at, 8, body.name);
    if (at == std::string::npos) error.where = body.name;
    return error;
  }

  static std::string key_of(const Body& body, const CutSurface& surface, double kerf) {
    char number[40];
    std::string key = body.mesh_sha256;
    if (key.empty()) {
      std::snprintf(number, sizeof number, "%p", static_cast<const void*>(body.surface.get()));
      key = number;
    }
    std::snprintf(number, sizeof number, "|%.17g", kerf);
    key += number;
    for (const CutSurface::Facet& f : surface.facets()) {
      char text[128];
      std::snprintf(text, sizeof text, "|%.17g,%.17g,%.17g,%.17g", f.normal.x(), f.normal.y(), f.normal.z(), f.offset);
      key += text;
    }
    return key;
  }

  static Body as(Body body, std::string name, std::string segment) {
    body.name = std::move(name);
    body.segment = std::move(segment);
    return body;
  }

  void go_with(const std::string& segment, const std::string& landmark) { out_.cut_landmarks[landmark] = segment; }

  Status free_maxilla(const Osteotomy& cut, const PieceCut& sawing) {
    std::vector<Body> bodies;
    bool any = false;
    for (const Body& body : out_.bodies) {
      if (!is_upper_bone(body.name)) {
        bodies.push_back(body);
        if (is_upper_name(body.name)) bodies.back().segment = "maxilla";
        continue;
      }
      const auto parts = sawn(body, sawing.surface, cut.kerf_mm(), &cut);
      if (!parts.ok()) return parts.error();
      bodies.push_back(as(parts.value().negative, any ? "maxilla_" + body.name : "maxilla", "maxilla"));
      bodies.push_back(as(parts.value().positive, body.name + "_above", "cranium"));
      any = true;
    }
    if (!any)
      return Error{"there is no bone of the upper jaw to cut", "", "add it to the case (--bone upper_bone=FILE)"};
    out_.bodies = std::move(bodies);
    for (const auto& [name, landmark] : out_.landmarks) {
      if (jaw_of_landmark(name) == Jaw::upper) go_with("maxilla", name);
    }
    return Done{};
  }

  Vec3 place_of(const Landmark& landmark) const { return out_.patient_from_scans * landmark.at; }

  Status cut_mandible(const Osteotomy& cut, const PieceCut& sawing, const std::string& piece) {
    const auto bone = std::find_if(out_.bodies.begin(), out_.bodies.end(), [](const Body& b) {
      return is_lower_bone(b.name) && (b.segment.empty() || b.segment == "mandible");
    });
    if (bone == out_.bodies.end()) {
      return Error{"there is no bone of the lower jaw to cut", "", "add it to the case (--bone lower_bone=FILE)"};
    }
    const auto parts = sawn(*bone, sawing.surface, cut.kerf_mm(), &cut);
    if (!parts.ok()) return parts.error();
    const bool piece_positive = sawing.positive == piece;
    const auto index = bone - out_.bodies.begin();
    out_.bodies[static_cast<std::size_t>(index)] =
        as(piece_positive ? parts.value().negative : parts.value().positive, "mandible", "mandible");
    out_.bodies.insert(out_.bodies.begin() + index + 1,
                       as(piece_positive ? parts.value().positive : parts.value().negative, piece, piece));
    for (Body& body : out_.bodies) {
      if (is_lower_name(body.name) && body.segment.empty()) body.segment = "mandible";
    }
    for (const auto& [name, landmark] : out_.landmarks) {
      if (jaw_of_landmark(name) != Jaw::lower) continue;
      const std::string& segment = out_.cut_landmarks.try_emplace(name, "mandible").first->second;
      if (segment == "mandible" && belongs(name, landmark, sawing, piece)) go_with(piece, name);
    }
    return Done{};
  }

  /// Joint and angle go with their ramus and teeth never do, whatever side of a plane they are on; the rest by place.
  bool belongs(const std::string& name, const Landmark& landmark, const PieceCut& sawing,
               const std::string& piece) const {
    const bool tooth = name.size() > 2 && name[2] == '.';
    if (tooth) return false;
    const std::string side = piece == "chin" ? "" : piece.substr(5);
    for (const char* of_ramus : {"Co", "condyle_centre", "Go"}) {
      if (name == std::string(of_ramus) + "_right" || name == std::string(of_ramus) + "_left") {
        return name == of_ramus + side;
      }
    }
    return (sawing.surface.value(place_of(landmark)) > 0) == (sawing.positive == piece);
  }

  Status part_maxilla(const Osteotomy& cut, const std::vector<PieceCut>& sawings) {
    const bool freed =
        std::any_of(made_.begin(), made_.end(), [](const Osteotomy& o) { return o.kind == CutKind::lefort1; });
    if (!freed && upper_jaw_uncut(out_))
      return Error{"the upper jaw is still joined to the skull by bone", "", "cut first (Le Fort I)"};
    std::vector<Body> bodies;
    for (const Body& body : out_.bodies) {
      const std::string segment = segment_of_body(out_, body);
      if (segment != "maxilla" && segment != "upper") {
        bodies.push_back(body);
        continue;
      }
      const Status parted = part_body(cut, sawings, body, bodies);
      if (!parted.ok()) return parted;
    }
    out_.bodies = std::move(bodies);
    for (const auto& [name, landmark] : out_.landmarks) {
      if (jaw_of_landmark(name) == Jaw::upper) go_with(piece_at(sawings, place_of(landmark)), name);
    }
    return Done{};
  }

  static std::string piece_at(const std::vector<PieceCut>& sawings, const Vec3& p) {
    for (const PieceCut& sawing : sawings) {
      const std::string& side = sawing.surface.value(p) > 0 ? sawing.positive : sawing.negative;
      if (!side.empty()) return side;
    }
    return {};
  }

  /// Bone and arch are parted, a tooth stays whole.
  Status part_body(const Osteotomy& cut, const std::vector<PieceCut>& sawings, const Body& body,
                   std::vector<Body>& bodies) {
    const bool bone = is_upper_bone(body.name), arch = body.name.find("arch") != std::string::npos;
    if (!bone && !arch) {
      const Vec3 centre = out_.patient_from_scans * body.surface->box().center();
      bodies.push_back(as(body, body.name, piece_at(sawings, centre)));
      return Done{};
    }
    Body left = body;
    for (const PieceCut& sawing : sawings) {
      const auto parts = sawn(left, sawing.surface, bone ? cut.kerf_mm() : 0, bone ? &cut : nullptr);
      if (!parts.ok()) return parts.error();
      for (const bool positive : {true, false}) {
        const std::string& segment = positive ? sawing.positive : sawing.negative;
        Body piece = positive ? parts.value().positive : parts.value().negative;
        if (segment.empty()) {
          left = std::move(piece);
          left.name = body.name;
        } else {
          bodies.push_back(as(std::move(piece), body.name + segment.substr(7), segment));  // after "maxilla"
        }
      }
    }
    return Done{};
  }

  Case out_;
  const Pose scans_from_patient_;
  PieceCache* cache_;
  const bool may_saw_;
  bool lacking_ = false;
  std::vector<Osteotomy> made_;
};

/// Rays against the bone of the lower jaw, in the patient frame at rest.
BoneProbe probe_of(const Case& c) {
  return [&c](const Vec3& from, const Vec3& direction) -> std::optional<Vec3> {
    constexpr double kReach = 200;
    const Pose scans = c.patient_from_scans.inverse();
    const Vec3 origin = scans * from, along = scans.linear() * direction;
    double nearest = kReach;
    bool found = false;
    for (const Body& body : c.bodies) {
      if (!is_lower_bone(body.name)) continue;
      RayHit hit;
      if (!body.surface->bvh().ray(body.surface->mesh(), origin, along, nearest, hit)) continue;
      nearest = hit.t;
      found = true;
    }
    return found ? std::optional<Vec3>(from + nearest * direction) : std::nullopt;
  };
}

/// Every root of the case.
void add_roots(const Case& c, const Osteotomy& cut, PlacedCut& placed) {
  for (const RootPart& part : root_parts(c))
    add_root_surface(cut, placed.sawings, part.surface, part.tooth, placed.clearances);
  sort_clearances(placed.clearances);
}

Status make_all(const Plan* plan, CaseCutter& cutter) {
  if (!plan) return Done{};
  for (const PlanEntry& entry : plan->entries) {
    if (entry.kind != PlanEntry::Kind::cut) continue;
    const Status made = cutter.make(entry.cut);
    if (!made.ok()) return made;
  }
  return Done{};
}

}  // namespace

const PieceCache::Sawn* PieceCache::find(const std::string& key) const {
  for (const auto* map : {&next_, &kept_}) {
    const auto found = map->find(key);
    if (found != map->end()) return &found->second;
  }
  return nullptr;
}

void PieceCache::next_round() {
  kept_ = std::move(next_);
  next_.clear();
}

Result<std::vector<PieceCut>> place_sawings(const Case& c, const Osteotomy& cut) {
  if (!c.frame_known)
    return Error{"the patient frame is not known yet, so a cut has no place", "",
                 "place the landmarks of the occlusal plane"};
  if (const auto made = c.cut_sawings.find(cut.kind); made != c.cut_sawings.end()) return made->second;
  return place_osteotomy(cut, points_at(with_root_tips(c), {}), probe_of(c));
}

Result<PlacedCut> place_cut(const Case& given, const Osteotomy& cut) {
  const Case c = with_root_tips(given);
  auto sawings = place_sawings(c, cut);
  if (!sawings.ok()) return sawings.error();
  PlacedCut placed;
  placed.sawings = std::move(sawings).value();
  const PointMap points = points_at(c, {});
  placed.clearances = cut_clearances(cut, placed.sawings, points);
  placed.levels = read_levels(cut, points);
  add_roots(c, cut, placed);
  return placed;
}

Result<Case> with_cuts(const Case& c, const Plan* plan, PieceCache* cache) {
  CaseCutter cutter(c, cache);
  const Status made = make_all(plan, cutter);
  if (!made.ok()) return made.error();
  if (cache) cache->next_round();
  return cutter.take();
}

std::optional<Result<Case>> with_cuts_sawn(const Case& c, const Plan* plan, PieceCache& cache) {
  CaseCutter cutter(c, &cache, false);
  const Status made = make_all(plan, cutter);
  if (cutter.lacking()) return std::nullopt;
  if (!made.ok()) return Result<Case>(made.error());
  cache.next_round();
  return Result<Case>(cutter.take());
}

bool has_cuts(const Plan* plan) {
  return plan && std::any_of(plan->entries.begin(), plan->entries.end(),
                             [](const PlanEntry& e) { return e.kind == PlanEntry::Kind::cut; });
}

}  // namespace intercusp
