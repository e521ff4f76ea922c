#include "geometry/weld.h"

#include <cmath>
#include <cstring>
#include <limits>

namespace intercusp {
namespace {

constexpr std::uint32_t kNoVertex = std::numeric_limits<std::uint32_t>::max();
constexpr std::size_t kFewestSlots = 64;

// Coordinates of scans share most of their bits, so every bit must reach the low bits that pick a slot.
std::size_t mix(std::uint64_t h) {
  h ^= h >> 32;
  h *= 0xD6E8FEB86659FD93u;
  h ^= h >> 32;
  return static_cast<std::size_t>(h);
}

std::size_t hash_of(const Vec3f& p) {
  std::uint32_t bits[3];
  std::memcpy(bits, p.data(), sizeof bits);
  return mix(bits[0] * 0x9E3779B97F4A7C15u + bits[1] * 0xC2B2AE3D27D4EB4Fu + bits[2] * 0x165667B19E3779F9u);
}

bool same_bits(const Vec3f& a, const Vec3f& b) {
  return std::memcmp(a.data(), b.data(), 3 * sizeof(float)) == 0;
}

std::size_t slots_for(std::size_t vertices) {
  std::size_t slots = kFewestSlots;
  while (slots < 2 * vertices) slots *= 2;
  return slots;
}

// Kept vertices hashed by the cell of a grid as wide as the tolerance, so that all within reach lie in 27 cells.
class ToleranceWelder {
 public:
  ToleranceWelder(std::size_t expected_vertices, double tolerance)
      : tolerance_(tolerance), first_(slots_for(expected_vertices), kNoVertex) {}

  std::uint32_t add(const Vec3f& p) {
    const Vec3 cell = cell_of(p);
    const std::uint32_t near = nearest(p, cell);
    if (near != kNoVertex) return near;
    const auto index = static_cast<std::uint32_t>(positions_.size());
    positions_.push_back(p);
    std::uint32_t& head = first_[slot_of(cell)];
    next_.push_back(head);
    head = index;
    return index;
  }

  std::vector<Vec3f> take() { return std::move(positions_); }

 private:
  Vec3 cell_of(const Vec3f& p) const { return (p.cast<double>() / tolerance_).array().floor(); }

  std::size_t slot_of(const Vec3& cell) const {
    std::uint64_t bits[3];
    const Vec3 positive_zero = cell + Vec3::Zero();
    std::memcpy(bits, positive_zero.data(), sizeof bits);
    std::uint64_t h = 0;
    for (const std::uint64_t b : bits) h = mix(h * 0x9E3779B97F4A7C15u + b);
    return static_cast<std::size_t>(h) & (first_.size() - 1);
  }

  std::uint32_t nearest(const Vec3f& p, const Vec3& cell) const {
    std::uint32_t best = kNoVertex;
    double best_distance = tolerance_;
    for (int n = 0; n < 27; ++n) {
      const Vec3 neighbour = cell + Vec3(n % 3 - 1, n / 3 % 3 - 1, n / 9 - 1);
      for (std::uint32_t v = first_[slot_of(neighbour)]; v != kNoVertex; v = next_[v]) {
        const double distance = (positions_[v] - p).cast<double>().norm();
        const bool nearer = distance < best_distance || (distance == best_distance && v < best);
        if (!nearer) continue;
        best = v;
        best_distance = distance;
      }
    }
    return best;
  }

  double tolerance_;
  std::vector<Vec3f> positions_;
  std::vector<std::uint32_t> first_, next_;
};

bool collapsed(const Triangle& t) {
  return t[0] == t[1] || t[1] == t[2] || t[2] == t[0];
}

// Vertices numbered anew in the order in which the triangles use them; others go.
void number_by_first_use(Mesh& mesh) {
  Mesh ordered;
  std::vector<std::uint32_t> new_index(mesh.positions.size(), kNoVertex);
  for (Triangle& triangle : mesh.triangles) {
    for (std::uint32_t& v : triangle) {
      if (new_index[v] == kNoVertex) {
        new_index[v] = static_cast<std::uint32_t>(ordered.positions.size());
        ordered.positions.push_back(mesh.positions[v]);
        if (!mesh.colours.empty()) ordered.colours.push_back(mesh.colours[v]);
      }
      v = new_index[v];
    }
  }
  mesh.positions = std::move(ordered.positions);
  mesh.colours = std::move(ordered.colours);
}

template <class Welder>
Welded weld_with(Welder welder, const Mesh& mesh) {
  Welded result;
  std::vector<std::uint32_t> joined(mesh.positions.size(), kNoVertex);
  std::size_t used = 0, kept = 0;
  result.mesh.triangles.reserve(mesh.triangles.size());
  for (const Triangle& old : mesh.triangles) {
    Triangle triangle{};
    for (std::size_t k = 0; k < 3; ++k) {
      std::uint32_t& index = joined[old[k]];
      if (index == kNoVertex) {
        index = welder.add(mesh.positions[old[k]]);
        ++used;
        const bool is_new = index == kept;
        if (is_new && !mesh.colours.empty()) result.mesh.colours.push_back(mesh.colours[old[k]]);
        kept += is_new;
      }
      triangle[k] = index;
    }
    if (!collapsed(triangle)) result.mesh.triangles.push_back(triangle);
  }
  result.mesh.positions = welder.take();
  result.report.collapsed_triangles = mesh.triangles.size() - result.mesh.triangles.size();
  // Without a collapsed triangle the order is that of first use already, and every vertex is used.
  if (result.report.collapsed_triangles > 0) number_by_first_use(result.mesh);
  result.report.joined_vertices = used - kept;
  result.report.unused_vertices = mesh.positions.size() - used + kept - result.mesh.positions.size();
  return result;
}

}  // namespace

VertexWelder::VertexWelder(std::size_t expected_vertices)
    : slots_(slots_for(expected_vertices), 0), mask_(slots_.size() - 1) {
  positions_.reserve(expected_vertices);
}

std::uint32_t VertexWelder::add(const Vec3f& position) {
  const Vec3f p = position + Vec3f::Zero();  // -0 becomes 0
  std::size_t slot = hash_of(p) & mask_;
  for (; slots_[slot] != 0; slot = (slot + 1) & mask_) {
    if (same_bits(positions_[slots_[slot] - 1], p)) return slots_[slot] - 1;
  }
  positions_.push_back(p);
  const auto count = static_cast<std::uint32_t>(positions_.size());
  slots_[slot] = count;
  if (positions_.size() > slots_.size() - slots_.size() / 3) grow();
  return count - 1;
}

void VertexWelder::grow() {
  slots_.assign(slots_.size() * 2, 0);
  mask_ = slots_.size() - 1;
  for (std::size_t v = 0; v < positions_.size(); ++v) {
    std::size_t slot = hash_of(positions_[v]) & mask_;
    while (slots_[slot] != 0) slot = (slot + 1) & mask_;
    slots_[slot] = static_cast<std::uint32_t>(v + 1);
  }
}

Welded weld(const Mesh& mesh, double tolerance) {
  if (tolerance > 0) return weld_with(ToleranceWelder(mesh.positions.size(), tolerance), mesh);
  return weld_with(VertexWelder(mesh.positions.size()), mesh);
}

}  // namespace intercusp
