#include "app/scene/laid_cuts.h"

#include <algorithm>

#include "casebook/root_tips.h"

namespace intercusp {

namespace {

// Whether a body shows the line of that cut.
bool shows(CutKind kind, const std::string& body) {
  if (kind == CutKind::lefort1) return is_upper_bone(body);
  if (kind == CutKind::pieces) return is_upper_name(body) && body.find("root") == std::string::npos;
  return is_lower_bone(body);
}

// The case with the landmarks that it had with its root tips.
Case with_landmarks(Case c, const LandmarkSet& with_tips) {
  c.landmarks = with_tips;
  c.has_root_tips = true;
  return c;
}

}  // namespace

LaidCut LaidCuts::laid(const Case& c, const Osteotomy& cut) {
  LaidCut out{cut, {}, {}, {}, {}};
  auto placed = place_cut(c, cut);
  if (!placed) {
    out.trouble = placed.error().sentence();
    return out;
  }
  out.clearances = std::move(placed.value().clearances);
  out.levels = std::move(placed.value().levels);
  if (const Status clear = no_root_met(cut, out.clearances); !clear) out.trouble = clear.error().sentence();
  const Pose& patient = c.patient_from_scans;
  for (const Body& body : c.bodies) {
    if (!body.surface || !shows(cut.kind, body.name)) continue;
    for (const PieceCut& sawing : placed.value().sawings) {
      for (const CutLineStretch& s : cut_line(body.surface->mesh(), sawing.surface.moved(patient.inverse())))
        out.lines.push_back({patient * s.from, patient * s.to, patient.linear() * s.outward});
    }
  }
  return out;
}

void LaidCuts::refresh(const Document& document, const Plan* plan) {
  const std::string name = plan ? plan->name : "";
  if (revision_ == document.revision() && plan_ == name) return;
  revision_ = document.revision();
  plan_ = name;
  Case c = document.now();
  std::vector<SurfacePtr> surfaces;
  std::vector<std::pair<std::string, Vec3>> points;
  for (const Body& body : c.bodies) surfaces.push_back(body.surface);
  for (const auto& [point, mark] : c.landmarks) points.emplace_back(point, c.patient_from_scans * mark.at);
  std::vector<LaidCut> before;
  const bool same_jaw = surfaces == surfaces_ && points == points_;
  if (same_jaw) before = std::move(cuts_);
  surfaces_ = std::move(surfaces);
  points_ = std::move(points);
  cuts_.clear();
  if (!has_cuts(plan)) {
    surfaces_.clear();  // the tips are read when the first cut is laid
    return;
  }
  c = same_jaw ? with_landmarks(std::move(c), tips_) : with_root_tips(c);
  if (!same_jaw) tips_ = c.landmarks;
  laid_by_ = points_at(c, {});
  for (const PlanEntry& entry : plan->entries) {
    if (entry.kind != PlanEntry::Kind::cut) continue;
    const auto same = std::find_if(before.begin(), before.end(), [&](const LaidCut& l) {
      return l.cut.kind == entry.cut.kind && l.cut.settings == entry.cut.settings;
    });
    cuts_.push_back(same == before.end() ? laid(c, entry.cut) : *same);
  }
}

const LaidCut* LaidCuts::find(CutKind kind) const {
  const auto found = std::find_if(cuts_.begin(), cuts_.end(), [&](const LaidCut& l) { return l.cut.kind == kind; });
  return found == cuts_.end() ? nullptr : &*found;
}

}  // namespace intercusp
