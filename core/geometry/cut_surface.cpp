#include "geometry/cut_surface.h"

#include <array>
#include <cassert>

namespace intercusp {

namespace {
constexpr std::size_t kDeepest = 32;  // open values of a program at any time
}

CutSurface CutSurface::plane(const Vec3& through, const Vec3& normal) {
  CutSurface s;
  Facet facet;
  facet.normal = normal.normalized();
  facet.offset = facet.normal.dot(through);
  s.facets_ = {facet};
  s.program_ = {0};
  return s;
}

CutSurface CutSurface::joined(const CutSurface& a, const CutSurface& b, int how) {
  CutSurface s = a;
  std::vector<int> renamed;  // equal planes become one, so that no fold runs between them
  for (const Facet& facet : b.facets_) {
    std::size_t k = 0;
    while (k < s.facets_.size() && (s.facets_[k].normal != facet.normal || s.facets_[k].offset != facet.offset)) ++k;
    if (k == s.facets_.size()) s.facets_.push_back(facet);
    renamed.push_back(static_cast<int>(k));
  }
  for (const int code : b.program_) s.program_.push_back(code < 0 ? code : renamed[static_cast<std::size_t>(code)]);
  s.program_.push_back(how);
  return s;
}

CutSurface CutSurface::stepped(const CutSurface& wall, const CutSurface& near, const CutSurface& far) {
  assert(wall.facets_.size() == 1);
  // Where both sides agree the wall has no say: without the first term it would stand alone in the positive and the
  // negative half as a surface of no thickness.
  return both(either(near, far), both(either(wall, near), either(wall.turned(), far)));
}

CutSurface CutSurface::turned() const {
  CutSurface s = *this;
  for (Facet& facet : s.facets_) facet = {-facet.normal, -facet.offset};
  for (int& code : s.program_) {
    if (code < 0) code = code == kSmaller ? kGreater : kSmaller;
  }
  return s;
}

CutSurface CutSurface::moved(const Pose& pose) const {
  CutSurface s = *this;
  for (Facet& facet : s.facets_) {
    facet.normal = pose.linear() * facet.normal;
    facet.offset += facet.normal.dot(pose.translation());
  }
  return s;
}

std::pair<double, int> CutSurface::evaluate(const Vec3& p) const {
  std::array<std::pair<double, int>, kDeepest> open;
  std::size_t depth = 0;
  for (const int code : program_) {
    if (code >= 0) {
      assert(depth < kDeepest);
      open[depth++] = {facets_[static_cast<std::size_t>(code)].value(p), code};
      continue;
    }
    --depth;
    const bool takes_second =
        code == kSmaller ? open[depth].first < open[depth - 1].first : open[depth].first > open[depth - 1].first;
    if (takes_second) open[depth - 1] = open[depth];
  }
  return open[0];
}

double CutSurface::value(const Vec3& p) const {
  return evaluate(p).first;
}

int CutSurface::plane_at(const Vec3& p) const {
  return evaluate(p).second;
}

}  // namespace intercusp
