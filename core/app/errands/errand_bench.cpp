#include "app/errands/errand_bench.h"

#include <algorithm>
#include <cctype>
#include <cstdio>

#include <nlohmann/json.hpp>

#include "casebook/bone_in_way.h"
#include "casebook/case_file.h"
#include "casebook/cut_case.h"
#include "casebook/join_bone.h"
#include "casebook/plans_beside.h"
#include "casebook/recipe_link.h"
#include "casebook/sheet.h"
#include "casebook/splint_mend.h"
#include "formats/mesh_reader.h"
#include "geometry/mesh_check.h"
#include "practice/progress.h"
#include "practice/set_result.h"
#include "practice/shown_question.h"

namespace intercusp {

namespace {

bool starts_with(const ReadFile& file, const std::string& word) {
  return file.size() >= word.size() && std::equal(word.begin(), word.end(), file.data());
}

// Whether a text begins like JSON, after white space.
bool looks_like_json(const ReadFile& file) {
  for (std::size_t i = 0; i < std::min<std::size_t>(file.size(), 256); ++i)
    if (!std::isspace(file.data()[i])) return file.data()[i] == '{';
  return false;
}

/// Whether a text holds a result of practice near its beginning; anything may stand before it, as in a mail.
bool looks_like_results(const ReadFile& file) {
  constexpr std::size_t kNear = 64 * 1024, kCodeBegins = 20;
  const std::string text(file.data(), file.data() + std::min(file.size(), kNear));
  if (text.find('\0') != std::string::npos) return false;
  for (std::size_t at = text.find("res"); at != std::string::npos; at = text.find("res", at + 1))
    if (result_begins(text, at) && text.find_first_of(" \t\r\n", at) - at > kCodeBegins) return true;
  return false;
}

SurfaceNotes notes_on(const Surface& surface, std::vector<Opened> opened = {}) {
  return {make_look(surface, std::move(opened)), findings(check_mesh(surface.mesh()))};
}

CaseOpened opened_case(Case c, std::string view_json, const Progress& progress) {
  CaseOpened out;
  for (const Body& body : c.bodies) {
    out.notes.push_back(body.surface && !body.surface->mesh().empty() ? notes_on(*body.surface) : SurfaceNotes{});
    progress.report(0.6 + 0.4 * static_cast<double>(out.notes.size()) / static_cast<double>(c.bodies.size()));
  }
  out.opened = std::move(c);
  out.view_json = std::move(view_json);
  return out;
}

ErrandAnswer read_scan(const ReadFile& file, const Progress& progress) {
  auto read = read_mesh(file.data(), file.size(), file.name);
  if (!read) return read.error();
  progress.report(0.4);
  ScanRead scan;
  scan.remarks = read.value().notes.sentences();
  Mesh mesh = std::move(read.value().mesh);
  scan.unit = guess_surface_units(bounds(mesh).sizes().maxCoeff());
  if (scan.unit.certainly_mm)
    scan.ready = ready_surface(std::move(mesh));
  else
    scan.mesh = std::move(mesh);
  return scan;
}

// "descending palatine artery in its canal 2.8 mm"
std::string touched_words(const std::vector<Touched>& touches) {
  if (touches.empty()) return {};
  char text[200];
  const Touched& nearest = touches.front();
  std::snprintf(text, sizeof text, nearest.distance_mm <= 0 ? "meets the %s" : "near the %s, %.1f mm",
                nearest.words.c_str(), nearest.distance_mm);
  return text;
}

constexpr Colour kResin{158, 190, 201, 255}, kThin{213, 94, 0, 255};  // vermillion of the Okabe-Ito set

/// Thin places stand out.
std::vector<Colour> splint_colours(const Splint& splint, double least_mm) {
  std::vector<Colour> colours(splint.mesh.positions.size(), kResin);
  for (std::size_t v = 0; v < colours.size() && !splint.thin.empty(); ++v)
    if (splint.part[v] != SplintPart::outside && static_cast<double>(splint.thickness_mm[v]) < least_mm)
      colours[v] = kThin;
  return colours;
}

ErrandAnswer made_splint(const MakeSplint& wanted, const Progress& progress) {
  const Case& c = wanted.in_pieces;
  const Plan* plan = c.find_plan(wanted.plan);
  if (!plan) return Error{"there is no plan " + wanted.plan, "", "choose another plan"};
  auto made = wanted.mend ? mended_splint(c, *plan, wanted.digest, wanted.order, wanted.mended, progress)
                          : splint_of_case(c, *plan, wanted.digest, wanted.order, progress);
  if (!made) return made.error();
  SplintMade out;
  out.made = std::move(made).value();
  out.report = splint_report(c, *plan, out.made).dump();
  out.warnings = splint_warnings(c, out.made);
  out.overlap = splint_overlap_words(c, out.made);
  Splint& splint = out.made.splint;
  for (const ThinPlace& place : splint.thin) out.thin_places.push_back(splint_place(c, out.made, place.at));
  splint.mesh.colours = splint_colours(splint, out.made.order.settings.least_thickness_mm);
  out.body = ready_surface(std::move(splint.mesh));
  splint.mesh = Mesh();
  splint.part.clear();
  splint.thickness_mm.clear();
  return out;
}

/// Which vertices of a body of the case lie on a face that the plan's saw makes; in the body's own frame.
class SawnFaces {
 public:
  SawnFaces(const Case& whole, const Plan* plan) {
    if (!plan) return;
    for (const PlanEntry& entry : plan->entries) {
      if (entry.kind != PlanEntry::Kind::cut) continue;
      const auto placed = place_sawings(whole, entry.cut);
      if (!placed.ok()) continue;
      for (const PieceCut& sawing : placed.value())
        faces_.push_back({sawing.surface.moved(whole.patient_from_scans.inverse()), 0.5 * entry.cut.kerf_mm()});
    }
  }
  std::vector<Opened> of(const Mesh& mesh) const {
    constexpr double kOff = 0.02;  // mm: the saw is laid aside by up to 0.002, and meshing anew rounds off more
    std::vector<Opened> out(mesh.positions.size(), Opened::whole);
    for (std::size_t v = 0; v < out.size(); ++v) {
      const Vec3 p = mesh.positions[v].cast<double>();
      if (std::any_of(faces_.begin(), faces_.end(),
                      [&](const Face& face) { return std::abs(std::abs(face.middle.value(p)) - face.beside) < kOff; }))
        out[v] = Opened::sawn;
    }
    return out;
  }

 private:
  struct Face {
    CutSurface middle;
    double beside;  ///< of the middle, mm
  };
  std::vector<Face> faces_;
};

std::vector<BoneInWay> found_bone(const FindBoneInWay& wanted) {
  return bone_in_way(wanted.in_pieces, wanted.in_pieces.find_plan(wanted.plan), wanted.poses,
                     contacts_of(wanted.pairs, wanted.settings));
}

/// Without the walls within the bone, on the faces of the boxes where it was meshed anew: a section would show them as
/// edges of bone.
void drop_inner_walls(Mesh& mesh, const std::vector<Box>& zones) {
  constexpr double kOn = 2e-3;  // mm: vertices there are floats, the saw is laid aside by as much
  const auto on_face = [&](const Triangle& t) {
    for (const Box& zone : zones)
      for (int axis = 0; axis < 3; ++axis)
        for (const double face : {zone.min()[axis], zone.max()[axis]})
          if (std::all_of(t.begin(), t.end(), [&](std::uint32_t v) {
                return std::abs(static_cast<double>(mesh.positions[v][axis]) - face) < kOn;
              }))
            return true;
    return false;
  };
  mesh.triangles.erase(std::remove_if(mesh.triangles.begin(), mesh.triangles.end(), on_face), mesh.triangles.end());
}

ErrandAnswer trimmed_bones(const TrimBones& wanted, const Progress& progress) {
  const Case& c = wanted.where.in_pieces;
  auto bones = trim_bones(c, wanted.where.poses, found_bone(wanted.where), wanted.clearance_mm, 0.4, progress);
  if (!bones) return bones.error();
  const SawnFaces sawn(c, c.find_plan(wanted.where.plan));
  BonesTrimmed out;
  out.clearance_mm = wanted.clearance_mm;
  for (TrimmedBone& bone : bones.value()) {
    Removal& removal = bone.removal;
    std::vector<Opened> opened = sawn.of(removal.bone);
    for (std::size_t v = 0; v < opened.size(); ++v)
      if (removal.fresh[v] != 0) opened[v] = Opened::cut_back;
    drop_inner_walls(removal.bone, removal.zones);
    out.bones.push_back({bone.body, bone.others, ready_surface(std::move(removal.bone), std::move(opened)),
                         removal.removed_mm3, removal.left_deepest_mm, removal.least_gap_mm});
  }
  return out;
}

BoneFound places_of(const std::vector<BoneInWay>& rows) {
  BoneFound found;
  for (const BoneInWay& row : rows) {
    const OverlapRegion& r = row.part.overlap;
    found.places.push_back({row.first, row.second, row.part.site.words, row.planned, r.deepest_mm,
                            row.part.thickness_mm, r.area_mm2, r.volume_mm3, r.at, r.direction,
                            touched_words(row.touches)});
  }
  return found;
}

/// How each kind of errand is done.
struct Doing {
  KeptQueries& queries;
  PieceCache& pieces;
  LightForms& light;
  std::optional<HandInMotion>& hand;
  SampleShelf* shelf;
  const Progress& progress;

  ErrandAnswer operator()(ReadFile& file) const {
    if (file.size() == 0) return Error{"the file is empty", file.name, "choose another file or export it again"};
    progress.report(0.1);
    if (starts_with(file, "glTF")) {
      auto opened = read_case(file.data(), file.size());
      if (!opened) return opened.error();
      return opened_case(std::move(opened).value(), "", progress);
    }
    if (looks_like_results(file)) return ResultsRead{{file.data(), file.data() + file.size()}};
    if (!looks_like_json(file)) return read_scan(file, progress);
    std::string text(file.data(), file.data() + file.size());
    if (is_progress_text(text)) return ProgressRead{std::move(text)};
    auto landmarks = parse_landmarks(text);
    if (!landmarks) return landmarks.error();
    return LandmarksRead{std::move(landmarks).value()};
  }

  ErrandAnswer operator()(ScaleScan& scan) const {
    for (Vec3f& p : scan.mesh.positions) p = (p.cast<double>() * scan.factor_to_mm).cast<float>();
    return ready_surface(std::move(scan.mesh));
  }

  ErrandAnswer operator()(const MakeSample& sample) const {
    const auto make = [&]() -> ErrandAnswer {
      auto made = case_from_sample(sample.name, sample.seed, sample.triangles, sample.with_bone);
      if (!made) return made.error();
      return opened_case(std::move(made).value(), "", progress);
    };
    return shelf ? shelf->take(sample, make) : make();
  }

  ErrandAnswer operator()(const OpenLink& link) const {
    auto opened = open_recipe_link(link.fragment);
    if (!opened) return opened.error();
    return opened_case(std::move(opened.value().opened), std::move(opened.value().view_json), progress);
  }

  ErrandAnswer operator()(const LayArch& arch) const {
    auto fit = fit_arch(*arch.surface, arch.upper, progress, arch.patient_from_scan);
    if (!fit) return fit.error();
    return ArchLaid{std::move(fit).value()};
  }

  ErrandAnswer operator()(LayScansOnBone& wanted) const {
    std::vector<SurfacePtr> before;
    for (const Body& body : wanted.whole.bodies) before.push_back(body.surface);
    ScansLaid laid;
    laid.said = join_scans_to_bone(wanted.whole, progress);
    for (std::size_t i = 0; i < before.size(); ++i) {
      const Body& body = wanted.whole.bodies[i];
      if (body.surface != before[i])
        laid.moved.push_back({body.name, {body.surface, body.mesh_sha256, notes_on(*body.surface)}});
    }
    laid.landmarks = std::move(wanted.whole.landmarks);
    return laid;
  }

  ErrandAnswer operator()(const FindContacts& wanted) const {
    return ContactsFound{contacts_of(wanted.pairs, wanted.settings, &queries)};
  }

  ErrandAnswer operator()(const MakeQuestion& wanted) const {
    auto made = make_question(wanted.spec);
    if (!made) return made.error();
    progress.report(0.4);
    auto c = case_of(made.value(), wanted.triangles);
    if (!c) return c.error();
    CaseOpened opened = opened_case(std::move(c).value(), "", progress);
    PracticeQuestion& question = made.value().question;
    const std::string side = side_to_look_from(question);
    return QuestionMade{std::move(question), side, std::move(opened.opened), std::move(opened.notes)};
  }

  ErrandAnswer operator()(const ReadShownQuestion& wanted) const {
    auto read = read_shown_question(wanted.bytes.data(), wanted.bytes.size());
    if (!read) return read.error();
    ShownQuestion& q = read.value();
    CaseOpened opened = opened_case(std::move(q.shown), "", progress);
    return QuestionMade{std::move(q.question), q.look_from, std::move(opened.opened), std::move(opened.notes)};
  }

  ErrandAnswer operator()(const AskQuestion& wanted) const {
    auto made = make_question(wanted.spec);
    if (!made) return made.error();
    return QuestionAsked{std::move(made.value().question)};
  }

  ErrandAnswer operator()(const FindBoneInWay& wanted) const { return places_of(found_bone(wanted)); }

  ErrandAnswer operator()(const MakeLight& wanted) const {
    (void)light.of(wanted.body);
    return LightMade{};
  }

  ErrandAnswer operator()(FollowHand& step) const {
    if (step.in_pieces) hand.emplace(std::move(*step.in_pieces), step.plan, light);
    if (!hand) return Error{"the hand's first step did not arrive", "", "let go and move it once more"};
    HandStep told = hand->at(step.poses, step.plates);
    return HandFollowed{std::move(told.pairs), places_of(told.bone), std::move(told.plates)};
  }

  ErrandAnswer operator()(const MakeSheet& wanted) const {
    SheetOrder order;
    order.checked_by = wanted.checked_by;
    order.date = wanted.date;
    order.agreed = wanted.agreed;
    order.clearance_mm = wanted.clearance_mm;
    const auto sheet = make_sheet(wanted.to_draw, wanted.plan, order);
    if (!sheet) return sheet.error();
    progress.report(0.9);
    auto pdf = sheet_pdf(sheet.value());
    if (!pdf) return pdf.error();
    return SheetMade{std::move(pdf).value(), sheet_json(sheet.value()).dump()};
  }

  ErrandAnswer operator()(const TrimBones& wanted) const { return trimmed_bones(wanted, progress); }

  ErrandAnswer operator()(const MeasurePlates& wanted) const {
    return PlatesMeasured{plate_gaps(wanted.in_pieces, wanted.in_pieces.find_plan(wanted.plan), wanted.poses)};
  }

  ErrandAnswer operator()(const WalkTheWay& wanted) const {
    const Plan* plan = wanted.in_pieces.find_plan(wanted.plan);
    if (!plan) return Error{"there is no plan " + wanted.plan, "", "choose another plan"};
    return WayWalked{overlaps_on_the_way(wanted.in_pieces, *plan)};
  }

  ErrandAnswer operator()(const MakeSplint& wanted) const { return made_splint(wanted, progress); }

  ErrandAnswer operator()(const ComparePlans& wanted) const {
    const auto report = plans_beside(wanted.whole, wanted.first, wanted.second, progress);
    if (!report) return report.error();
    return PlansCompared{report.value().dump()};
  }

  ErrandAnswer operator()(const WriteCase& writing) const { return CaseWritten{write_case(writing.to_write)}; }

  ErrandAnswer operator()(const MakeCuts& wanted) const {
    const auto made = with_cuts(wanted.whole, wanted.whole.find_plan(wanted.plan), &pieces);
    if (!made) return made.error();
    const SawnFaces faces(wanted.whole, wanted.whole.find_plan(wanted.plan));
    const auto notes = [&](const Body& piece) { return notes_on(*piece.surface, faces.of(piece.surface->mesh())); };
    CutsMade answer;
    for (const auto& [key, sawn] : pieces.pieces())
      if (std::find(wanted.known.begin(), wanted.known.end(), key) == wanted.known.end())
        answer.pieces.push_back({key, sawn, notes(sawn.positive), notes(sawn.negative)});
    return answer;
  }

  ErrandAnswer operator()(const SeatBite& wanted) const {
    auto offers = settle_offers(wanted.in_pieces, wanted.in_pieces.find_plan(wanted.plan), wanted.moving,
                                wanted.settings, progress);
    if (!offers) return offers.error();
    return BiteSeated{std::move(offers).value()};
  }

  ErrandAnswer operator()(const CloseJaw& wanted) const {
    const auto poses = segment_poses(wanted.in_pieces, wanted.in_pieces.find_plan(wanted.plan), Moment::planned);
    if (!poses) return poses.error();
    auto closed = find_closing(wanted.in_pieces, poses.value(), wanted.goal);
    if (!closed) return closed.error();
    return JawClosed{std::move(closed).value()};
  }
};

}  // namespace

ReadySurface ready_surface(Mesh mesh, std::vector<Opened> opened) {
  Body body = make_body("", Surface::make(std::move(mesh)));
  SurfaceNotes notes = notes_on(*body.surface, std::move(opened));
  return {std::move(body.surface), std::move(body.mesh_sha256), std::move(notes)};
}

ErrandAnswer ErrandBench::run(Errand& errand, const Progress& progress) {
  return std::visit(Doing{queries_, pieces_, light_, hand_, shelf_.get(), progress}, errand);
}

}  // namespace intercusp
