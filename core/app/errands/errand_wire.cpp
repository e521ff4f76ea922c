#include "app/errands/errand_wire.h"

#include <nlohmann/json.hpp>

#include "base/packing.h"
#include "casebook/case_json.h"

namespace intercusp {

namespace {

/// An archive that knows which surfaces the other side has.
template <class Base>
struct Wire : Base {
  template <class... Arguments>
  explicit Wire(SurfaceLedger& l, Arguments... arguments) : Base(arguments...), ledger(l) {}
  SurfaceLedger& ledger;
};
using WireOut = Wire<Packer>;
using WireIn = Wire<Unpacker>;

void exchange(WireOut& out, SurfacePtr& surface) {
  auto [number, known] = surface ? out.ledger.number_for(surface) : std::pair<std::uint64_t, bool>{0, true};
  exchange_all(out, number, known);
  if (!known) surface->to_archive(out);
}

void exchange(WireIn& in, SurfacePtr& surface) {
  std::uint64_t number = 0;
  bool known = false;
  exchange_all(in, number, known);
  if (known) {
    surface = in.ledger.find(number);
    return;
  }
  surface = Surface::from_archive(in);
  in.ledger.learn(number, surface);
}

void exchange(WireOut& out, SurfaceLookPtr& look) {
  SurfaceLook copy = look ? *look : SurfaceLook{};
  exchange_all(out, copy.cavity, copy.light_indices, copy.opened);
}

void exchange(WireIn& in, SurfaceLookPtr& look) {
  SurfaceLook got;
  exchange_all(in, got.cavity, got.light_indices, got.opened);
  look = std::make_shared<const SurfaceLook>(std::move(got));
}

template <class A>
void exchange(A& a, Body& body) {
  exchange_all(a, body.name, body.surface, body.mesh_sha256, body.segment);
}

template <class A>
void exchange(A& a, PieceCut& cut) {
  exchange_all(a, cut.surface, cut.positive, cut.negative);
}

// Everything but the bodies goes as the case file has it, so that nothing is forgotten here.
void exchange(WireOut& out, Case& c) {
  std::string document = case_to_json(c).dump();
  exchange_all(out, document, c.kept_json, c.bodies, c.cut_landmarks, c.cut_sawings, c.has_root_tips);
}

void exchange(WireIn& in, Case& c) {
  std::string document;
  exchange_all(in, document, c.kept_json, c.bodies, c.cut_landmarks, c.cut_sawings, c.has_root_tips);
  const auto read = nlohmann::json::parse(document, nullptr, false);
  if (read.is_object()) (void)case_from_json(read, c).ok();
}

template <class A>
void exchange(A& a, ScannedCrowns::Crown& s) {
  exchange_all(a, s.top, s.apical, s.length);
}
template <class A>
void exchange(A& a, ScannedCrowns& s) {
  exchange_all(a, s.scan, s.crowns);
}
template <class A>
void exchange(A& a, PosedPairOfBodies& p) {
  exchange_all(a, p.first, p.second, p.first_surface, p.second_surface, p.first_pose, p.second_pose, p.first_crowns,
               p.second_crowns);
}
template <class A>
void exchange(A& a, ContactPair& p) {
  exchange_all(a, p.first, p.second, p.result);
}
template <class A>
void exchange(A& a, SurfaceNotes& n) {
  exchange_all(a, n.look, n.findings);
}
template <class A>
void exchange(A& a, ReadySurface& r) {
  exchange_all(a, r.surface, r.mesh_sha256, r.notes);
}
template <class A>
void exchange(A& a, UnitCandidate& u) {
  exchange_all(a, u.unit, u.factor_to_mm, u.size_mm);
}
template <class A>
void exchange(A& a, UnitGuess& u) {
  exchange_all(a, u.certainly_mm, u.candidates, u.sentence);
}
template <class A>
void exchange(A& a, FittedCrown& f) {
  exchange_all(a, f.covered, f.rms_mm, f.place.pivot, f.place.centre, f.place.axes, f.place.scale);
}
template <class A>
void exchange(A& a, ArchFit& f) {
  exchange_all(a, f.upper, f.crowns, f.up, f.rms_mm, f.covered);
}
template <class A>
void exchange(A& a, Error& e) {
  exchange_all(a, e.what, e.where, e.remedy);
}

template <class A>
void exchange(A& a, ReadFile& e) {
  exchange_all(a, e.name, e.bytes);
}
template <class A>
void exchange(A& a, ScaleScan& e) {
  exchange_all(a, e.mesh, e.factor_to_mm);
}
template <class A>
void exchange(A& a, MakeSample& e) {
  exchange_all(a, e.name, e.seed, e.triangles, e.with_bone);
}
template <class A>
void exchange(A& a, OpenLink& e) {
  exchange(a, e.fragment);
}
template <class A>
void exchange(A& a, LayArch& e) {
  exchange_all(a, e.surface, e.upper, e.patient_from_scan);
}
template <class A>
void exchange(A& a, FindContacts& e) {
  exchange_all(a, e.pairs, e.settings);
}
template <class A>
void exchange(A& a, WriteCase& e) {
  exchange(a, e.to_write);
}
template <class A>
void exchange(A& a, MakeQuestion& e) {
  exchange_all(a, e.spec, e.triangles);
}
template <class A>
void exchange(A& a, ReadShownQuestion& e) {
  exchange_all(a, e.bytes);
}
template <class A>
void exchange(A& a, AskQuestion& e) {
  exchange_all(a, e.spec);
}
template <class A>
void exchange(A& a, FindBoneInWay& e) {
  exchange_all(a, e.in_pieces, e.plan, e.poses, e.pairs, e.settings);
}
template <class A>
void exchange(A& a, BoneFound::Place& p) {
  exchange_all(a, p.first, p.second, p.site, p.planned, p.depth_mm, p.thickness_mm, p.area_mm2, p.volume_mm3, p.at,
               p.direction, p.touches);
}
template <class A>
void exchange(A& a, BoneFound& x) {
  exchange(a, x.places);
}
template <class A>
void exchange(A& a, TrimBones& e) {
  exchange_all(a, e.where, e.clearance_mm);
}
template <class A>
void exchange(A& a, BonesTrimmed::Bone& b) {
  exchange_all(a, b.body, b.others, b.ready, b.removed_mm3, b.left_mm, b.gap_mm);
}
template <class A>
void exchange(A& a, BonesTrimmed& x) {
  exchange_all(a, x.clearance_mm, x.bones);
}
template <class A>
void exchange(A& a, MeasurePlates& e) {
  exchange_all(a, e.in_pieces, e.plan, e.poses);
}
template <class A>
void exchange(A& a, ScrewPath& s) {
  exchange_all(a, s.entry, s.tip, s.thickness_mm, s.tip_to_root_mm, s.path_to_root_mm);
}
template <class A>
void exchange(A& a, PlateGap& g) {
  exchange_all(a, g.site.id, g.site.words, g.site.anchor, g.site.outward, g.site.across, g.facing, g.gap_mm, g.step_mm,
               g.contact_mm2, g.reference_screw, g.other_screw);
}
template <class A>
void exchange(A& a, PlatesMeasured& x) {
  exchange(a, x.gaps);
}
template <class A>
void exchange(A& a, WalkTheWay& e) {
  exchange_all(a, e.in_pieces, e.plan);
}
template <class A>
void exchange(A& a, MakeLight& e) {
  exchange(a, e.body);
}
template <class A>
void exchange(A& a, FollowHand& e) {
  bool begins = e.in_pieces.has_value();
  exchange_all(a, begins, e.plan, e.poses, e.plates);
  if (!begins) return;
  if (!e.in_pieces) e.in_pieces.emplace();
  exchange(a, *e.in_pieces);
}
template <class A>
void exchange(A&, LightMade&) {}
template <class A>
void exchange(A& a, HandFollowed& x) {
  exchange_all(a, x.pairs, x.bone, x.gaps);
}
template <class A>
void exchange(A& a, PathOverlap& p) {
  exchange_all(a, p.entry, p.share, p.deepest_mm, p.deepest_at_ends_mm, p.upper_tooth, p.lower_tooth);
}
template <class A>
void exchange(A& a, WayWalked& x) {
  exchange(a, x.overlaps);
}
template <class A>
void exchange(A& a, ComparePlans& e) {
  exchange_all(a, e.whole, e.first, e.second);
}

template <class A>
void exchange(A& a, MakeSheet& e) {
  exchange_all(a, e.to_draw, e.plan, e.checked_by, e.date, e.agreed, e.clearance_mm);
}

template <class A>
void exchange(A& a, MakeCuts& e) {
  exchange_all(a, e.whole, e.plan, e.known);
}
template <class A>
void exchange(A& a, SettleSettings& s) {
  exchange_all(a, s.molar_quarters, s.canine_quarters, s.overjet_mm, s.overbite_mm, s.pinned, s.most_solutions,
               s.contact, s.pieces);
}
template <class A>
void exchange(A& a, SeatBite& e) {
  exchange_all(a, e.in_pieces, e.plan, e.moving.segment, e.moving.in_pieces, e.settings);
}
template <class A>
void exchange(A& a, CloseJaw& e) {
  exchange_all(a, e.in_pieces, e.plan, e.goal.until, e.goal.mm, e.goal.axis);
}

template <class A>
void exchange(A& a, SawnPiece& p) {
  exchange_all(a, p.key, p.sawn.source, p.sawn.positive, p.sawn.negative, p.positive_notes, p.negative_notes);
}
template <class A>
void exchange(A& a, CutsMade& x) {
  exchange(a, x.pieces);
}
template <class A>
void exchange(A& a, SeatedPiece& p) {
  exchange_all(a, p.name, p.motion, p.seated_share, p.contacts);
}
// An offer moves segments: it holds no cut and no closing.
template <class A>
void exchange(A& a, SettleOffer& o) {
  SettleSolution& s = o.solution;
  exchange_all(a, s.motion, s.reading, s.quarters, s.contacts, s.area_mm2, s.deepest_mm, s.seated_share, s.cost,
               s.pieces, s.cuts, s.canine_expansion_mm, s.molar_expansion_mm);
  std::uint64_t count = o.entries.size();
  exchange(a, count);
  if constexpr (A::reads) o.entries.resize(a.at_most(count, 1));
  for (PlanEntry& entry : o.entries) exchange_all(a, entry.segment, entry.movement, entry.about);
}
template <class A>
void exchange(A& a, BiteSeated& x) {
  exchange(a, x.offers);
}
template <class A>
void exchange(A& a, Touch& t) {
  exchange_all(a, t.upper_body, t.lower_body, t.upper_tooth, t.lower_tooth, t.at);
}
template <class A>
void exchange(A& a, JawClosed& x) {
  ClosingResult& r = x.result;
  exchange_all(a, r.closing.open_deg, r.closing.axis, r.closing.until, r.closing.until_mm, r.first, r.incisors_moved,
               r.chin_moved, r.chin_known);
}

template <class A>
void exchange(A& a, QuestionMade& x) {
  exchange_all(a, x.question, x.look_from, x.opened, x.notes);
}
template <class A>
void exchange(A& a, QuestionAsked& x) {
  exchange_all(a, x.question);
}
template <class A>
void exchange(A& a, ProgressRead& x) {
  exchange_all(a, x.text);
}
template <class A>
void exchange(A& a, ResultsRead& x) {
  exchange_all(a, x.text);
}
template <class A>
void exchange(A& a, CaseOpened& x) {
  exchange_all(a, x.opened, x.notes, x.view_json);
}
template <class A>
void exchange(A& a, ScanRead& x) {
  exchange_all(a, x.remarks, x.unit, x.mesh, x.ready);
}
template <class A>
void exchange(A& a, LandmarkSet& landmarks) {
  std::vector<std::pair<std::string, Landmark>> list(landmarks.begin(), landmarks.end());
  std::uint64_t count = list.size();
  exchange(a, count);
  list.resize(count);
  for (auto& [name, mark] : list) exchange_all(a, name, mark.at, mark.confirmed, mark.origin, mark.confidence);
  landmarks = LandmarkSet(list.begin(), list.end());
}
template <class A>
void exchange(A& a, LandmarksRead& x) {
  exchange(a, x.landmarks);
}
template <class A>
void exchange(A& a, LayScansOnBone& e) {
  exchange(a, e.whole);
}
template <class A>
void exchange(A& a, ScansLaid::Scan& s) {
  exchange_all(a, s.body, s.ready);
}
template <class A>
void exchange(A& a, ScansLaid& x) {
  exchange_all(a, x.moved, x.landmarks, x.said);
}
template <class A>
void exchange(A& a, ArchLaid& x) {
  exchange(a, x.fit);
}
template <class A>
void exchange(A& a, ContactsFound& x) {
  exchange(a, x.pairs);
}
template <class A>
void exchange(A& a, CaseWritten& x) {
  exchange(a, x.bytes);
}
template <class A>
void exchange(A& a, PlansCompared& x) {
  exchange_all(a, x.report);
}

template <class A>
void exchange(A& a, SheetMade& x) {
  exchange_all(a, x.pdf, x.json);
}

template <class A>
void exchange(A& a, SplintRelief& r) {
  exchange_all(a, r.at, r.radius_mm, r.extra_mm);
}
template <class A>
void exchange(A& a, SplintHole& h) {
  exchange_all(a, h.at, h.diameter_mm);
}
template <class A>
void exchange(A& a, SplintSettings& s) {
  for (const SplintNumber& number : splint_numbers()) exchange(a, s.*number.member);
  exchange_all(a, s.refuse_thin, s.to_print, s.find_path, s.upper_path_given, s.lower_path_given, s.upper_tilt_deg,
               s.lower_tilt_deg, s.upper_relief, s.lower_relief, s.holes);
}
template <class A>
void exchange(A& a, SplintOrder& o) {
  exchange_all(a, o.stage, o.opening_mm, o.open_for_thickness, o.holes, o.relief, o.raise_text, o.settings);
}
template <class A>
void exchange(A& a, SplintChange& c) {
  exchange_all(a, c.key, c.name, c.from_mm, c.to_mm);
}
template <class A>
void exchange(A& a, MakeSplint& e) {
  exchange_all(a, e.in_pieces, e.plan, e.digest, e.order, e.mend, e.mended);
}
template <class A>
void exchange(A& a, ThinPlace& p) {
  exchange_all(a, p.at, p.thickness_mm, p.area_mm2, p.side, p.over_upper);
}
template <class A>
void exchange(A& a, SplintSeat& s) {
  SeatingPath& path = s.path;
  exchange_all(a, path.off, path.forward_deg, path.left_deg, path.swept_mm3, s.off, s.imprint_mm2, s.blocked_mm2,
               s.blocked_mm, s.blocked_at, s.off_least_mm, s.off_most_mm, s.checked, s.seats, s.stopped_mm, s.touch,
               s.gap_mm, s.beyond_mm, s.beyond_at, s.rock);
}
template <class A>
void exchange(A& a, Splint& s) {
  exchange_all(a, s.mesh, s.part, s.thickness_mm, s.shown_mm, s.volume_mm3, s.least_thickness_mm, s.text, s.letter_mm,
               s.thin, s.fins.places, s.fins.thinnest, s.left_open, s.upper, s.lower);
}
template <class A>
void exchange(A& a, CaseSplint& m) {
  ArchGap& gap = m.nearest;
  exchange_all(a, m.order, m.splint, m.poses, m.opened_deg, m.opened_mm, m.axis, gap.gap_mm, gap.at, gap.upper_tooth,
               gap.lower_tooth, m.digest, m.mended);
}
template <class A>
void exchange(A& a, SplintMade& x) {
  exchange_all(a, x.made, x.body, x.report, x.warnings, x.overlap, x.thin_places);
}

/// Makes the alternative of this number.
template <class Variant, std::size_t I = 0>
void make_alternative(Variant& v, std::size_t index) {
  if constexpr (I < std::variant_size_v<Variant>) {
    if (index == I)
      v.template emplace<I>();
    else
      make_alternative<Variant, I + 1>(v, index);
  }
}

template <class Variant>
std::vector<std::uint8_t> pack_variant(Variant& v, SurfaceLedger& ledger) {
  WireOut out(ledger);
  auto index = static_cast<std::uint64_t>(v.index());
  exchange(out, index);
  std::visit([&](auto& value) { exchange(out, value); }, v);
  return out.take();
}

template <class Variant>
std::optional<Variant> unpack_variant(const std::uint8_t* bytes, std::size_t size, SurfaceLedger& ledger) {
  WireIn in(ledger, bytes, size);
  std::uint64_t index = 0;
  exchange(in, index);
  Variant v;
  make_alternative(v, static_cast<std::size_t>(index));
  std::visit([&](auto& value) { exchange(in, value); }, v);
  if (!in.whole()) return std::nullopt;
  return v;
}

}  // namespace

std::pair<std::uint64_t, bool> SurfaceLedger::number_for(const SurfacePtr& surface) {
  for (const auto& [number, known] : known_)
    if (known == surface) return {number, true};
  const std::uint64_t number = next_;
  next_ += 2;
  known_[number] = surface;
  return {number, false};
}

SurfacePtr SurfaceLedger::find(std::uint64_t number) const {
  const auto there = known_.find(number);
  return there == known_.end() ? nullptr : there->second;
}

std::vector<std::uint64_t> SurfaceLedger::forget_unused() {
  std::vector<std::uint64_t> gone;
  for (auto it = known_.begin(); it != known_.end();) {
    if (it->second.use_count() > 1) {
      ++it;
      continue;
    }
    gone.push_back(it->first);
    it = known_.erase(it);
  }
  return gone;
}

void SurfaceLedger::forget(const std::vector<std::uint64_t>& numbers) {
  for (const std::uint64_t number : numbers) known_.erase(number);
}

std::vector<std::uint8_t> pack_errand(Errand& errand, SurfaceLedger& ledger) {
  return pack_variant(errand, ledger);
}
std::optional<Errand> unpack_errand(const std::uint8_t* bytes, std::size_t size, SurfaceLedger& ledger) {
  return unpack_variant<Errand>(bytes, size, ledger);
}
std::vector<std::uint8_t> pack_answer(ErrandAnswer& answer, SurfaceLedger& ledger) {
  return pack_variant(answer, ledger);
}
std::optional<ErrandAnswer> unpack_answer(const std::uint8_t* bytes, std::size_t size, SurfaceLedger& ledger) {
  return unpack_variant<ErrandAnswer>(bytes, size, ledger);
}

}  // namespace intercusp
