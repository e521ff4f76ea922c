#pragma once

#include <array>
#include <memory>
#include <string>
#include <vector>

#include "casebook/case.h"

namespace intercusp {

/// A section line in the plane of a drawing: x forward (towards the front), y up, mm from the upper incisal midpoint at
/// the start.
using FlatLine = std::vector<Eigen::Vector2d>;

/// The true section through the pair of incisors that was measured.
struct IncisorSection {
  std::string pair;                                           ///< "11/41"; empty when not measurable
  std::vector<FlatLine> upper, lower;                         ///< cut from the meshes
  std::optional<Eigen::Vector2d> upper_edge, lower_edge;      ///< incisal_edge_mid of the pair
  std::optional<Eigen::Vector2d> upper_labial, lower_labial;  ///< incisal_edge_labial
};

/// What is derived from the case for one moment: poses, landmarks where they stand, measures, the section.
struct Reading {
  SegmentPoses poses;
  PointMap points;
  MeasureInput input;
  std::vector<MeasureRow> rows;
  IncisorSection section;

  const MeasureRow* row(const std::string& id) const;
};

/// The start and the moment shown, refreshed when the case, the plan or the moment changes.
class Readings {
 public:
  /// `shown`: the case as it stands at that moment, in pieces where the plan cuts it; `stamp` grows when it changes.
  void refresh(const Case& shown, std::uint64_t stamp, const Plan* plan, Moment at);
  /// Reads the measures of contacts too, once it is known how the arches meet in the poses read; null: leaves them out.
  void take_contact(std::shared_ptr<const ArchContact> contact);
  /// Shows the bodies where something holds them instead of where the plan has them; the measures stay those of the
  /// plan. `which`: names those poses; 0: nothing holds them.
  void hold(const Case& shown, std::uint64_t which, const SegmentPoses& poses);
  /// Poses and points of the plan, whatever holds the bodies.
  const SegmentPoses& planned_poses() const { return held_ ? planned_poses_ : now_.poses; }
  const PointMap& planned_points() const { return held_ ? planned_points_ : now_.points; }
  const Reading& start() const { return start_; }
  const Reading& now() const { return now_; }
  /// Why the plan could not be computed, empty when it could.
  const std::string& trouble() const { return trouble_; }
  /// Grows whenever something was recomputed.
  std::uint64_t version() const { return version_; }
  void forget() { seen_ = {}; }

 private:
  Reading read(const Case& c, const SegmentPoses& poses, const OcclusalFrame* section_frame);
  struct Seen {
    std::uint64_t stamp = ~0ull;
    std::string plan;
    Moment at = Moment::rest;
    bool operator==(const Seen& o) const { return stamp == o.stamp && plan == o.plan && at == o.at; }
  } seen_;
  Reading start_, now_;
  std::uint64_t held_ = 0;
  SegmentPoses planned_poses_;
  PointMap planned_points_;
  std::string trouble_;
  std::uint64_t version_ = 0;
};

/// The section of a reading along the frame's sagittal plane through the measured pair. Origin of the drawing at
/// `frame`.
IncisorSection incisor_section(const Reading& reading, const OcclusalFrame& frame);

}  // namespace intercusp
