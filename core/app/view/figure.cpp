#include "app/view/figure.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "app/theme.h"

namespace intercusp {

namespace {

/// A rounded part of the head: middle and half axes, patient axes, the head about two units high.
struct Lump {
  Vec3 middle, half;
};

const std::array<Lump, 6>& head_lumps() {
  static const std::array<Lump, 6> all = {{{{0, 0.16, 0.36}, {0.64, 0.80, 0.64}},     // skull
                                           {{0, -0.26, -0.10}, {0.55, 0.48, 0.62}},   // face
                                           {{0, -0.50, -0.66}, {0.30, 0.26, 0.20}},   // chin
                                           {{0, -0.70, -0.40}, {0.20, 0.11, 0.16}},   // lips
                                           {{0, 0.26, -0.80}, {0.34, 0.34, 0.50}},    // neck
                                           {{0, 0.02, -0.52}, {0.46, 0.40, 0.34}}}};  // angle of the jaw
  return all;
}

class Drawing {
 public:
  Drawing(ImDrawList* list, const Camera& camera, ImVec2 centre, float size)
      : list_(list), camera_(camera), centre_(centre), size_(size) {}

  ImVec2 at(const Vec3& p) const {
    const Vec3 q = camera_.view_from_patient * p;
    return {centre_.x + static_cast<float>(q.x()) * size_, centre_.y - static_cast<float>(q.y()) * size_};
  }
  double towards(const Vec3& p) const { return p.dot(camera_.towards_viewer()); }

  // The outline of a lump is an ellipse: the square root of its projected quadratic form.
  void path(const Lump& lump, float wider) const {
    const Mat3 turn = camera_.view_from_patient.toRotationMatrix();
    const Eigen::Matrix<double, 2, 3> seen = turn.topRows<2>() * lump.half.asDiagonal();
    const Eigen::Matrix2d form = seen * seen.transpose();
    const double a = std::sqrt(form(0, 0)), b = form(1, 0) / a, c = std::sqrt(std::max(1e-9, form(1, 1) - b * b));
    const ImVec2 m = at(lump.middle);
    list_->PathClear();
    for (int i = 0; i < 28; ++i) {
      const double t = 2 * kPi * i / 28, u = std::cos(t), v = std::sin(t);
      const Eigen::Vector2d d(a * u, b * u + c * v);
      const Eigen::Vector2d out = d + d.normalized() * (wider / size_);
      list_->PathLineTo({m.x + static_cast<float>(out.x()) * size_, m.y - static_cast<float>(out.y()) * size_});
    }
  }
  void fill(const Lump& lump, ImU32 colour, float wider = 0) const {
    path(lump, wider);
    list_->PathFillConvex(colour);
  }
  void outline(const Lump& lump, ImU32 colour, float width) const {
    path(lump, 0);
    list_->PathStroke(colour, ImDrawFlags_Closed, width);
  }
  void line(const Vec3& a, const Vec3& b, ImU32 colour, float width) const {
    list_->AddLine(at(a), at(b), colour, width);
  }
  // A wedge from the bridge to the wings, its tip in front.
  void nose(ImU32 colour, double wider) const {
    const double g = 1 + wider;
    const ImVec2 bridge = at({0, -0.66 * g, 0.14 * g}), tip = at({0, -1.0 * g, -0.2 * g}),
                 right = at({-0.13 * g, -0.66, -0.26 * g}), left = at({0.13 * g, -0.66, -0.26 * g});
    list_->AddTriangleFilled(bridge, tip, right, colour);
    list_->AddTriangleFilled(bridge, tip, left, colour);
    list_->AddTriangleFilled(tip, left, right, colour);
    list_->AddTriangleFilled(bridge, left, right, colour);
  }
  void dot(const Vec3& p, float radius, ImU32 colour) const {
    list_->AddCircleFilled(at(p), radius * size_, colour, 12);
  }

 private:
  ImDrawList* list_;
  const Camera& camera_;
  ImVec2 centre_;
  float size_;
};

}  // namespace

void draw_head(ImDrawList* list, const Camera& camera, ImVec2 centre, float size) {
  const Theme& t = theme();
  const Drawing d(list, camera, centre, size);
  const ImU32 skin = mixed(t.panel, t.soft, 0.16f), ink = t.soft;
  const float line = std::max(1.0f, px(1.4f));
  for (const Lump& lump : head_lumps()) d.fill(lump, ink, line);
  d.nose(ink, 0.06);
  for (const Lump& lump : head_lumps()) d.fill(lump, skin);
  d.nose(skin, 0);
  for (const double side : {-1.0, 1.0}) {
    const Lump ear = {{0.64 * side, 0.14, -0.06}, {0.07, 0.16, 0.22}};
    if (d.towards({side, 0.1, 0}) < -0.2) continue;
    d.fill(ear, mixed(skin, ink, 0.18f));
    d.outline(ear, ink, line);
    const Vec3 eye(0.24 * side, -0.68, 0.12);
    if (d.towards(Vec3(0.35 * side, -0.94, 0).normalized()) > 0.15) d.dot(eye, 0.085f, t.text);
  }
  if (d.towards({0, -1, 0}) > 0.25) {
    d.nose(t.accent, 0);
    d.line({-0.17, -0.80, -0.46}, {0.17, -0.80, -0.46}, t.text, line);
  } else if (d.towards({0, -1, 0}) > -0.35) {
    d.nose(t.accent, 0);  // the profile: the nose shows which way the patient looks
    for (const double side : {-1.0, 1.0})
      if (d.towards({side, 0, 0}) > 0.3) d.line({0.12 * side, -0.81, -0.46}, {0.2 * side, -0.66, -0.47}, t.text, line);
  }
}

}  // namespace intercusp
