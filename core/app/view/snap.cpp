#include "app/view/snap.h"

#include "geometry/feature_snap.h"

namespace intercusp {

namespace {

constexpr double kTipRadiusMm = 2.0, kEdgeRadiusMm = 1.5;

bool ends_with(const std::string& text, const std::string& end) {
  return text.size() >= end.size() && text.compare(text.size() - end.size(), end.size(), end) == 0;
}

bool asks_tip(const std::string& name) {
  return ends_with(name, "_cusp") || ends_with(name, "cusp_tip");
}

bool asks_edge(const std::string& name) {
  return ends_with(name, "incisal_edge_mid") || ends_with(name, "incisal_edge_mesial") ||
         ends_with(name, "incisal_edge_distal");
}

// The biting direction of the jaw that the landmark is on, patient frame; before the frame is known, towards whoever
// places it.
Vec3 biting_direction(const Workspace& w, const std::string& name) {
  if (!w.now().frame_known) return w.views[w.active_view].camera.towards_viewer();
  return {0, 0, jaw_of_landmark(name) == Jaw::lower ? 1.0 : -1.0};
}

}  // namespace

SnappedPlace snapped_place(const Workspace& w, const Pick& pick) {
  SnappedPlace place{pick.scan, pick.patient, ""};
  const Body* body = w.shown().find_body(pick.body);
  const std::string& name = w.landmark_wanted;
  if (!w.snap || !body || !(asks_tip(name) || asks_edge(name))) return place;
  const Pose pose = pose_of_body(w.shown(), *body, w.readings.now().poses);
  const Mat3 turn = pose.linear().transpose();
  const Vec3 up = turn * biting_direction(w, name);
  const Vec3 along = turn * (w.now().frame_known ? Vec3(Vec3::UnitX()) : w.views[w.active_view].camera.right());
  const Snapped found = asks_tip(name) ? snap_to_tip(*body->surface, pick.scan, up, kTipRadiusMm)
                                       : snap_to_ridge(*body->surface, pick.scan, up, along, kEdgeRadiusMm);
  if (!found.moved) return place;
  return {found.point, pose * found.point, asks_tip(name) ? "cusp tip" : "edge"};
}

}  // namespace intercusp
