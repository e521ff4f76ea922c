#pragma once

#include <cstdint>
#include <numeric>
#include <vector>

namespace intercusp {

/// Disjoint sets of 0..n-1. The smallest member names its set, so that the naming does not depend on the order of
/// joins.
class UnionFind {
 public:
  explicit UnionFind(std::size_t n) : parent_(n) { std::iota(parent_.begin(), parent_.end(), 0u); }
  std::uint32_t find(std::uint32_t i) {
    while (parent_[i] != i) {
      parent_[i] = parent_[parent_[i]];
      i = parent_[i];
    }
    return i;
  }
  void join(std::uint32_t a, std::uint32_t b) {
    a = find(a);
    b = find(b);
    if (a < b) parent_[b] = a;
    if (b < a) parent_[a] = b;
  }

 private:
  std::vector<std::uint32_t> parent_;
};

}  // namespace intercusp
