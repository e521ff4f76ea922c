#include "surgery/seat_field.h"

#include <algorithm>
#include <cmath>

#include "base/parallel.h"
#include "geometry/signed_distance.h"
#include "geometry/union_find.h"

namespace intercusp {
namespace {

constexpr double kLongestWay = 14;   ///< beyond this an undercut lies outside of any splint, mm
constexpr double kShadow = 0.004;    ///< a grid that knows of an undercut tells it by this much, mm
constexpr double kDeep = 1.9;        ///< cells: beyond a cell's diagonal below the surface nothing is asked for
constexpr int kBuried = 2;           ///< in a row, the surface passed on the way to them, are believed
constexpr double kAroundForm = 2.5;  ///< of the form of the splint distances are wanted, mm

/// Marks the entries within `reach` of a marked one; `line` has room for all of them.
void widen_line(char* first, long stride, long reach, std::vector<char>& line) {
  const long count = static_cast<long>(line.size());
  for (long i = 0, last = -reach - 1; i < count; ++i) {
    if (first[i * stride]) last = i;
    line[static_cast<std::size_t>(i)] = i - last <= reach;
  }
  for (long i = count - 1, last = count + reach; i >= 0; --i) {
    if (first[i * stride]) last = i;
    first[i * stride] = line[static_cast<std::size_t>(i)] || last - i <= reach;
  }
}

}  // namespace

SeatField::SeatField(SurfacePtr arch, const Vec3& off, const Box& region, double spacing_mm, double reach_mm,
                     const ScalarField* form)
    : arch_(std::move(arch)),
      off_(off),
      into_(Eigen::Quaterniond::FromTwoVectors(off, Vec3::UnitZ()).toRotationMatrix()),
      spacing_(spacing_mm),
      reach_(reach_mm) {
  Box turned;
  for (int k = 0; k < 8; ++k) turned.extend(Vec3(into_ * region.corner(static_cast<Box::CornerType>(k))));
  low_ = turned.min() - Vec3::Constant(spacing_);
  std::size_t nodes = 1;
  for (std::size_t axis = 0; axis < 3; ++axis) {
    const double size = turned.sizes()[static_cast<int>(axis)] + 2 * spacing_;
    count_[axis] = static_cast<long>(std::ceil(size / spacing_)) + 1;
    nodes *= static_cast<std::size_t>(count_[axis]);
  }
  resting_.assign(nodes, static_cast<float>(reach_));
  sided_.assign(nodes, 0);
  const std::vector<char> wanted = near_triangles(form);
  in_halves(static_cast<std::size_t>(count_[0] * count_[1]), 64,
            [&](std::size_t begin, std::size_t end) { fill(begin, end, wanted); });
  agree_on_sides();
  swept_ = resting_;
  const auto column = static_cast<std::size_t>(count_[2]);
  for (std::size_t first = 0; first < nodes; first += column) {
    for (std::size_t k = 1; k < column; ++k) swept_[first + k] = std::min(swept_[first + k], swept_[first + k - 1]);
  }
}

/// Nodes within reach of the box of some triangle, a little more at corners, and not far from the form.
std::vector<char> SeatField::near_triangles(const ScalarField* form) const {
  std::vector<char> wanted(resting_.size(), 0);
  const Mesh& mesh = arch_->mesh();
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    Box box;
    for (int k = 0; k < 3; ++k) box.extend(Vec3((into_ * mesh.corner(t, k) - low_) / spacing_));
    std::array<long, 3> from{}, to{};
    for (std::size_t axis = 0; axis < 3; ++axis) {
      const int a = static_cast<int>(axis);
      from[axis] = std::max(0L, static_cast<long>(std::floor(box.min()[a])));
      to[axis] = std::min(count_[axis] - 1, static_cast<long>(std::ceil(box.max()[a])));
    }
    for (long j = from[1]; j <= to[1]; ++j) {
      for (long i = from[0]; i <= to[0]; ++i) {
        for (long k = from[2]; k <= to[2]; ++k) wanted[node(i, j, k)] = 1;
      }
    }
  }
  widen(wanted);
  if (form) leave_out_far(*form, wanted);
  return wanted;
}

/// Marks what lies within reach of a mark along each axis in turn.
void SeatField::widen(std::vector<char>& marked) const {
  const long reach = static_cast<long>(reach_ / spacing_) + 1;
  const std::array<long, 3> stride{count_[2], count_[0] * count_[2], 1};
  for (std::size_t axis = 0; axis < 3; ++axis) {
    const std::size_t u = (axis + 1) % 3, v = (axis + 2) % 3;
    in_halves(static_cast<std::size_t>(count_[u]), 2, [&](std::size_t begin, std::size_t end) {
      std::vector<char> line(static_cast<std::size_t>(count_[axis]));
      for (std::size_t a = begin; a < end; ++a) {
        for (long b = 0; b < count_[v]; ++b) {
          widen_line(&marked[static_cast<std::size_t>(static_cast<long>(a) * stride[u] + b * stride[v])], stride[axis],
                     reach, line);
        }
      }
    });
  }
}

/// Takes the mark off nodes where the splint's form is far.
void SeatField::leave_out_far(const ScalarField& form, std::vector<char>& wanted) const {
  const Mat3 back = into_.transpose();
  in_halves(static_cast<std::size_t>(count_[1]), 2, [&](std::size_t begin, std::size_t end) {
    for (long j = static_cast<long>(begin); j < static_cast<long>(end); ++j) {
      for (long i = 0; i < count_[0]; ++i) {
        for (long k = 0; k < count_[2]; ++k) {
          char& here = wanted[node(i, j, k)];
          if (!here) continue;
          const Vec3 cell(static_cast<double>(i), static_cast<double>(j), static_cast<double>(k));
          here = form.value(back * (low_ + spacing_ * cell)) < kAroundForm;
        }
      }
    }
  });
}

/// Whether a surface may pass between two neighbours that say to lie on different sides.
bool SeatField::parted(std::size_t n, std::size_t next) const {
  if (!sided_[n] || !sided_[next] || (resting_[n] < 0) == (resting_[next] < 0)) return false;
  return static_cast<double>(std::abs(resting_[n]) + std::abs(resting_[next])) <= 1.001 * spacing_;
}

/// Columns begin .. end - 1.
void SeatField::fill(std::size_t begin, std::size_t end, const std::vector<char>& wanted) {
  const auto column = static_cast<std::size_t>(count_[2]);
  const Mat3 back = into_.transpose();
  for (std::size_t c = begin; c < end; ++c) {
    const Vec3 foot = low_ + spacing_ * Vec3(static_cast<double>(static_cast<long>(c) % count_[0]),
                                             static_cast<double>(static_cast<long>(c) / count_[0]), 0);
    std::uint32_t below = kAnywhere;  // what the node below found
    int buried = 0;                   // nodes in a row so deep that what lies above them in the sweep does not matter
    bool entered = false;             // the surface was passed on the way here, inwards
    for (std::size_t k = 0; k < column && buried < kBuried; ++k) {
      if (!wanted[c * column + k]) continue;
      const std::size_t here = c * column + k;
      const Vec3 p = back * (foot + Vec3(0, 0, spacing_ * static_cast<double>(k)));
      ClosestPoint nearest;
      if (!closest_near(p, reach_, below, nearest)) continue;
      const Side side = side_of(*arch_, p, nearest);
      resting_[here] = static_cast<float>(side == Side::inside ? -nearest.distance_mm : nearest.distance_mm);
      sided_[here] = side != Side::unknown;
      if (k > 0 && parted(here - 1, here)) entered = side == Side::inside;
      const bool deep = entered && side == Side::inside && nearest.distance_mm > kDeep * spacing_;
      buried = deep ? buried + 1 : 0;
    }
  }
}

/// Between neighbours whose distances together exceed the spacing no surface passes: they lie on one side, the side
/// that most of those joined so say. Scans fold over themselves between teeth, and near a fold single nodes are wrong.
void SeatField::agree_on_sides() {
  UnionFind joined(resting_.size());
  const auto column = static_cast<std::size_t>(count_[2]), row = column * static_cast<std::size_t>(count_[0]);
  const auto apart = [&](std::size_t n) { return static_cast<double>(std::abs(resting_[n])); };
  for (std::size_t n = 0; n < resting_.size(); ++n) {
    if (!sided_[n]) continue;
    for (const std::size_t step : {std::size_t{1}, column, row}) {
      const std::size_t next = n + step;  // past the end of a line lies another one, far from here
      if (next >= resting_.size() || !sided_[next] || (step == 1 && next % column == 0)) continue;
      if (apart(n) + apart(next) <= spacing_) continue;
      joined.join(static_cast<std::uint32_t>(n), static_cast<std::uint32_t>(next));
    }
  }
  std::vector<std::int32_t> votes(resting_.size(), 0);
  for (std::size_t n = 0; n < resting_.size(); ++n) {
    if (sided_[n]) votes[joined.find(static_cast<std::uint32_t>(n))] += resting_[n] < 0 ? -1 : 1;
  }
  for (std::size_t n = 0; n < resting_.size(); ++n) {
    if (!sided_[n]) continue;
    const std::int32_t vote = votes[joined.find(static_cast<std::uint32_t>(n))];
    if (vote != 0) resting_[n] = std::copysign(resting_[n], static_cast<float>(vote));
  }
}

/// The distance with the sign of a node around that no surface can part from here; as it is where there is none.
double SeatField::agreed(const Vec3& local, double distance_mm) const {
  const Vec3 cell = (local - low_) / spacing_;
  double most = 0, sign = distance_mm < 0 ? -1 : 1;
  for (long corner = 0; corner < 8; ++corner) {
    const long i = static_cast<long>(std::floor(cell.x())) + (corner & 1);
    const long j = static_cast<long>(std::floor(cell.y())) + ((corner >> 1) & 1);
    const long k = static_cast<long>(std::floor(cell.z())) + (corner >> 2);
    if (i < 0 || j < 0 || k < 0 || i >= count_[0] || j >= count_[1] || k >= count_[2]) continue;
    const std::size_t n = node(i, j, k);
    if (!sided_[n]) continue;
    const Vec3 away = cell - Vec3(static_cast<double>(i), static_cast<double>(j), static_cast<double>(k));
    const double margin = std::abs(distance_mm) + static_cast<double>(std::abs(resting_[n])) - spacing_ * away.norm();
    if (margin <= most) continue;
    most = margin;
    sign = resting_[n] < 0 ? -1 : 1;
  }
  return sign * std::abs(distance_mm);
}

double SeatField::between(const std::vector<float>& grid, const Vec3& local) const {
  const Vec3 cell = (local - low_) / spacing_;
  std::array<long, 3> i{};
  Vec3 t;
  for (int axis = 0; axis < 3; ++axis) {
    const auto a = static_cast<std::size_t>(axis);
    const double x = std::clamp(cell[axis], 0.0, static_cast<double>(count_[a] - 1) - 1e-9);
    i[a] = static_cast<long>(x);
    t[axis] = x - static_cast<double>(i[a]);
  }
  double sum = 0;
  for (long corner = 0; corner < 4; ++corner) {
    const long di = corner & 1, dj = corner >> 1;
    const double share = (di ? t.x() : 1 - t.x()) * (dj ? t.y() : 1 - t.y());
    const std::size_t n = node(i[0] + di, i[1] + dj, i[2]);
    sum += share * ((1 - t.z()) * static_cast<double>(grid[n]) + t.z() * static_cast<double>(grid[n + 1]));
  }
  return sum;
}

double SeatField::value(const Vec3& p) const {
  return between(swept_, into_ * p);
}

bool SeatField::closest_near(const Vec3& p, double limit_mm, std::uint32_t& nearby, ClosestPoint& out) const {
  const bool found = nearby == kAnywhere ? arch_->bvh().closest(arch_->mesh(), p, limit_mm, out)
                                         : arch_->bvh().closest_from(arch_->mesh(), p, limit_mm, nearby, out);
  if (found) nearby = out.triangle;
  return found;
}

SeatField::Exact SeatField::at_rest(const Vec3& p, std::uint32_t& nearby) const {
  Exact out;
  ClosestPoint nearest;
  if (!closest_near(p, 2 * reach_ + 2, nearby, nearest)) {
    out.distance_mm = reach_;
    return out;
  }
  out.triangle = nearest.triangle;
  const bool inside = side_of(*arch_, p, nearest) == Side::inside;
  out.distance_mm = agreed(into_ * p, inside ? -nearest.distance_mm : nearest.distance_mm);
  const Vec3 away = p - nearest.point;
  const double length = away.norm();
  out.away = length > 1e-9 ? Vec3(away / (out.distance_mm < 0 ? -length : length))
                           : Vec3(arch_->scaled_normal(out.triangle).stableNormalized());
  return out;
}

/// How far along the way the grid's value below `local` is least.
double SeatField::travel_of_least(const Vec3& local) const {
  const double most = std::min(kLongestWay, local.z() - low_.z());
  double best = between(resting_, local), at = 0;
  for (double t = 0.5 * spacing_; t <= most; t += 0.5 * spacing_) {
    const double value = between(resting_, local - Vec3(0, 0, t));
    if (value < best) {
      best = value;
      at = t;
    }
  }
  return at;
}

SeatField::Exact SeatField::exact(const Vec3& p, std::uint32_t* nearby) const {
  std::uint32_t anywhere = kAnywhere;
  Exact out = at_rest(p, nearby ? *nearby : anywhere);
  out.rest_mm = out.distance_mm;
  const Vec3 local = into_ * p;
  const bool shaded = between(swept_, local) < between(resting_, local) - kShadow;
  if (!shaded) return out;
  const double coarse = travel_of_least(local);
  // The distance falls while the arch faces the way off and rises after: its least lies where `away` is across.
  double low = std::max(0.0, coarse - spacing_), high = coarse + spacing_;
  std::uint32_t below = kAnywhere;
  for (int round = 0; round < 10; ++round) {
    const double middle = 0.5 * (low + high);
    Exact there = at_rest(p - middle * off_, below);
    if (there.distance_mm < out.distance_mm) {
      there.travel_mm = middle;
      there.rest_mm = out.rest_mm;
      out = there;
    }
    (there.away.dot(off_) > 0 ? low : high) = middle;
  }
  return out;
}

}  // namespace intercusp
