#include "surgery/splint.h"

#include <doctest/doctest.h>

#include <chrono>
#include <cstdio>
#include <fstream>

#include "anatomy/sample_jaws.h"
#include "geometry/mesh_check.h"

using namespace intercusp;

TEST_CASE("splint probe") {
  for (const char* name : {"class1"}) {
    JawRecipe recipe = find_sample(name).value();
    recipe.triangles = 60000;
    const auto jaws = make_sample(recipe);
    REQUIRE(jaws.ok());
    SplintRequest request;
    for (const SampleBody& b : jaws.value().bodies) {
      if (b.name == "upper_arch") request.upper = b.mesh;
      if (b.name == "lower_arch") request.lower = b.mesh;
    }
    auto start = std::chrono::steady_clock::now();
    const auto ms = [&] { return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count(); };
    const Progress progress([&](double f) { std::printf("  %.2f at %.2f s\n", f, ms()); });
    const auto made = make_splint(request, progress);
    if (!made.ok()) std::printf("%s\n", made.error().sentence().c_str());
    REQUIRE(made.ok());
    const Splint& s = made.value();
    std::printf("%s: %zu triangles, %.1f mm3, least %.3f, thin %zu\n", name, s.mesh.triangles.size(), s.volume_mm3, s.least_thickness_mm, s.thin.size());
    for (const SplintSeat* seat : {&s.upper, &s.lower}) {
      std::printf(" path f %.1f l %.1f swept %.1f straight %.1f; imprint %.0f blocked %.0f; off %.4f..%.4f seats %d stopped %.3f gap %.4f beyond %.4f\n",
       seat->path.forward_deg, seat->path.left_deg, seat->path.swept_mm3, seat->path.straight_mm3, seat->imprint_mm2, seat->blocked_mm2, seat->off_least_mm, seat->off_most_mm, seat->seats, seat->stopped_mm, seat->gap_mm, seat->beyond_mm);
      const SplintRock& r = seat->rock;
      std::printf("   rock left %.3f %.3f forward %.3f %.3f pitch %.3f %.3f roll %.3f %.3f yaw %.3f %.3f\n", r.left_mm[0], r.left_mm[1], r.forward_mm[0], r.forward_mm[1], r.pitch_deg[0], r.pitch_deg[1], r.roll_deg[0], r.roll_deg[1], r.yaw_deg[0], r.yaw_deg[1]);
    }
    std::ofstream out("/tmp/sp/probe.obj");
    for (const Vec3f& p : s.mesh.positions) out << "v " << p.x() << " " << p.y() << " " << p.z() << "\n";
    for (const Triangle& t : s.mesh.triangles) out << "f " << t[0]+1 << " " << t[1]+1 << " " << t[2]+1 << "\n";
  }
}
