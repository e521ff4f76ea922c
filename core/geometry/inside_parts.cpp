#include "geometry/inside_parts.h"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "geometry/signed_distance.h"

namespace intercusp {
namespace {

/// Two crossings of an edge nearer than this share of its length may have been computed in the wrong order.
constexpr double kOrderDoubt = 1e-9;
/// A gap up to this is touching: it does not tell inside from outside.
constexpr double kTouching = 1e-6;

/// Puts crossings that fell together to rounding into the order in which in and out take turns.
void order_in_turns(const std::vector<Piercing>& piercings, CrossedEdge& edge) {
  bool inside = edge.starts_inside;
  for (std::size_t i = 0; i < edge.along.size(); ++i) {
    const Passage expected = inside ? Passage::leaving : Passage::entering;
    const double here = piercings[edge.along[i]].t;
    std::size_t j = i;
    while (j < edge.along.size() && piercings[edge.along[j]].passage != expected) ++j;
    if (j == edge.along.size() || piercings[edge.along[j]].t - here > kOrderDoubt) j = i;
    std::rotate(edge.along.begin() + static_cast<std::ptrdiff_t>(i),
                edge.along.begin() + static_cast<std::ptrdiff_t>(j),
                edge.along.begin() + static_cast<std::ptrdiff_t>(j) + 1);
    inside = piercings[edge.along[i]].passage == Passage::entering;
  }
}

int net_entering(const std::vector<Piercing>& piercings, const CrossedEdge& edge) {
  int net = 0;
  for (const std::uint32_t i : edge.along) net += piercings[i].passage == Passage::entering ? 1 : -1;
  return net;
}

/// Where an edge goes in and out at once (or out and in), at its first crossing, and ends as it starts, nothing tells
/// which: the two are taken out. They enclose no length either way.
void drop_coincident_start(const std::vector<Piercing>& piercings, CrossedEdge& edge, InsideParts& out) {
  while (edge.along.size() >= 2) {
    const Piercing &a = piercings[edge.along[0]], &b = piercings[edge.along[1]];
    if (a.passage == b.passage || b.t - a.t > kOrderDoubt) return;
    out.coincident.push_back({edge.along[0], edge.along[1]});
    edge.along.erase(edge.along.begin(), edge.along.begin() + 2);
  }
}

void find_spans(const std::vector<Piercing>& piercings, CrossedEdge& edge, InsideParts& out) {
  const int net = net_entering(piercings, edge);
  if (net == 0) drop_coincident_start(piercings, edge, out);
  if (edge.along.empty()) return;
  edge.starts_inside = net == 0 ? piercings[edge.along.front()].passage == Passage::leaving : net < 0;
  edge.regular = net >= -1 && net <= 1;
  order_in_turns(piercings, edge);
  bool inside = edge.starts_inside;
  InnerSpan span;
  for (const std::uint32_t i : edge.along) {
    const bool enters = piercings[i].passage == Passage::entering;
    if (enters == inside) edge.regular = false;
    if (enters && !inside) span = {i, kNone, piercings[i].t, 1};
    if (!enters && inside) edge.spans.push_back({span.from, i, span.t_from, piercings[i].t});
    inside = enters;
  }
  if (inside) edge.spans.push_back(span);
  edge.ends_inside = inside;
}

void find_crossed_edges(const std::vector<Piercing>& piercings, InsideParts& out) {
  std::vector<CrossedEdge>& edges = out.edges;
  for (std::uint32_t i = 0; i < piercings.size(); ++i) {
    const Piercing& p = piercings[i];
    if (edges.empty() || edges.back().body != p.body || edges.back().low != p.low || edges.back().high != p.high) {
      edges.emplace_back();
      edges.back().body = p.body;
      edges.back().low = p.low;
      edges.back().high = p.high;
    }
    edges.back().along.push_back(i);
  }
  for (CrossedEdge& edge : edges) find_spans(piercings, edge, out);
  edges.erase(std::remove_if(edges.begin(), edges.end(), [](const CrossedEdge& e) { return e.along.empty(); }),
              edges.end());
}

/// What crossed edges say about a vertex.
struct Word {
  bool crossed = false, inside = false, outside = false;
};

/// Finds the inside parts of one body.
class Flood {
 public:
  Flood(const PosedPair& pair, std::size_t body, const VertexGaps& gaps, InsideParts& out)
      : pair_(pair),
        body_(body),
        own_(*pair.surface[body]),
        other_(*pair.surface[1 - body]),
        gaps_(gaps),
        out_(out),
        part_of_(out.part_of[body]) {
    part_of_.assign(own_.mesh().positions.size(), kNone);
    words_.resize(own_.mesh().positions.size());
    for (const CrossedEdge& edge : out.edges) {
      if (edge.body == body) listen(edge);
    }
  }

  void run() {
    for (const std::uint32_t v : seeds_) {
      if (words_[v].inside && part_of_[v] == kNone) grow_between_crossings(v);
    }
    if (other_.closed()) {
      contained_shells();
      for (const std::uint32_t v : leaked_) guess_from(v);
    } else {
      for (std::uint32_t v = 0; v < part_of_.size(); ++v) guess_from(v);
    }
  }

 private:
  void listen(const CrossedEdge& edge) {
    for (const std::uint32_t v : {edge.low, edge.high}) {
      const bool inside = v == edge.low ? edge.starts_inside : edge.ends_inside;
      if (!words_[v].crossed) seeds_.push_back(v);
      words_[v].crossed = true;
      (inside ? words_[v].inside : words_[v].outside) = true;
    }
  }

  bool blocked(std::uint32_t v, std::uint32_t w) const {
    return words_[v].crossed && words_[w].crossed && out_.crossed(body_, v, w) != nullptr;
  }

  /// Spreads from v over edges that nothing crosses, to vertices that `admits`.
  template <class Admits>
  void grow(std::uint32_t start, Admits admits) {
    const auto number = static_cast<std::uint32_t>(out_.parts.size());
    out_.parts.emplace_back();
    InsidePart& part = out_.parts.back();
    part.body = static_cast<std::uint8_t>(body_);
    part.vertices.push_back(start);
    part_of_[start] = number;
    const Topology& topology = own_.topology();
    for (std::size_t next = 0; next < part.vertices.size(); ++next) {
      const std::uint32_t v = part.vertices[next];
      part.reaches_border = part.reaches_border || topology.border_vertex[v];
      for (std::uint32_t i = topology.around_begin[v]; i < topology.around_begin[v + 1]; ++i) {
        for (const std::uint32_t w : own_.mesh().triangles[topology.around[i]]) {
          if (part_of_[w] != kNone || !admits(w) || blocked(v, w)) continue;
          part_of_[w] = number;
          part.vertices.push_back(w);
        }
      }
    }
  }

  void grow_between_crossings(std::uint32_t start) {
    grow(start, [](std::uint32_t) { return true; });
    const std::vector<std::uint32_t>& grown = out_.parts.back().vertices;
    if (std::none_of(grown.begin(), grown.end(), [this](std::uint32_t v) { return words_[v].outside; })) return;
    // The part runs on around an open border, or the other body passes through itself: crossings do not decide.
    for (const std::uint32_t v : grown) {
      part_of_[v] = kNone;
      words_[v].inside = false;
      leaked_.push_back(v);
    }
    out_.parts.pop_back();
  }

  void guess_from(std::uint32_t v) {
    const auto below = [this](std::uint32_t w) { return gaps_.gap_mm[w] < -kTouching; };
    if (part_of_[v] != kNone || !below(v)) return;
    grow(v, below);
    out_.parts.back().guessed = true;
  }

  void contained_shells() {
    const Topology& topology = own_.topology();
    std::vector<bool> decided(topology.shell_vertex.size(), false);
    for (const std::uint32_t v : seeds_) decided[topology.shell[v]] = true;
    if (std::find(decided.begin(), decided.end(), false) == decided.end()) return;
    const Box reach = other_.box();
    for (std::uint32_t v = 0; v < part_of_.size(); ++v) {
      const std::uint32_t shell = topology.shell[v];
      if (shell == kNoTriangle || decided[shell] || std::abs(gaps_.gap_mm[v]) <= kTouching) continue;
      decided[shell] = true;
      const Vec3 query = pair_.other_from_own[body_] * own_.mesh().positions[v].cast<double>();
      if (reach.contains(query) && winding_number(other_, query) > 0) grow(v, [](std::uint32_t) { return true; });
    }
  }

  const PosedPair& pair_;
  const std::size_t body_;
  const Surface &own_, &other_;
  const VertexGaps& gaps_;
  InsideParts& out_;
  std::vector<std::uint32_t>& part_of_;
  std::vector<Word> words_;
  std::vector<std::uint32_t> seeds_, leaked_;
};

/// The box of one body's vertices where they stand in the frame of the other.
Box box_in_other(const PosedPair& pair, std::size_t body) {
  const Box own = pair.surface[body]->bvh().box().cast<double>();
  const Vec3 centre = pair.other_from_own[body] * own.center();
  const Vec3 half = pair.other_from_own[body].linear().cwiseAbs() * (0.5 * own.sizes()) +
                    Vec3::Constant(1e-9 * (1 + centre.cwiseAbs().maxCoeff()));
  return {Vec3(centre - half), Vec3(centre + half)};
}

bool boxes_meet(const PosedPair& pair) {
  const Bvh &a = pair.surface[0]->bvh(), &b = pair.surface[1]->bvh();
  return !a.empty() && !b.empty() && box_in_other(pair, 0).intersects(b.box().cast<double>());
}

}  // namespace

const CrossedEdge* InsideParts::crossed(std::size_t body, std::uint32_t a, std::uint32_t b) const {
  const auto key = std::make_tuple(body, std::min(a, b), std::max(a, b));
  const auto key_of = [](const CrossedEdge& e) { return std::make_tuple(std::size_t{e.body}, e.low, e.high); };
  const auto found = std::lower_bound(edges.begin(), edges.end(), key,
                                      [&](const CrossedEdge& e, const auto& k) { return key_of(e) < k; });
  return found != edges.end() && key_of(*found) == key ? &*found : nullptr;
}

InsideParts find_inside_parts(const PosedPair& pair, const Crossings& crossings,
                              const std::array<VertexGaps, 2>& gaps) {
  InsideParts out;
  find_crossed_edges(crossings.piercings, out);
  for (std::size_t body = 0; body < 2; ++body) {
    if (boxes_meet(pair)) {
      Flood(pair, body, gaps[body], out).run();
    } else {
      out.part_of[body].assign(pair.surface[body]->mesh().positions.size(), kNone);
    }
  }
  return out;
}

}  // namespace intercusp
