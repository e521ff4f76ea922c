#include "surgery/overlap_parts.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <unordered_map>

#include "geometry/signed_distance.h"

namespace intercusp {
namespace {

constexpr double kReachOfSign = 60;  ///< mm within which the side of a point is told
constexpr double kFinest = 0.15;     ///< spacing of the lattice, mm
constexpr std::size_t kMostSamples = 200000;
constexpr double kRounding = 1e-3;     ///< of the distance of a vertex, mm, amply
constexpr double kLeastShare = 0.01;   ///< of a region; less belongs to its largest part
constexpr double kPointsAColumn = 66;  ///< of the lattice, for one along which a part's thickness is taken

using Cell = std::array<int, 3>;

/// A posed surface asked from the patient frame.
class AskedBone {
 public:
  explicit AskedBone(const PosedBone& bone) : bone_(bone), own_from_patient_(bone.pose.inverse()) {}

  /// How deep a point lies inside, mm; 0 outside. `near`: a triangle near the one that is nearest, which it takes.
  double depth(const Vec3& p, std::uint32_t& near) const {
    const Vec3 q = own_from_patient_ * p;
    const Surface& s = *bone_.surface;
    if (!s.box().contains(q)) return 0;
    ClosestPoint closest;
    if (!s.bvh().closest_from(s.mesh(), q, kReachOfSign, near, closest)) return 0;
    near = closest.triangle;
    return side_of(s, q, closest) == Side::inside ? closest.distance_mm : 0;
  }
  /// From a point along a unit direction to the surface, mm.
  double exit(const Vec3& p, const Vec3& along) const {
    RayHit hit;
    const bool met = bone_.surface->bvh().ray(bone_.surface->mesh(), own_from_patient_ * p,
                                              own_from_patient_.linear() * along, kReachOfSign, hit);
    return met ? hit.t : 0;
  }
  /// Sooner where it is known to be within `likely_mm`.
  Vec3 nearest(const Vec3& p, double likely_mm) const {
    const Surface& s = *bone_.surface;
    const Vec3 q = own_from_patient_ * p;
    ClosestPoint closest;
    const bool found = s.bvh().closest(s.mesh(), q, likely_mm, closest) || s.bvh().closest(s.mesh(), q, 1e9, closest);
    return found ? Vec3(bone_.pose * closest.point) : p;
  }
  Box box_of(std::uint32_t triangle) const {
    Box box;
    for (const std::uint32_t v : bone_.surface->mesh().triangles[triangle]) box.extend(vertex(v));
    return box;
  }
  Vec3 vertex(std::size_t v) const { return bone_.pose * bone_.surface->mesh().positions[v].cast<double>(); }
  bool closed() const { return bone_.surface->closed(); }

 private:
  const PosedBone& bone_;
  Pose own_from_patient_;
};

/// A vertex of one bone inside the other.
struct InnerVertex {
  Vec3 at = Vec3::Zero();
  double depth = 0;
  bool of_first = true;
};

/// The deepest point of an overlap at one place.
struct Deepest {
  Vec3 at = Vec3::Zero(), towards = Vec3::UnitZ();  ///< towards: how the first bone must move to come free, unit
  double depth = 0;
};

/// What is known of the cells of a lattice, in bricks of 8 x 8 x 8, so that neighbours lie together.
class KnownCells {
 public:
  static constexpr int kUnknown = -2;

  int of(const Cell& c) const {
    const std::size_t brick = number_of(brick_of(c));
    return brick < bricks_.size() ? bricks_[brick][place_in_brick(c)] : kUnknown;
  }
  void set(const Cell& c, int what) {
    const Cell at = brick_of(c);
    if (number_of(at) == bricks_.size()) {
      number_[at] = last_ = bricks_.size();
      bricks_.emplace_back().fill(kUnknown);
    }
    bricks_[last_][place_in_brick(c)] = what;
  }

 private:
  using Brick = std::array<int, 512>;
  struct Hash {
    std::size_t operator()(const Cell& c) const {
      const auto part = [](int i) { return static_cast<std::uint64_t>(i + (1 << 20)); };
      return static_cast<std::size_t>(part(c[0]) * 73856093ull ^ part(c[1]) * 19349663ull ^ part(c[2]) * 83492791ull);
    }
  };
  static Cell brick_of(const Cell& c) { return {c[0] >> 3, c[1] >> 3, c[2] >> 3}; }
  static std::size_t place_in_brick(const Cell& c) {
    return static_cast<std::size_t>((c[0] & 7) << 6 | (c[1] & 7) << 3 | (c[2] & 7));
  }
  /// The number of bricks where there is none.
  std::size_t number_of(const Cell& brick) const {
    if (last_ < bricks_.size() && brick == last_at_) return last_;
    const auto found = number_.find(brick);
    last_at_ = brick;
    return last_ = found == number_.end() ? bricks_.size() : found->second;
  }

  std::vector<Brick> bricks_;
  std::unordered_map<Cell, std::size_t, Hash> number_;
  mutable Cell last_at_{};  ///< the brick asked for last: mostly the next one asked for
  mutable std::size_t last_ = 0;
};

/// Points of a lattice inside both bones, joined to neighbours. It is turned: places end and saws run along planes of
/// the patient, and a lattice in line with such a plane has a whole layer of points on one side of it or on the other.
class Lattice {
 public:
  Lattice(const AskedBone& first, const AskedBone& second, double step)
      : first_(first),
        second_(second),
        step_(step),
        turn_(Eigen::AngleAxisd(kTurn, Vec3(1, 2, 3).normalized()).toRotationMatrix()) {}

  /// Spreads from the lattice points around `p`; what is reached is one component.
  void spread_from(const Vec3& p) {
    for (int corner = 0; corner < 8; ++corner) {
      Sample here;
      here.cell = cell_of(p);
      for (std::size_t axis = 0; axis < 3; ++axis) here.cell[axis] += corner >> axis & 1;
      if (known_.of(here.cell) != KnownCells::kUnknown || !inside(here)) continue;
      ++components_;
      add(here);
      spread();
    }
  }

  /// The component of the sample nearest to `p` among the cells around it; -1 where none is near.
  int component_near(const Vec3& p) const {
    constexpr int kCells = 3;
    const Nearest close = nearest_within(p, 0, kFar);  // mostly found there: then few others need to be looked up
    const Nearest all = nearest_within(p, kCells, close.distance_sq);
    return all.sample < 0 ? -1 : samples_[static_cast<std::size_t>(all.sample)].component;
  }

  std::size_t size() const { return samples_.size(); }
  double cell_mm3() const { return step_ * step_ * step_; }
  Vec3 sample(std::size_t i) const { return point(samples_[i].cell); }
  int component(std::size_t i) const { return samples_[i].component; }

 private:
  struct Sample {
    Cell cell;
    int component = 0;
    /// In the first and the second bone: a point whose depth is known, that depth, mm, and a triangle near.
    std::array<Vec3, 2> measured{Vec3::Zero(), Vec3::Zero()};
    std::array<double, 2> depth{0, 0};
    std::array<std::uint32_t, 2> near{0, 0};
  };
  static constexpr double kFar = 1e9, kTurn = 0.7;
  struct Nearest {
    double distance_sq = kFar;
    int sample = -1;
  };

  /// The sample nearest to `p`, no farther than the limit, the first of equally near ones, among the eight cells around
  /// it and so many more on all sides.
  Nearest nearest_within(const Vec3& p, int cells, double limit_sq) const {
    const Cell c = cell_of(p);
    Nearest best;
    for (int x = -cells; x <= cells + 1; ++x) {
      for (int y = -cells; y <= cells + 1; ++y) {
        for (int z = -cells; z <= cells + 1; ++z) {
          const Cell cell{c[0] + x, c[1] + y, c[2] + z};
          const double away = (point(cell) - p).squaredNorm();
          if (away > limit_sq || away >= best.distance_sq) continue;
          const int known = known_.of(cell);
          if (known >= 0) best = {away, known};
        }
      }
    }
    return best;
  }
  Vec3 point(const Cell& c) const { return turn_ * (step_ * (Vec3(c[0], c[1], c[2]) + Vec3::Constant(0.5))); }
  Cell cell_of(const Vec3& patient) const {
    const Vec3 p = turn_.transpose() * patient;
    Cell c;
    for (int axis = 0; axis < 3; ++axis) {
      c[static_cast<std::size_t>(axis)] = static_cast<int>(std::floor(p[axis] / step_ - 0.5));
    }
    return c;
  }
  /// Whether a sample, which has the depths and the triangles of a neighbour, lies in both: where the point measured
  /// lay deeper than the way from there, it need not be asked.
  bool inside(Sample& s) {
    const Vec3 p = point(s.cell);
    bool both = samples_.size() < kMostSamples;
    for (std::size_t bone = 0; both && bone < 2; ++bone) {
      if (s.depth[bone] > (p - s.measured[bone]).norm() + 1e-9) continue;
      s.measured[bone] = p;
      s.depth[bone] = (bone == 0 ? first_ : second_).depth(p, s.near[bone]);
      both = s.depth[bone] > 0;
    }
    if (!both) known_.set(s.cell, -1);
    return both;
  }
  void add(Sample s) {
    known_.set(s.cell, static_cast<int>(samples_.size()));
    s.component = components_ - 1;
    samples_.push_back(s);
  }
  void spread() {
    for (std::size_t at = samples_.size() - 1; at < samples_.size(); ++at) {
      for (std::size_t axis = 0; axis < 3; ++axis) {
        for (const int way : {-1, 1}) {
          Sample next = samples_[at];
          next.cell[axis] += way;
          if (known_.of(next.cell) == KnownCells::kUnknown && inside(next)) add(next);
        }
      }
    }
  }

  const AskedBone &first_, &second_;
  double step_;
  Mat3 turn_;
  int components_ = 0;
  std::vector<Sample> samples_;
  KnownCells known_;
};

class Divider {
 public:
  Divider(const OverlapQuestion& question, const ContactResult& contact)
      : question_(question), contact_(contact), first_(question.first), second_(question.second) {}

  std::vector<OverlapPart> run() {
    if (contact_.regions.empty()) return {};
    regions_ = question_.lattice.all_as_one ? std::vector<OverlapRegion>{all_regions()} : contact_.regions;
    list_vertices();
    const Lattice lattice = sampled();
    share(lattice);
    for (std::size_t r = 0; r < regions_.size(); ++r) settle_region(r);
    std::stable_sort(out_.begin(), out_.end(), [](const OverlapPart& a, const OverlapPart& b) {
      return a.overlap.deepest_mm > b.overlap.deepest_mm;
    });
    return std::move(out_);
  }

 private:
  struct Heap {
    BoneSite site;
    std::vector<Vec3> samples;
    InnerVertex deepest;
    bool of_region = false;  ///< the region's own deepest point lies here
  };
  using Heaps = std::map<std::string, Heap>;  ///< by words

  OverlapRegion all_regions() const {
    OverlapRegion all = contact_.regions.front();
    all.volume_mm3 = contact_.overlap_volume_mm3;
    all.area_mm2 = 0;
    for (const OverlapRegion& region : contact_.regions) all.area_mm2 += region.area_mm2;
    return all;
  }

  void list_vertices() {
    for (const bool of_first : {true, false}) {
      const auto& gaps = of_first ? contact_.gap_first : contact_.gap_second;
      const AskedBone& own = of_first ? first_ : second_;
      for (std::size_t v = 0; v < gaps.size(); ++v) {
        if (gaps[v] < 0) vertices_.push_back({own.vertex(v), -static_cast<double>(gaps[v]), of_first});
      }
    }
  }

  Lattice sampled() const {
    const double step = std::clamp(std::cbrt(contact_.overlap_volume_mm3.value_or(0) / question_.lattice.points),
                                   kFinest, question_.lattice.coarsest_mm);
    Lattice lattice(first_, second_, step);
    if (!first_.closed() || !second_.closed()) return lattice;
    for (const OverlapRegion& region : contact_.regions) {
      lattice.spread_from(region.at);
      // The deepest point lies on a surface: the overlap is on its free side.
      lattice.spread_from(region.at + 0.5 * region.deepest_mm * region.direction);
      lattice.spread_from(region.at - 0.5 * region.deepest_mm * region.direction);
    }
    for (const InnerVertex& v : vertices_) lattice.spread_from(v.at);
    if (question_.lattice.all_as_one) spread_from_crossings(lattice);
    return lattice;
  }

  /// Where vertices are few: what they leave out has a crossing curve around it.
  void spread_from_crossings(Lattice& lattice) const {
    for (const auto& [a, b] : contact_.crossings) {
      const Box shared = first_.box_of(a).intersection(second_.box_of(b));
      if (!shared.isEmpty()) lattice.spread_from(shared.center());
    }
  }

  std::size_t nearest_region(const Vec3& p) const {
    std::size_t best = 0;
    for (std::size_t r = 1; r < regions_.size(); ++r) {
      if ((regions_[r].at - p).norm() < (regions_[best].at - p).norm()) best = r;
    }
    return best;
  }
  /// Among these; of all where there are none.
  std::size_t nearest_region(const Vec3& p, const std::vector<std::size_t>& among) const {
    if (among.empty()) return nearest_region(p);
    return *std::min_element(among.begin(), among.end(), [&](std::size_t a, std::size_t b) {
      return (regions_[a].at - p).norm() < (regions_[b].at - p).norm();
    });
  }

  /// Which region each component of the lattice is of. Where a region is narrower than the lattice it is several
  /// components: what holds no region's deepest point goes, largest first, where as much is missing of the volume, to
  /// the nearest of such regions.
  std::map<int, std::size_t> regions_of_components(const Lattice& lattice) const {
    struct Component {
      int number = 0;
      double volume = 0;
      Vec3 first = Vec3::Zero();
    };
    std::vector<Component> components;
    for (std::size_t i = 0; i < lattice.size(); ++i) {
      const auto number = static_cast<std::size_t>(lattice.component(i));
      if (number >= components.size()) components.resize(number + 1);
      if (components[number].volume == 0) components[number] = {lattice.component(i), 0, lattice.sample(i)};
      components[number].volume += lattice.cell_mm3();
    }
    std::vector<double> missing;
    for (const OverlapRegion& region : regions_) missing.push_back(region.volume_mm3.value_or(0));
    std::map<int, std::size_t> region_of;
    for (std::size_t r = 0; r < regions_.size(); ++r) {
      const OverlapRegion& region = regions_[r];
      for (const double share : {0.0, 0.5, -0.5}) {
        const int component = lattice.component_near(region.at + share * region.deepest_mm * region.direction);
        if (component >= 0 && region_of.emplace(component, r).second)
          missing[r] -= components[static_cast<std::size_t>(component)].volume;
      }
    }
    std::stable_sort(components.begin(), components.end(),
                     [](const Component& a, const Component& b) { return a.volume > b.volume; });
    for (const Component& component : components) {
      if (region_of.count(component.number) > 0) continue;
      std::vector<std::size_t> wanting;
      for (std::size_t r = 0; r < regions_.size(); ++r) {
        if (missing[r] >= 0.5 * component.volume) wanting.push_back(r);
      }
      const std::size_t region = nearest_region(component.first, wanting);
      region_of.emplace(component.number, region);
      missing[region] -= component.volume;
    }
    return region_of;
  }

  void share(const Lattice& lattice) {
    heaps_.resize(regions_.size());
    const std::map<int, std::size_t> region_of = regions_of_components(lattice);
    const auto region_for = [&](int component, const Vec3& p) {
      return component < 0 ? nearest_region(p) : region_of.at(component);
    };
    for (std::size_t i = 0; i < lattice.size(); ++i) {
      const Vec3 p = lattice.sample(i);
      heap(region_for(lattice.component(i), p), p).samples.push_back(p);
    }
    for (const InnerVertex& v : vertices_) {
      Heap& h = heap(region_for(lattice.component_near(v.at), v.at), v.at);
      if (v.depth > h.deepest.depth) h.deepest = v;
    }
    for (std::size_t r = 0; r < regions_.size(); ++r) {
      const OverlapRegion& region = regions_[r];
      heap(r, region.at).of_region = true;
    }
  }

  Deepest deepest_at(const InnerVertex& v) const {
    const AskedBone& other = v.of_first ? second_ : first_;
    const Vec3 out = other.nearest(v.at, kRounding + v.depth) - v.at;
    const double depth = out.norm();
    return {v.at, depth > 0 ? Vec3((v.of_first ? 1 : -1) * out / depth) : Vec3(Vec3::UnitZ()), depth};
  }

  Heap& heap(std::size_t region, const Vec3& p) {
    BoneSite site = question_.site(p);
    Heap& h = heaps_[region][site.words];
    h.site = std::move(site);
    return h;
  }

  void settle_region(std::size_t r) {
    Heaps& heaps = heaps_[r];
    const OverlapRegion& region = regions_[r];
    std::size_t samples = 0;
    for (const auto& entry : heaps) samples += entry.second.samples.size();
    drop_slivers(heaps, samples, question_.site(region.at).words);
    std::size_t kept = 0;
    for (const auto& entry : heaps) kept += entry.second.samples.size();
    for (auto& entry : heaps) {
      Heap& h = entry.second;
      OverlapPart part;
      part.site = h.site;
      part.divided = heaps.size() > 1;
      part.overlap = region;
      const double share = kept > 0 ? static_cast<double>(h.samples.size()) / static_cast<double>(kept) : 1.0;
      if (part.divided) {
        const Deepest deepest =
            h.of_region ? Deepest{region.at, region.direction, region.deepest_mm} : deepest_at(h.deepest);
        part.overlap.deepest_mm = deepest.depth;
        part.overlap.at = deepest.at;
        part.overlap.direction = deepest.towards;
        if (region.volume_mm3) part.overlap.volume_mm3 = share * *region.volume_mm3;
        part.overlap.area_mm2 = share * region.area_mm2;
      }
      part.axis = question_.axis ? question_.axis(part.overlap.at) : part.overlap.direction;
      part.samples = std::move(h.samples);
      look_along_columns(part);
      out_.push_back(std::move(part));
    }
  }

  /// Places with too little of the region go; the place of its deepest point always stays.
  static void drop_slivers(Heaps& heaps, std::size_t samples, const std::string& deepest_site) {
    for (auto it = heaps.begin(); it != heaps.end();) {
      const double share =
          static_cast<double>(it->second.samples.size()) / std::max<double>(1, static_cast<double>(samples));
      const bool sliver = it->first != deepest_site && (share < kLeastShare || it->second.deepest.depth <= 0);
      it = sliver ? heaps.erase(it) : std::next(it);
    }
  }

  /// Along some columns through a part: its thickness, and where it was divided deeper points than its vertices.
  void look_along_columns(OverlapPart& part) const {
    part.thickness_mm = part.overlap.deepest_mm;
    const auto columns = static_cast<std::size_t>(question_.lattice.points / kPointsAColumn);
    const std::size_t stride = std::max<std::size_t>(1, part.samples.size() / std::max<std::size_t>(1, columns));
    for (std::size_t i = 0; i < part.samples.size(); i += stride) {
      double length = 0;
      for (const double way : {1.0, -1.0}) {
        const Vec3 along = way * part.axis;
        const double of_first = first_.exit(part.samples[i], along), of_second = second_.exit(part.samples[i], along);
        const double end = std::min(of_first, of_second);
        length += end;
        if (part.divided) take_deeper({part.samples[i] + end * along, 0, of_first < of_second}, part.overlap);
      }
      part.thickness_mm = std::max(part.thickness_mm, length);
    }
  }

  /// A point of one bone's surface, if it lies deeper in the other than what is known.
  void take_deeper(const InnerVertex& on_surface, OverlapRegion& known) const {
    std::uint32_t any = 0;
    if ((on_surface.of_first ? second_ : first_).depth(on_surface.at, any) <= known.deepest_mm) return;
    const Deepest found = deepest_at(on_surface);
    known.deepest_mm = found.depth;
    known.at = found.at;
    known.direction = found.towards;
  }

  const OverlapQuestion& question_;
  const ContactResult& contact_;
  AskedBone first_, second_;
  std::vector<OverlapRegion> regions_;  ///< that are divided
  std::vector<InnerVertex> vertices_;
  std::vector<Heaps> heaps_;
  std::vector<OverlapPart> out_;
};

}  // namespace

std::vector<OverlapPart> overlap_parts(const OverlapQuestion& question, const ContactResult& contact) {
  return Divider(question, contact).run();
}

}  // namespace intercusp
