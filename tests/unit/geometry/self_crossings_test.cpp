#include "geometry/self_crossings.h"

#include <doctest/doctest.h>

#include "shapes.h"

using namespace intercusp;

TEST_CASE("crossings asked for of some triangles are those of all with one of them in it") {
  const Mesh mesh = shapes::joined(shapes::sphere({0, 0, 0}, 1, 4), shapes::sphere({0.6, 0.3, 0.1}, 0.9, 4));
  const std::vector<TrianglePair> all = self_crossings(mesh);
  REQUIRE(all.size() > 100);
  for (const std::size_t every : {std::size_t{1}, std::size_t{7}, std::size_t{60}, mesh.triangles.size() + 1}) {
    CAPTURE(every);
    std::vector<bool> only(mesh.triangles.size());
    for (std::size_t t = 0; t < only.size(); ++t) only[t] = (t + 1) % every == 0;
    std::vector<TrianglePair> wanted;
    for (const TrianglePair& pair : all) {
      if (only[pair.first] || only[pair.second]) wanted.push_back(pair);
    }
    CHECK(wanted.empty() == (every > mesh.triangles.size()));
    CHECK(self_crossings(mesh, &only) == wanted);
  }
}
