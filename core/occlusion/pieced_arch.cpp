#include "occlusion/pieced_arch.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "geometry/registration.h"
#include "occlusion/chewing_samples.h"
#include "occlusion/reading.h"
#include "occlusion/settle_conditions.h"
#include "occlusion/settle_cost.h"

namespace intercusp {
namespace {

constexpr double kLimitWeight = 0.05;   // against the mean of the samples, per mm^2 beyond a limit
constexpr double kTurnWeight = 0.0125;  // likewise, per square degree
constexpr double kTurnCost = 0.5, kApartCost = 0.5;
constexpr double kNeighbourWeight = 10;  // per mm^2 of overlap beside a cut
constexpr double kHarmlessNeighbourMm = 0.05, kReportedNeighbourMm = 0.1;
constexpr double kPieceHold = 0.01;  // per mm that a piece goes from the whole
constexpr double kHoldBendMm = 0.3;  // below it the hold gives way as the square
constexpr double kPinWeight = 1e4;   // as in seat_fit
constexpr double kFaceReachMm = 2, kFaceStepMm = 0.5, kOnCutMm = 0.02;

// 18, 17, .. 11, 21, .. 28.
std::vector<int> upper_row() {
  std::vector<int> row;
  for (int n = 8; n >= 1; --n) row.push_back(10 + n);
  for (int n = 1; n <= 8; ++n) row.push_back(20 + n);
  return row;
}

PieceTerm squared_term(double off_mm, double weight) {
  return {off_mm, weight, weight * off_mm * off_mm};
}

// The landmarks of the teeth in the order of the row, with the piece of each tooth.
struct RowTooth {
  int tooth;
  std::size_t piece;
  Vec3 middle;
};

std::vector<RowTooth> row_of_teeth(const PointMap& joined, const std::map<std::string, std::size_t>& piece_of) {
  std::vector<RowTooth> out;
  for (const int tooth : upper_row()) {
    RowTooth row{tooth, 0, Vec3::Zero()};
    double count = 0;
    for (const auto& [name, at] : joined) {
      if (name.rfind(std::to_string(tooth) + ".", 0) != 0) continue;
      // A root may lie in the neighbour's piece, and a contact point on the cut itself: the crown tells.
      if (name.find("apex") != std::string::npos || name.find("contact") != std::string::npos) continue;
      if (count == 0) row.piece = piece_of.at(name);
      row.middle += at;
      count += 1;
    }
    if (count == 0) continue;
    row.middle /= count;
    out.push_back(row);
  }
  return out;
}

}  // namespace

PieceTies::PieceTies(const PiecedArch& arch, const SettleSettings& settings) : arch_(arch), settings_(settings) {
  anchors_.resize(arch.pieces.size());
  for (const auto& [name, at] : arch.input.points) {
    const auto piece = arch.piece_of.find(name);
    if (piece == arch.piece_of.end()) continue;
    joined_[name] = arch.pieces[piece->second].moved.inverse() * at;
  }
  for (std::size_t i = 0; i < anchors_.size(); ++i) {
    PointMap own;
    for (const auto& [name, at] : joined_) {
      if (arch.piece_of.at(name) == i) own[name] = at;
    }
    anchors_[i] = chewing_marks(own, Jaw::upper);
  }
  find_widths();
  find_cuts();
}

void PieceTies::find_widths() {
  const auto width = [&](const std::string& right, const std::string& left,
                         const std::array<double, 2>& limits) -> std::optional<Width> {
    const auto r = joined_.find(right), l = joined_.find(left);
    if (r == joined_.end() || l == joined_.end()) return std::nullopt;
    return Width{arch_.piece_of.at(right), arch_.piece_of.at(left), r->second, l->second, limits};
  };
  canines_ = width("13.cusp_tip", "23.cusp_tip", settings_.pieces.canine_expansion_mm);
  molars_ = width("16.mesiobuccal_cusp", "26.mesiobuccal_cusp", settings_.pieces.molar_expansion_mm);
}

void PieceTies::find_cuts() {
  const std::vector<RowTooth> row = row_of_teeth(joined_, arch_.piece_of);
  const auto frame = maxillary_occlusal_frame(joined_);
  for (std::size_t i = 0; i + 1 < row.size(); ++i) {
    const RowTooth &a = row[i], &b = row[i + 1];
    if (a.piece == b.piece) continue;
    Cut cut{a.piece, b.piece, {a.tooth, b.tooth}, 0.5 * (a.middle + b.middle), b.middle - a.middle, {}};
    if (frame.ok()) cut.along -= frame.value().up * frame.value().up.dot(cut.along);
    cut.along.normalize();
    std::vector<Vec3> contacts;
    for (const std::string& name : {tooth_point(a.tooth, a.tooth < 20 ? "contact_mesial" : "contact_distal"),
                                    tooth_point(b.tooth, b.tooth < 20 ? "contact_distal" : "contact_mesial")}) {
      if (joined_.count(name) > 0) contacts.push_back(joined_.at(name));
    }
    if (!contacts.empty()) cut.at = 0.5 * (contacts.front() + contacts.back());
    cut.face = face_of(cut);
    cuts_.push_back(std::move(cut));
  }
}

// Where the two pieces were one, about the contact of the teeth.
std::vector<Vec3> PieceTies::face_of(const Cut& cut) const {
  const ArchPiece &first = arch_.pieces[cut.first], &second = arch_.pieces[cut.second];
  std::vector<Vec3> out = {cut.at};
  if (!first.arch.surface || !second.arch.surface) return out;
  const Pose joined_first = first.moved.inverse() * first.arch.patient_from_surface;
  const Pose to_second = (second.moved.inverse() * second.arch.patient_from_surface).inverse();
  for (const Vec3f& vertex : first.arch.surface->mesh().positions) {
    const Vec3 p = joined_first * vertex.cast<double>();
    ClosestPoint near;
    if ((p - cut.at).norm() > kFaceReachMm) continue;
    if (second.arch.surface->bvh().closest(second.arch.surface->mesh(), to_second * p, kOnCutMm, near))
      out.push_back(p);
  }
  return thinned(out, kFaceStepMm);
}

Vec3 PieceTies::gone(const PieceMotions& motions, std::size_t piece, const Vec3& joined) const {
  return motions[piece] * (arch_.pieces[piece].moved * joined);
}

double PieceTies::widened(const PieceMotions& motions, const Width& width) const {
  return (gone(motions, width.left, width.at_left) - gone(motions, width.right, width.at_right)).norm() -
         (width.at_left - width.at_right).norm();
}

PieceTies::CutState PieceTies::state_of(const PieceMotions& motions, const Cut& cut) const {
  const Vec3 along = motions[cut.first].linear() * arch_.pieces[cut.first].moved.linear() * cut.along;
  const auto apart = [&](const Vec3& p) { return Vec3(gone(motions, cut.second, p) - gone(motions, cut.first, p)); };
  CutState out;
  const Vec3 at = apart(cut.at);
  out.space = at.dot(along);
  out.across = at - out.space * along;
  for (const Vec3& p : cut.face) out.overlap.push_back(-apart(p).dot(along));
  return out;
}

Pose PieceTies::nearest_motion(const PieceMotions& motions, bool from_joined) const {
  std::vector<Vec3> from, to;
  for (std::size_t piece = 0; piece < anchors_.size(); ++piece) {
    for (const Vec3& p : anchors_[piece]) {
      from.push_back(from_joined ? p : Vec3(arch_.pieces[piece].moved * p));
      to.push_back(gone(motions, piece, p));
    }
  }
  const auto fit = fit_landmarks(from, to);
  if (fit.ok()) return fit.value().motion;
  return from_joined ? Pose(motions.front() * arch_.pieces.front().moved) : motions.front();
}

Pose PieceTies::as_whole(const PieceMotions& motions) const {
  return nearest_motion(motions, true);
}

Pose PieceTies::moved_as_whole(const PieceMotions& motions) const {
  return nearest_motion(motions, false);
}

double PieceTies::turned(const PieceMotions& motions, std::size_t piece, const Pose& whole) const {
  const Mat3 turn = motions[piece].linear() * arch_.pieces[piece].moved.linear() * whole.linear().transpose();
  return degrees(Eigen::AngleAxisd(turn).angle());
}

std::vector<PieceTerm> PieceTies::terms(const PieceMotions& motions, const Pose& whole) const {
  std::vector<PieceTerm> out;
  tie_limits(motions, out);
  for (std::size_t piece = 0; piece < motions.size(); ++piece) {
    const double beyond = std::max(turned(motions, piece, whole) - settings_.pieces.turn_deg, 0.0);
    out.push_back(squared_term(beyond, kTurnWeight));
  }
  hold(motions, whole, out);
  if (!settings_.pinned.empty()) pin(motions, out);
  return out;
}

void PieceTies::tie_limits(const PieceMotions& motions, std::vector<PieceTerm>& out) const {
  for (const auto& width : {canines_, molars_}) {
    if (width) out.push_back(squared_term(beyond_limits(widened(motions, *width), width->limits), kLimitWeight));
  }
  for (const Cut& cut : cuts_) {
    const CutState now = state_of(motions, cut);
    out.push_back(squared_term(std::max(now.space - settings_.pieces.space_mm, 0.0), kLimitWeight));
    out.push_back(squared_term(std::max(now.across.norm() - settings_.pieces.step_mm, 0.0), kLimitWeight));
    const double share = kNeighbourWeight / static_cast<double>(now.overlap.size());
    for (const double mm : now.overlap) out.push_back(squared_term(std::max(mm - kHarmlessNeighbourMm, 0.0), share));
  }
}

// Each piece on the arch in one piece: as the square of small distances, as the distance of large ones, so that a
// piece which has to go far is hardly drawn back.
void PieceTies::hold(const PieceMotions& motions, const Pose& whole, std::vector<PieceTerm>& out) const {
  double count = 0;
  for (const auto& anchors : anchors_) count += static_cast<double>(anchors.size());
  for (std::size_t piece = 0; piece < anchors_.size(); ++piece) {
    for (const Vec3& p : anchors_[piece]) {
      const Vec3 off = gone(motions, piece, p) - whole * p;
      const double bent = std::sqrt(kHoldBendMm * kHoldBendMm + off.squaredNorm()), share = kPieceHold / count;
      for (int axis = 0; axis < 3; ++axis) {
        out.push_back({off[axis], 0.5 * share / bent, axis == 0 ? share * (bent - kHoldBendMm) : 0});
      }
    }
  }
}

void PieceTies::pin(const PieceMotions& motions, std::vector<PieceTerm>& out) const {
  const MeasureInput there = input_at(motions);
  if (!there.frame) return;
  for (const SeatCondition& c : settle_conditions(there, settings_, Pose::Identity())) {
    out.push_back(squared_term((c.upper - c.lower).dot(c.direction) - c.target_mm, kPinWeight));
  }
}

MeasureInput PieceTies::input_at(const PieceMotions& motions) const {
  MeasureInput there;
  there.settings = arch_.input.settings;
  there.landmark_sd = arch_.input.landmark_sd;
  there.midsagittal = arch_.input.midsagittal;
  there.points = arch_.input.points;
  for (const auto& [name, piece] : arch_.piece_of) {
    const auto point = there.points.find(name);
    if (point != there.points.end()) point->second = motions[piece] * point->second;
  }
  const auto frame = maxillary_occlusal_frame(there.points);
  if (frame.ok()) there.frame = frame.value();
  return there;
}

void PieceTies::report(const PieceMotions& motions, SettleSolution& s) const {
  if (canines_) s.canine_expansion_mm = widened(motions, *canines_);
  if (molars_) s.molar_expansion_mm = widened(motions, *molars_);
  for (const auto& width : {canines_, molars_}) {
    if (width) s.cost.expansion += beyond_limits(widened(motions, *width), width->limits);
  }
  for (const Cut& cut : cuts_) {
    const CutState now = state_of(motions, cut);
    const double overlap = *std::max_element(now.overlap.begin(), now.overlap.end());
    s.cuts.push_back({cut.teeth, overlap > 0 ? std::min(-overlap, now.space) : now.space, now.across.norm()});
    s.cost.steps += std::max(now.space - settings_.pieces.space_mm, 0.0) +
                    std::max(now.across.norm() - settings_.pieces.step_mm, 0.0);
    s.cost.neighbours += 10 * std::max(overlap - kReportedNeighbourMm, 0.0);
  }
  const Pose whole = as_whole(motions);
  double apart = 0, count = 0;
  for (std::size_t piece = 0; piece < motions.size(); ++piece) {
    s.cost.steps += kTurnCost * std::max(turned(motions, piece, whole) - settings_.pieces.turn_deg, 0.0);
    for (const Vec3& p : anchors_[piece]) {
      apart += (gone(motions, piece, p) - whole * p).norm();
      count += 1;
    }
  }
  s.cost.apart = count > 0 ? kApartCost * apart / count : 0;
}

MeasureInput joined_arch(const PiecedArch& arch) {
  MeasureInput out = arch.input;
  const ArchPiece& first = arch.pieces.front();
  for (const auto& [name, piece] : arch.piece_of) {
    const auto point = out.points.find(name);
    if (point != out.points.end()) point->second = first.moved * (arch.pieces[piece].moved.inverse() * point->second);
  }
  // All pieces in the frame of the first one's mesh: of one scan, they share it already.
  const Pose joined_first = first.moved.inverse() * first.arch.patient_from_surface;
  Mesh all;
  for (const ArchPiece& piece : arch.pieces) {
    const Pose change = joined_first.inverse() * (piece.moved.inverse() * piece.arch.patient_from_surface);
    append(all, transformed(piece.arch.surface->mesh(), change));
  }
  out.upper = {Surface::make(std::move(all)), first.arch.patient_from_surface};
  out.frame.reset();
  const auto frame = maxillary_occlusal_frame(out.points);
  if (frame.ok()) out.frame = frame.value();
  return out;
}

}  // namespace intercusp
