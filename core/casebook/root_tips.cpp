#include "casebook/root_tips.h"

#include <algorithm>
#include <functional>
#include <limits>
#include <map>
#include <queue>
#include <utility>

#include "anatomy/notation.h"

namespace intercusp {
namespace {

constexpr double kTipConfidence = 0.7;  ///< of a tip read from a surface: as sure as a landmark that asks for no look
constexpr double kNextMolar = 6;  ///< mm behind a crown's middle, where the roots of the tooth behind are: estimate
constexpr int kFirstMolar = 6, kLastMolar = 8;
constexpr std::size_t kNowhere = static_cast<std::size_t>(-1);

/// Where one tooth is marked, scan space.
struct MarkedTooth {
  int tooth = 0;
  Vec3 crown = Vec3::Zero();  ///< mean of its landmarks on the crown
  std::size_t crown_points = 0;
  std::vector<Vec3> apices;
};

std::vector<MarkedTooth> marked_teeth(const Case& c, bool upper) {
  std::map<int, MarkedTooth> teeth;
  for (const auto& [name, landmark] : c.landmarks) {
    if (name.size() < 4 || name[2] != '.') continue;
    const int tooth = 10 * (name[0] - '0') + (name[1] - '0');
    if (!is_permanent_tooth(tooth) || is_upper(tooth) != upper) continue;
    MarkedTooth& marked = teeth[tooth];
    marked.tooth = tooth;
    if (!lies_on_scan(name)) {  // of a tooth's points only its root tips do not
      marked.apices.push_back(landmark.at);
    } else {
      marked.crown += landmark.at;
      ++marked.crown_points;
    }
  }
  std::vector<MarkedTooth> out;
  for (auto& [tooth, marked] : teeth) {
    if (marked.crown_points > 0) marked.crown /= static_cast<double>(marked.crown_points);
    out.push_back(std::move(marked));
  }
  return out;
}

/// A mark of a tooth and the vertex that it is nearest to.
struct Source {
  std::size_t tooth = 0;  ///< index into the marked teeth
  std::uint32_t vertex = 0;
};

/// Parts one body of roots among the marked teeth of its jaw.
class RootSorter {
 public:
  RootSorter(const Case& c, const Body& body, const std::vector<MarkedTooth>& teeth)
      : c_(c), mesh_(body.surface->mesh()), topology_(body.surface->topology()), teeth_(teeth) {
    shell_sources_.resize(topology_.shell_vertex.size());
    shell_vertices_.resize(topology_.shell_vertex.size());
    for (std::uint32_t v = 0; v < topology_.shell.size(); ++v)
      if (topology_.shell[v] != kNoTriangle) shell_vertices_[topology_.shell[v]].push_back(v);
    for (std::size_t t = 0; t < teeth_.size(); ++t) {
      for (const Vec3& apex : teeth_[t].apices) add_source(t, apex);
      if (teeth_[t].crown_points > 0) add_source(t, teeth_[t].crown);
    }
  }

  void sort_into(std::vector<RootPart>& parts) const {
    for (std::size_t shell = 0; shell < shell_vertices_.size(); ++shell) {
      if (shell_vertices_[shell].empty()) continue;
      if (shared(shell)) {
        part_shell(shell, parts);
      } else {
        parts.push_back(part_of(owner(shell), shell_vertices_[shell]));
      }
    }
  }

 private:
  Vec3 at(std::uint32_t v) const { return mesh_.positions[v].cast<double>(); }

  void add_source(std::size_t tooth, const Vec3& mark) {
    double best = std::numeric_limits<double>::max();
    std::uint32_t nearest = kNoTriangle;
    for (std::uint32_t v = 0; v < topology_.shell.size(); ++v) {
      if (topology_.shell[v] == kNoTriangle || (at(v) - mark).squaredNorm() >= best) continue;
      best = (at(v) - mark).squaredNorm();
      nearest = v;
    }
    if (nearest != kNoTriangle) shell_sources_[topology_.shell[nearest]].push_back({tooth, nearest});
  }

  bool shared(std::size_t shell) const {
    const auto& sources = shell_sources_[shell];
    return std::any_of(sources.begin(), sources.end(),
                       [&](const Source& s) { return s.tooth != sources.front().tooth; });
  }

  /// The tooth of a part that no two teeth share.
  int owner(std::size_t shell) const {
    if (!shell_sources_[shell].empty()) return teeth_[shell_sources_[shell].front().tooth].tooth;
    double best = std::numeric_limits<double>::max();
    std::size_t nearest = 0;
    for (std::size_t t = 0; t < teeth_.size(); ++t) {
      const Vec3 mark = teeth_[t].crown_points > 0 ? teeth_[t].crown : teeth_[t].apices.front();
      for (const std::uint32_t v : shell_vertices_[shell]) {
        if ((at(v) - mark).squaredNorm() >= best) continue;
        best = (at(v) - mark).squaredNorm();
        nearest = t;
      }
    }
    return behind_the_row(shell, teeth_[nearest]) ? teeth_[nearest].tooth + 1 : teeth_[nearest].tooth;
  }

  /// Whether a part near the last marked molar stands too far behind it to be its own.
  bool behind_the_row(std::size_t shell, const MarkedTooth& tooth) const {
    const int place = position(tooth.tooth);
    const bool next_marked = std::any_of(teeth_.begin(), teeth_.end(),
                                         [&](const MarkedTooth& other) { return other.tooth == tooth.tooth + 1; });
    if (place < kFirstMolar || place == kLastMolar || next_marked || tooth.crown_points == 0) return false;
    Vec3 centre = Vec3::Zero();
    for (const std::uint32_t v : shell_vertices_[shell]) centre += at(v);
    centre /= static_cast<double>(shell_vertices_[shell].size());
    return (c_.patient_from_scans.linear() * (centre - tooth.crown)).y() > kNextMolar;
  }

  RootPart part_of(int tooth, const std::vector<std::uint32_t>& vertices) const {
    RootPart part{tooth, {}};
    part.surface.reserve(vertices.size());
    for (const std::uint32_t v : vertices) part.surface.push_back(c_.patient_from_scans * at(v));
    return part;
  }

  /// Each vertex to the mark that is nearest along the edges of the surface.
  void part_shell(std::size_t shell, std::vector<RootPart>& parts) const {
    using Step = std::pair<double, std::uint32_t>;
    std::vector<double> distance(mesh_.positions.size(), std::numeric_limits<double>::max());
    std::vector<std::size_t> tooth(mesh_.positions.size(), kNowhere);
    std::priority_queue<Step, std::vector<Step>, std::greater<>> queue;
    const auto reach = [&](std::uint32_t v, double d, std::size_t t) {
      if (d >= distance[v]) return;
      distance[v] = d;
      tooth[v] = t;
      queue.push({d, v});
    };
    for (const Source& s : shell_sources_[shell]) reach(s.vertex, 0, s.tooth);
    while (!queue.empty()) {
      const auto [d, v] = queue.top();
      queue.pop();
      if (d > distance[v]) continue;
      for (std::uint32_t i = topology_.around_begin[v]; i < topology_.around_begin[v + 1]; ++i)
        for (const std::uint32_t next : mesh_.triangles[topology_.around[i]])
          reach(next, d + (at(next) - at(v)).norm(), tooth[v]);
    }
    std::map<std::size_t, std::vector<std::uint32_t>> by_tooth;
    for (const std::uint32_t v : shell_vertices_[shell]) by_tooth[tooth[v]].push_back(v);
    for (const auto& [t, vertices] : by_tooth) parts.push_back(part_of(teeth_[t].tooth, vertices));
  }

  const Case& c_;
  const Mesh& mesh_;
  const Topology& topology_;
  const std::vector<MarkedTooth>& teeth_;
  std::vector<std::vector<Source>> shell_sources_;
  std::vector<std::vector<std::uint32_t>> shell_vertices_;
};

}  // namespace

std::vector<RootPart> root_parts(const Case& c) {
  std::vector<RootPart> parts;
  for (const Body& body : c.bodies) {
    if (!holds_roots(body.name) || !body.surface) continue;
    const std::vector<MarkedTooth> teeth = marked_teeth(c, !is_lower_name(body.name));
    if (!teeth.empty()) RootSorter(c, body, teeth).sort_into(parts);
  }
  return parts;
}

Case with_root_tips(const Case& c) {
  Case out = c;
  if (c.has_root_tips) return out;
  out.has_root_tips = true;
  std::map<int, Vec3> tips;  // patient frame
  for (const RootPart& part : root_parts(c)) {
    const Vec3 apical = is_upper(part.tooth) ? Vec3::UnitZ() : Vec3(-Vec3::UnitZ());
    for (const Vec3& p : part.surface) {
      const auto [tip, first] = tips.try_emplace(part.tooth, p);
      if (!first && apical.dot(p) > apical.dot(tip->second)) tip->second = p;
    }
  }
  for (const auto& [tooth, tip] : tips) {
    const std::string prefix = std::to_string(tooth) + ".apex";
    const auto marked = c.landmarks.lower_bound(prefix);
    if (marked != c.landmarks.end() && marked->first.rfind(prefix, 0) == 0) continue;
    out.landmarks[prefix] = {c.patient_from_scans.inverse() * tip, false, Landmark::Origin::proposed, kTipConfidence};
  }
  return out;
}

}  // namespace intercusp
