#include <algorithm>
#include <cmath>

#include "base/parallel.h"
#include "geometry/bvh.h"

namespace intercusp {
namespace {

constexpr std::size_t kWorthThreads = 20000;
constexpr float kNowhere = 1e15f;

/// What the order of triangles is made from.
struct Middle {
  float at[3];
  std::uint32_t triangle;
};

int widest_axis(const Middle* begin, const Middle* end) {
  float low[3], high[3];
  for (int i = 0; i < 3; ++i) low[i] = high[i] = begin->at[i];
  for (const Middle* m = begin; m < end; ++m) {
    for (int i = 0; i < 3; ++i) {
      low[i] = m->at[i] < low[i] ? m->at[i] : low[i];
      high[i] = m->at[i] > high[i] ? m->at[i] : high[i];
    }
  }
  const float x = high[0] - low[0], y = high[1] - low[1], z = high[2] - low[2];
  return x >= y && x >= z ? 0 : y >= z ? 1 : 2;
}

/// Puts the lower ones along the widest axis before `middle`. Equal ones go by number, so that what ends up where does
/// not depend on the library.
void part(Middle* begin, Middle* middle, Middle* end) {
  const int axis = widest_axis(begin, end);
  std::nth_element(begin, middle, end, [axis](const Middle& a, const Middle& b) {
    return a.at[axis] < b.at[axis] || (a.at[axis] == b.at[axis] && a.triangle < b.triangle);
  });
}

/// Puts the triangles of blocks first..last into the order of the hierarchy; `blocks` of them make one child.
class Sorter {
 public:
  explicit Sorter(std::vector<Middle>& middles) : middles_(middles) {}

  void sort(std::uint32_t first, std::uint32_t last, std::uint32_t blocks, bool threads) {
    while (last - first <= blocks && blocks > 1) blocks /= 4;
    if (last - first <= 1) return;
    const std::uint32_t children = (last - first + blocks - 1) / blocks;
    const std::uint32_t middle = first + (children > 2 ? 2 : 1) * blocks;
    part(at(first), at(middle), at(last));
    if (threads) {
      in_halves(2, 0, [&](std::size_t from, std::size_t to) {
        if (from == 0) sort(first, middle, blocks, false);
        if (to == 2) sort(middle, last, blocks, false);
      });
    } else {
      sort(first, middle, blocks, false);
      sort(middle, last, blocks, false);
    }
  }

 private:
  Middle* at(std::uint32_t block) { return middles_.data() + std::min(4 * std::size_t{block}, middles_.size()); }
  std::vector<Middle>& middles_;
};

Middle middle_of(const Mesh& mesh, std::uint32_t triangle) {
  Middle m{{0, 0, 0}, triangle};
  const Triangle& t = mesh.triangles[triangle];
  for (int i = 0; i < 3; ++i) {
    const float a = mesh.positions[t[0]][i], b = mesh.positions[t[1]][i], c = mesh.positions[t[2]][i];
    const float sum = std::min(a, std::min(b, c)) + std::max(a, std::max(b, c));
    m.at[i] = sum == sum ? sum : 0;  // no number: anywhere
  }
  return m;
}

void put_in_order(const Mesh& mesh, std::vector<std::uint32_t>& order) {
  std::vector<Middle> middles(order.size());
  in_halves(middles.size(), kWorthThreads, [&](std::size_t from, std::size_t to) {
    for (std::size_t i = from; i < to; ++i) middles[i] = middle_of(mesh, order[i]);
  });
  const auto blocks = static_cast<std::uint32_t>((middles.size() + 3) / 4);
  std::uint32_t whole = 1;
  while (whole < blocks) whole *= 4;
  Sorter(middles).sort(0, blocks, whole, middles.size() >= kWorthThreads);
  for (std::size_t i = 0; i < middles.size(); ++i) order[i] = middles[i].triangle;
}

Vec3 lane_of(const Vec4& v, int lane) {
  return {v.x[lane], v.y[lane], v.z[lane]};
}
void set_lane(Vec4& v, int lane, const Vec3f& p) {
  v.x[lane] = p.x();
  v.y[lane] = p.y();
  v.z[lane] = p.z();
}
Vec4 least(const Vec4& a, const Vec4& b) {
  return {lesser(a.x, b.x), lesser(a.y, b.y), lesser(a.z, b.z)};
}
Vec4 most(const Vec4& a, const Vec4& b) {
  return {greater(a.x, b.x), greater(a.y, b.y), greater(a.z, b.z)};
}

/// One plate while it is fitted.
struct Plate {
  Vec3f centre, axis;
  float radius = 0, half = 0;
};

/// Room for what rounding of the centre and of the extents may have hidden.
void widen(Plate& plate) {
  const float room = 2.5e-7f * plate.centre.cwiseAbs().maxCoeff();
  plate.radius = plate.radius * 1.000004f + 2e-6f * plate.half + room;
  plate.half = plate.half * 1.000004f + 2e-6f * plate.radius + room;
}

Vec3f unit_or_up(const Vec3f& sum) {
  const float length = sum.norm();
  return length > 0 && length < 1e30f ? Vec3f(sum / length) : Vec3f(Vec3f::UnitZ());
}

}  // namespace

/// Fills a hierarchy from the blocks upwards.
class BvhBuilder {
 public:
  BvhBuilder(const Mesh& mesh, Bvh& bvh) : mesh_(mesh), bvh_(bvh) {}

  void run() {
    put_in_order(mesh_, bvh_.order_);
    fill_blocks();
    count_levels();
    normals_.resize(bvh_.counts_[0]);
    for (std::uint32_t level = 1; level < bvh_.counts_.size(); ++level) {
      std::vector<Vec3f> sums(bvh_.counts_[level]);
      in_halves(bvh_.counts_[level], kWorthThreads / 16, [&](std::size_t from, std::size_t to) {
        for (std::size_t i = from; i < to; ++i) fill_node(level, static_cast<std::uint32_t>(i), sums);
      });
      normals_ = std::move(sums);
    }
  }

 private:
  void fill_blocks() {
    const std::size_t blocks = (bvh_.order_.size() + 3) / 4;
    bvh_.blocks_.resize(blocks);
    in_halves(blocks, kWorthThreads / 4, [&](std::size_t from, std::size_t to) {
      for (std::size_t b = from; b < to; ++b) fill_block(b);
    });
  }

  void fill_block(std::size_t b) {
    TriangleBlock& block = bvh_.blocks_[b];
    for (std::size_t lane = 0; lane < 4; ++lane) {
      const std::size_t slot = 4 * b + lane;
      Vec3f corners[3] = {Vec3f::Constant(kNowhere), Vec3f::Constant(kNowhere), Vec3f::Constant(kNowhere)};
      for (std::size_t k = 0; k < 3 && slot < bvh_.order_.size(); ++k) {
        corners[k] = mesh_.positions[mesh_.triangles[bvh_.order_[slot]][k]];
      }
      set_lane(block.a, static_cast<int>(lane), corners[0]);
      set_lane(block.b, static_cast<int>(lane), corners[1]);
      set_lane(block.c, static_cast<int>(lane), corners[2]);
    }
  }

  void count_levels() {
    std::uint32_t nodes = 0;
    bvh_.counts_.assign(1, static_cast<std::uint32_t>(bvh_.blocks_.size()));
    bvh_.first_.assign(1, 0);
    for (bool top = false; !top;) {
      top = bvh_.counts_.size() > 1 && bvh_.counts_.back() == 1;  // one level more holds the plate of the top
      bvh_.first_.push_back(nodes);
      bvh_.counts_.push_back((bvh_.counts_.back() + 3) / 4);
      nodes += bvh_.counts_.back();
    }
    bvh_.plates_.resize(nodes);
    bvh_.boxes_.resize(nodes);
  }

  void fill_node(std::uint32_t level, std::uint32_t index, std::vector<Vec3f>& sums) {
    Plates& plates = bvh_.plates_[bvh_.first_[level] + index];
    Bvh::Boxes& boxes = bvh_.boxes_[bvh_.first_[level] + index];
    Vec3f sum = Vec3f::Zero();
    for (std::uint32_t lane = 0; lane < 4; ++lane) {
      const std::uint32_t child = 4 * index + lane;
      Plate plate{Vec3f::Constant(kNowhere), Vec3f::UnitZ(), 0, 0};
      Eigen::AlignedBox3f box(plate.centre, plate.centre);
      if (child < bvh_.counts_[level - 1]) {
        const std::uint32_t blocks = 1u << 2 * (level - 1);
        const std::uint32_t first = child * blocks, last = std::min(first + blocks, bvh_.counts_[0]);
        if (level == 1) normals_[child] = normal_of(child);
        sum += normals_[child];
        box = level == 1 ? box_of(child) : box_below(level - 1, child);
        plate = plate_of(first, last, box, normals_[child]);
        widen(plate);
        if (level + 1 == bvh_.counts_.size()) bvh_.box_.extend(box);
      }
      const int l = static_cast<int>(lane);
      set_lane(plates.centre, l, plate.centre);
      set_lane(plates.axis, l, plate.axis);
      plates.radius[l] = plate.radius;
      plates.half[l] = plate.half;
      set_lane(boxes.low, l, box.min());
      set_lane(boxes.high, l, box.max());
    }
    sums[index] = sum;
  }

  /// Sum of the scaled normals of a block; places without a triangle have none.
  Vec3f normal_of(std::uint32_t block) const {
    const TriangleBlock& t = bvh_.blocks_[block];
    const Vec4 n = cross(t.b - t.a, t.c - t.a);
    return {n.x[0] + n.x[1] + n.x[2] + n.x[3], n.y[0] + n.y[1] + n.y[2] + n.y[3], n.z[0] + n.z[1] + n.z[2] + n.z[3]};
  }

  /// Triangles of a block that exist, as lanes; a last block that is not full repeats its first.
  TriangleBlock full(std::uint32_t block) const {
    TriangleBlock t = bvh_.blocks_[block];
    for (std::size_t lane = bvh_.order_.size() - 4 * std::size_t{block}; lane < 4; ++lane) {
      for (Vec4* v : {&t.a, &t.b, &t.c}) set_lane(*v, static_cast<int>(lane), lane_of(*v, 0).cast<float>());
    }
    return t;
  }

  Eigen::AlignedBox3f box_of(std::uint32_t block) const {
    const TriangleBlock t = full(block);
    const Vec4 low = least(t.a, least(t.b, t.c)), high = most(t.a, most(t.b, t.c));
    return {Vec3f(least_lane(low.x), least_lane(low.y), least_lane(low.z)),
            Vec3f(greatest_lane(high.x), greatest_lane(high.y), greatest_lane(high.z))};
  }

  Plate plate_of(std::uint32_t first, std::uint32_t last, const Eigen::AlignedBox3f& box, const Vec3f& normal) const {
    Plate plate{box.center(), unit_or_up(normal), 0, 0};
    const Vec4 centre = in_all_lanes(plate.centre), axis = in_all_lanes(plate.axis);
    Float4 low = all_lanes(kNowhere), high = all_lanes(-kNowhere), across = all_lanes(0);
    for (std::uint32_t b = first; b < last; ++b) {
      const TriangleBlock t = full(b);
      for (const Vec4* corner : {&t.a, &t.b, &t.c}) {
        const Vec4 d = *corner - centre;
        const Float4 along = dot(axis, d);
        low = lesser(low, along);
        high = greater(high, along);
        across = greater(across, dot(d, d) - along * along);
      }
    }
    settle(plate, least_lane(low), greatest_lane(high), std::sqrt(greatest_lane(across)));
    return plate;
  }

  static void settle(Plate& plate, float low, float high, float radius) {
    plate.centre += 0.5f * (low + high) * plate.axis;
    plate.half = 0.5f * (high - low);
    plate.radius = radius;
  }

  Eigen::AlignedBox3f box_below(std::uint32_t level, std::uint32_t index) const {
    Eigen::AlignedBox3f box;
    for (std::uint32_t lane = 0; lane < 4 && 4 * index + lane < bvh_.counts_[level - 1]; ++lane) {
      box.extend(bvh_.child_box({level, index}, static_cast<int>(lane)));
    }
    return box;
  }

  const Mesh& mesh_;
  Bvh& bvh_;
  std::vector<Vec3f> normals_;  ///< sums below each node of the level done last
};

Bvh::Bvh(const Mesh& mesh, const std::vector<bool>& skip) {
  order_.reserve(mesh.triangles.size());
  for (std::uint32_t t = 0; t < mesh.triangles.size(); ++t) {
    if (skip.empty() || !skip[t]) order_.push_back(t);
  }
  if (!order_.empty()) BvhBuilder(mesh, *this).run();
}

}  // namespace intercusp
