#include "casebook/digest.h"

#include <doctest/doctest.h>

#include "casebook/small_case.h"

using namespace intercusp;

namespace {
Plan plan_forward(double mm) {
  Plan plan;
  plan.name = "A";
  plan.entries.push_back({"upper", {mm, 0, 0, 0, 0, 0}, ""});
  return plan;
}
}  // namespace

TEST_CASE("the digest follows what was agreed to and nothing else") {
  const Case c = test::small_case();
  const std::string digest = plan_digest(c, plan_forward(3));
  CHECK(digest.size() == 64);

  Plan renamed = plan_forward(3);
  renamed.name = "B";
  CHECK(plan_digest(c, renamed) == digest);
  CHECK(plan_digest(c, plan_forward(3 + 1e-9)) == digest);
  CHECK(plan_digest(c, plan_forward(3.001)) != digest);

  Case moved = c;
  moved.landmarks["11.incisal_edge_mid"].at.x() += 0.01;
  CHECK(plan_digest(moved, plan_forward(3)) != digest);

  Case other = c;
  other.bodies[0] = make_body("upper_arch", Surface::make(test::tetrahedron({0, 0, 0.01f})));
  CHECK(plan_digest(other, plan_forward(3)) != digest);
}

// The same on every platform: computed once natively; the WebAssembly run of this test must find it too.
TEST_CASE("the digest of a fixed case is the same everywhere") {
  CHECK(canonical_plan(test::small_case(), plan_forward(2.5)).find("\"forward_mm\":2500000") != std::string::npos);
  CHECK(plan_digest(test::small_case(), plan_forward(2.5)) ==
        "0b8644498f42e55b8d64d03b668668e87d8e8d5330541c6d54a7b30e519e5c9a");
}
