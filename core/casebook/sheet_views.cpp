// Small grey pictures of the planned position, drawn in software so that every build makes the same ones: what stays is
// light, what moves is dark, and a dotted line shows the outline that the moved parts had at rest.
#include <algorithm>
#include <cmath>
#include <limits>

#include "casebook/sheet_parts.h"

namespace intercusp {

namespace {

constexpr int kPictureWide = 300, kPictureHigh = 240;
constexpr double kRim = 0.04;  ///< of the picture, left free around the bodies
constexpr std::uint8_t kPaper = 255, kLine = 40;
constexpr double kEdgeDepth = 4;  ///< mm between neighbours from which a line is drawn

struct ViewAxes {
  const char* words;
  Vec3 right, up;  ///< of the picture
  bool upper_only;
  const char *at_left = "", *at_right = "";  ///< the patient's sides there
};

const std::array<ViewAxes, 4>& all_views() {
  static const std::array<ViewAxes, 4> kViews{
      {{"from the front", Vec3::UnitX(), Vec3::UnitZ(), false, "R", "L"},
       {"from the patient's right", -Vec3::UnitY(), Vec3::UnitZ(), false},
       {"from the patient's left", Vec3::UnitY(), Vec3::UnitZ(), false},
       {"upper jaw from below", Vec3::UnitX(), -Vec3::UnitY(), true, "R", "L"}}};
  return kViews;
}

struct DrawnBody {
  const Mesh* mesh;
  Pose pose;
  bool moved;
};

/// What is seen at each pixel: how near, and what.
class Canvas {
 public:
  Canvas(const ViewAxes& view, const Box& box) : view_(view), toward_(view.right.cross(view.up)) {
    Eigen::AlignedBox2d flat;
    for (int corner = 0; corner < 8; ++corner) flat.extend(flat_of(box.corner(static_cast<Box::CornerType>(corner))));
    const Eigen::Vector2d size = flat.sizes().cwiseMax(1);
    scale_ = (1 - 2 * kRim) * std::min(kPictureWide / size.x(), kPictureHigh / size.y());
    shift_ = 0.5 * Eigen::Vector2d(kPictureWide, kPictureHigh) - scale_ * flat.center();
    near_.assign(static_cast<std::size_t>(kPictureWide * kPictureHigh), -std::numeric_limits<double>::infinity());
    what_.assign(near_.size(), 0);
    shade_.assign(near_.size(), kPaper);
  }

  void draw(const DrawnBody& body, std::uint8_t number) {
    std::vector<Vec3> seen(body.mesh->positions.size());
    for (std::size_t v = 0; v < seen.size(); ++v) {
      const Vec3 p = body.pose * body.mesh->positions[v].cast<double>();
      const Eigen::Vector2d q = scale_ * flat_of(p) + shift_;
      seen[v] = {q.x(), kPictureHigh - q.y(), toward_.dot(p)};
    }
    for (const Triangle& t : body.mesh->triangles) triangle(seen[t[0]], seen[t[1]], seen[t[2]], body.moved, number);
  }

  std::uint8_t what(int x, int y) const { return what_[index(x, y)]; }

  std::vector<std::uint8_t> picture(const Canvas* at_rest) const {
    std::vector<std::uint8_t> grey = shade_;
    for (int y = 0; y + 1 < kPictureHigh; ++y) {
      for (int x = 0; x + 1 < kPictureWide; ++x) {
        if (line_between(index(x, y), index(x + 1, y)) || line_between(index(x, y), index(x, y + 1)))
          grey[index(x, y)] = kLine;
        const bool dotted = (x + y) % 4 < 2;
        if (at_rest && dotted && at_rest->outline(x, y)) grey[index(x, y)] = 0;
      }
    }
    return grey;
  }

 private:
  static std::size_t index(int x, int y) { return static_cast<std::size_t>(y * kPictureWide + x); }
  Eigen::Vector2d flat_of(const Vec3& p) const { return {view_.right.dot(p), view_.up.dot(p)}; }
  bool outline(int x, int y) const {
    const bool here = what(x, y) != 0;
    return here != (what(x + 1, y) != 0) || here != (what(x, y + 1) != 0);
  }
  bool line_between(std::size_t a, std::size_t b) const {
    if (what_[a] != what_[b]) return true;
    return what_[a] != 0 && std::abs(near_[a] - near_[b]) > kEdgeDepth;
  }

  /// Corners: pixels across and down, mm towards the viewer.
  void triangle(const Vec3& a, const Vec3& b, const Vec3& c, bool moved, std::uint8_t number) {
    const double area = (b.x() - a.x()) * (c.y() - a.y()) - (b.y() - a.y()) * (c.x() - a.x());
    if (area >= 0) return;  // turned away, or without area (down is positive)
    const int left = std::max(0, static_cast<int>(std::ceil(std::min({a.x(), b.x(), c.x()}) - 0.5)));
    const int right = std::min(kPictureWide - 1, static_cast<int>(std::floor(std::max({a.x(), b.x(), c.x()}) - 0.5)));
    const int top = std::max(0, static_cast<int>(std::ceil(std::min({a.y(), b.y(), c.y()}) - 0.5)));
    const int foot = std::min(kPictureHigh - 1, static_cast<int>(std::floor(std::max({a.y(), b.y(), c.y()}) - 0.5)));
    if (left > right || top > foot) return;
    const std::uint8_t tone = tone_of(a, b, c, moved);
    for (int y = top; y <= foot; ++y) {
      for (int x = left; x <= right; ++x) {
        const double px = x + 0.5, py = y + 0.5;
        const double u = ((c.x() - b.x()) * (py - b.y()) - (c.y() - b.y()) * (px - b.x())) / area;
        const double v = ((a.x() - c.x()) * (py - c.y()) - (a.y() - c.y()) * (px - c.x())) / area;
        const double w = 1 - u - v;
        if (u < 0 || v < 0 || w < 0) continue;
        const double depth = u * a.z() + v * b.z() + w * c.z();
        if (depth <= near_[index(x, y)]) continue;
        near_[index(x, y)] = depth;
        what_[index(x, y)] = number;
        shade_[index(x, y)] = tone;
      }
    }
  }

  /// Lit from the viewer's upper left.
  std::uint8_t tone_of(const Vec3& a, const Vec3& b, const Vec3& c, bool moved) const {
    const auto space = [this](const Vec3& p) { return Vec3(p.x() / scale_, -p.y() / scale_, p.z()); };
    const Vec3 normal = (space(b) - space(a)).cross(space(c) - space(a)).stableNormalized();
    const double lit = std::max(0.0, normal.dot(Vec3(-0.4, 0.5, 0.768)));
    return static_cast<std::uint8_t>(std::lround(moved ? 95 + 95 * lit : 175 + 70 * lit));
  }

  const ViewAxes& view_;
  Vec3 toward_;
  double scale_ = 1;
  Eigen::Vector2d shift_;
  std::vector<double> near_;
  std::vector<std::uint8_t> what_, shade_;
};

std::vector<DrawnBody> drawn_bodies(const SheetCase& s, const SegmentPoses& poses, bool upper_only, bool moved_only) {
  std::vector<DrawnBody> bodies;
  for (const Body& body : s.cut.bodies) {
    const std::string segment = segment_of_body(s.cut, body);
    const bool moved = !pose_of_segment(s.planned, segment).isApprox(Pose::Identity(), 1e-9);
    const bool upper =
        is_upper_name(segment) || (segment == "cranium" && is_upper_name(body.name) && upper_jaw_uncut(s.cut));
    if (body.name.find("root") != std::string::npos || (upper_only && !upper) || (moved_only && !moved)) continue;
    bodies.push_back({&body.surface->mesh(), pose_of_body(s.cut, body, poses), moved});
  }
  return bodies;
}

Box box_around(const std::vector<DrawnBody>& bodies) {
  Box box;
  for (const DrawnBody& body : bodies) {
    const Box own = bounds(*body.mesh);
    if (own.isEmpty()) continue;
    for (int corner = 0; corner < 8; ++corner) box.extend(body.pose * own.corner(static_cast<Box::CornerType>(corner)));
  }
  if (box.isEmpty()) box.extend(Vec3(Vec3::Zero()));
  return box;
}

}  // namespace

std::vector<SheetView> sheet_views(const SheetCase& s) {
  std::vector<SheetView> views;
  for (const ViewAxes& axes : all_views()) {
    const auto now = drawn_bodies(s, s.planned, axes.upper_only, false);
    const auto before = drawn_bodies(s, s.rest, axes.upper_only, true);
    Box box = box_around(now);
    if (!before.empty()) box.extend(box_around(before));
    Canvas planned(axes, box), rest(axes, box);
    for (std::size_t i = 0; i < now.size(); ++i) planned.draw(now[i], static_cast<std::uint8_t>(1 + i % 250));
    for (const DrawnBody& body : before) rest.draw(body, 1);
    views.push_back({axes.words, axes.at_left, axes.at_right, kPictureWide, kPictureHigh, planned.picture(&rest)});
  }
  return views;
}

}  // namespace intercusp
