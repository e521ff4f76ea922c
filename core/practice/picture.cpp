#include "practice/picture.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace intercusp {

namespace {

struct ViewAxes {
  Vec3 right, up, towards;
};

/// Screen axes of a record view in the patient frame. Below, the patient's right is on the left of the picture in both
/// jaws, as in a mirror photograph of the upper and as one looks down on the lower from behind.
ViewAxes axes_of(RecordView view) {
  const Vec3 left = Vec3::UnitX(), back = Vec3::UnitY(), up = Vec3::UnitZ();
  switch (view) {
    case RecordView::right:
      return {-back, up, -left};
    case RecordView::left:
      return {back, up, left};
    case RecordView::upper:
      return {left, -back, -up};
    case RecordView::lower:
      return {left, back, up};
    default:
      return {left, up, -back};
  }
}

constexpr std::array<double, 3> kGround{1.0, 1.0, 1.0}, kBone{0.93, 0.89, 0.80};

class ZBuffer {
 public:
  ZBuffer(int width, int height)
      : width_(width),
        height_(height),
        depth_(static_cast<std::size_t>(width * height), -std::numeric_limits<float>::infinity()) {
    for (std::size_t i = 0; i < depth_.size(); ++i)
      for (const double c : kGround) rgb_.push_back(byte(c));
  }

  static std::uint8_t byte(double c) { return static_cast<std::uint8_t>(std::lround(255 * std::clamp(c, 0.0, 1.0))); }

  /// Corners in pixels with depth towards the viewer.
  void triangle(const std::array<Vec3, 3>& p, const std::array<Vec3, 3>& colour) {
    const double area = (p[1].x() - p[0].x()) * (p[2].y() - p[0].y()) - (p[2].x() - p[0].x()) * (p[1].y() - p[0].y());
    if (std::abs(area) < 1e-12) return;
    const auto span = [&](int axis, int size) {
      const auto [low, high] = std::minmax({p[0][axis], p[1][axis], p[2][axis]});
      return std::pair(std::max(0, static_cast<int>(std::floor(low))),
                       std::min(size - 1, static_cast<int>(std::ceil(high))));
    };
    const auto [x0, x1] = span(0, width_);
    const auto [y0, y1] = span(1, height_);
    for (int y = y0; y <= y1; ++y)
      for (int x = x0; x <= x1; ++x) pixel(p, area, x, y, colour);
  }

  void put(int x, int y, const Vec3& colour) {
    if (x < 0 || y < 0 || x >= width_ || y >= height_) return;
    for (int k = 0; k < 3; ++k) rgb_[3 * index(x, y) + static_cast<std::size_t>(k)] = byte(colour[k]);
  }
  float depth(int x, int y) const {
    return x < 0 || y < 0 || x >= width_ || y >= height_ ? -std::numeric_limits<float>::infinity()
                                                         : depth_[index(x, y)];
  }
  std::vector<std::uint8_t> take() { return std::move(rgb_); }

 private:
  std::size_t index(int x, int y) const {
    return static_cast<std::size_t>(y) * static_cast<std::size_t>(width_) + static_cast<std::size_t>(x);
  }

  void pixel(const std::array<Vec3, 3>& p, double area, int x, int y, const std::array<Vec3, 3>& colour) {
    const double px = x + 0.5, py = y + 0.5;
    const double b = ((px - p[0].x()) * (p[2].y() - p[0].y()) - (p[2].x() - p[0].x()) * (py - p[0].y())) / area;
    const double c = ((p[1].x() - p[0].x()) * (py - p[0].y()) - (px - p[0].x()) * (p[1].y() - p[0].y())) / area;
    if (b < 0 || c < 0 || b + c > 1) return;
    const auto z = static_cast<float>((1 - b - c) * p[0].z() + b * p[1].z() + c * p[2].z());
    if (z <= depth_[index(x, y)]) return;
    depth_[index(x, y)] = z;
    put(x, y, (1 - b - c) * colour[0] + b * colour[1] + c * colour[2]);
  }

  int width_, height_;
  std::vector<float> depth_;
  std::vector<std::uint8_t> rgb_;
};

/// Patient points to pixels so that all bodies fit.
class Fitting {
 public:
  Fitting(const std::vector<PictureBody>& bodies, const ViewAxes& axes, int width, int height) : axes_(axes) {
    Eigen::AlignedBox2d box;
    for (const PictureBody& body : bodies)
      for (const Vec3f& p : body.mesh->positions) {
        const Vec3 q = body.patient_from_mesh * p.cast<double>();
        box.extend(Eigen::Vector2d(q.dot(axes.right), q.dot(axes.up)));
      }
    if (box.isEmpty()) box.extend(Eigen::Vector2d::Zero());
    const Eigen::Vector2d size = box.sizes().cwiseMax(1.0);
    scale_ = 0.94 * std::min(width / size.x(), height / size.y());
    middle_ = box.center();
    centre_ = Eigen::Vector2d(0.5 * width, 0.5 * height);
  }

  Vec3 pixel(const Vec3& p) const {
    return {centre_.x() + scale_ * (p.dot(axes_.right) - middle_.x()),
            centre_.y() - scale_ * (p.dot(axes_.up) - middle_.y()), p.dot(axes_.towards)};
  }

 private:
  const ViewAxes& axes_;
  double scale_ = 1;
  Eigen::Vector2d middle_, centre_;
};

/// Colour of every vertex in this light, 0..1.
std::vector<Vec3> lit_colours(const PictureBody& body, const ViewAxes& axes) {
  const Vec3 light = (0.9 * axes.towards + 0.5 * axes.up - 0.4 * axes.right).normalized();
  const Mesh& mesh = *body.mesh;
  const std::vector<Vec3f> normals = vertex_normals(mesh);
  std::vector<Vec3> out;
  for (std::size_t i = 0; i < normals.size(); ++i) {
    Vec3 colour(kBone[0], kBone[1], kBone[2]);
    if (!mesh.colours.empty())
      for (int k = 0; k < 3; ++k) colour[k] = mesh.colours[i][static_cast<std::size_t>(k)] / 255.0;
    const Vec3 normal = body.patient_from_mesh.linear() * normals[i].cast<double>();
    out.push_back((0.42 + 0.58 * std::abs(normal.dot(light))) * colour);
  }
  return out;
}

void draw_body(ZBuffer& buffer, const PictureBody& body, const Fitting& fit, const ViewAxes& axes) {
  const std::vector<Vec3> colour = lit_colours(body, axes);
  std::vector<Vec3> at;
  for (const Vec3f& p : body.mesh->positions) at.push_back(fit.pixel(body.patient_from_mesh * p.cast<double>()));
  for (const Triangle& t : body.mesh->triangles)
    buffer.triangle({at[t[0]], at[t[1]], at[t[2]]}, {colour[t[0]], colour[t[1]], colour[t[2]]});
}

void draw_ring(ZBuffer& buffer, const Vec3& at) {
  const int cx = static_cast<int>(at.x()), cy = static_cast<int>(at.y());
  constexpr double kBelowSurface = 4;  // mm that a crown may bulge over the place
  if (at.z() < buffer.depth(cx, cy) - kBelowSurface) return;
  constexpr int kOuter = 9, kInner = 6;
  for (int y = -kOuter; y <= kOuter; ++y)
    for (int x = -kOuter; x <= kOuter; ++x) {
      const int r = x * x + y * y;
      if (r <= kOuter * kOuter && r >= kInner * kInner) buffer.put(cx + x, cy + y, Vec3(0, 0.447, 0.698));
    }
}

}  // namespace

const char* record_view_name(RecordView view) {
  static constexpr std::array<const char*, kRecordViews> names{"front", "right", "left", "upper", "lower"};
  return names[static_cast<std::size_t>(view)];
}

Picture draw_record_view(const std::vector<PictureBody>& bodies, RecordView view, int width, int height,
                         const Vec3* marked) {
  std::vector<PictureBody> seen;
  for (const PictureBody& body : bodies)
    if (body.mesh && (view == RecordView::upper ? body.upper : view == RecordView::lower ? !body.upper : true))
      seen.push_back(body);
  const ViewAxes axes = axes_of(view);
  const Fitting fit(seen, axes, width, height);
  ZBuffer buffer(width, height);
  for (const PictureBody& body : seen) draw_body(buffer, body, fit, axes);
  if (marked) draw_ring(buffer, fit.pixel(*marked));
  return {width, height, buffer.take()};
}

}  // namespace intercusp
