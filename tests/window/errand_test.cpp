// Errands as bytes: what a worker beside the page does must be what the program itself would do.
#include <doctest/doctest.h>

#include "across.h"
#include "casebook/case_file.h"
#include "formats/mesh_writer.h"

using namespace intercusp;

namespace {

const MakeSample kSmall{"class1", std::nullopt, 20000, false};

FindContacts contacts_of_case(const Case& c) {
  FindContacts errand;
  const auto poses = segment_poses(c, nullptr, Moment::rest);
  errand.pairs = pairs_to_compare(c, poses.value()).value();
  errand.settings = c.contact_settings;
  return errand;
}

}  // namespace

TEST_CASE("errands: a case made on the other side is the case made here") {
  Across across;
  const auto made = across.ask<CaseOpened>(kSmall);
  ErrandBench own;
  Errand same = kSmall;
  ErrandAnswer mine = own.run(same, Progress());
  const auto& expected = std::get<CaseOpened>(mine);
  CHECK(write_case(made.opened) == write_case(expected.opened));
  REQUIRE(made.notes.size() == expected.notes.size());
  CHECK(made.notes[0].look->cavity == expected.notes[0].look->cavity);
  CHECK(made.notes[0].look->light_indices == expected.notes[0].look->light_indices);
  // What is derived from the mesh came along and is the same.
  const Surface &a = *made.opened.bodies[0].surface, &b = *expected.opened.bodies[0].surface;
  CHECK(a.closed() == b.closed());
  CHECK(a.bvh().order() == b.bvh().order());
  CHECK(a.normals() == b.normals());
}

TEST_CASE("errands: contacts found on the other side are those found here, and surfaces travel once") {
  Across across;
  const auto made = across.ask<CaseOpened>(kSmall);
  const auto found = across.ask<ContactsFound>(contacts_of_case(made.opened));
  CHECK(across.sent < 2000);
  const auto expected = contacts_of(contacts_of_case(made.opened).pairs, made.opened.contact_settings);
  REQUIRE(found.pairs.size() == expected.size());
  CHECK(found.pairs[0].first == expected[0].first);
  const ContactResult &a = found.pairs[0].result, &b = expected[0].result;
  CHECK(a.contacts.size() >= 13);
  REQUIRE(a.contacts.size() == b.contacts.size());
  CHECK(a.contacts[0].at == b.contacts[0].at);
  CHECK(a.crossings == b.crossings);
  CHECK(a.overlap_volume_mm3 == b.overlap_volume_mm3);
  CHECK(a.gap_first.size() == b.gap_first.size());
}

TEST_CASE("errands: a surface that only this side knows goes over, and is forgotten when nobody needs it") {
  Across across;
  ErrandBench own;
  Errand same = kSmall;
  ErrandAnswer mine = own.run(same, Progress());
  Case c = std::get<CaseOpened>(std::move(mine)).opened;
  mine = Error{};
  CHECK(across.ask<ContactsFound>(contacts_of_case(c)).pairs[0].result.contacts.size() >= 13);
  CHECK(across.sent > 500000);
  CHECK(across.here.forget_unused().empty());
  c = Case{};
  const auto gone = across.here.forget_unused();
  CHECK(gone.size() == 2);
  across.there.forget(gone);
  CHECK(across.there.find(gone[0]) == nullptr);
}

TEST_CASE("errands: files, links, units, arches, and writing a case") {
  Across across;
  const Mesh cube_like = [&] {
    auto made = across.ask<CaseOpened>(kSmall);
    return made.opened.bodies[0].surface->mesh();
  }();
  const auto scan = across.ask<ScanRead>(ReadFile{"upper.stl", write_stl(cube_like), 0, nullptr, 0});
  REQUIRE(scan.ready.has_value());
  CHECK(scan.ready->surface->mesh().triangles.size() == cube_like.triangles.size());
  Mesh in_metres = cube_like;
  for (Vec3f& p : in_metres.positions) p *= 0.001f;
  const auto asked = across.ask<ScanRead>(ReadFile{"upper.stl", write_stl(in_metres), 0, nullptr, 0});
  CHECK_FALSE(asked.ready.has_value());
  REQUIRE_FALSE(asked.unit.candidates.empty());
  CHECK(asked.unit.candidates[0].unit == "m");
  const auto scaled = across.ask<ReadySurface>(ScaleScan{asked.mesh, 1000});
  CHECK(scaled.surface->box().sizes().x() == doctest::Approx(bounds(cube_like).sizes().x()).epsilon(1e-5));
  CHECK(scaled.mesh_sha256.size() == 64);
  const auto laid = across.ask<ArchLaid>(LayArch{scaled.surface, true, Pose::Identity()});
  CHECK(laid.fit.crowns.size() == 14);
  CHECK(laid.fit.covered > 0.5);
  const auto case_of_sample = across.ask<CaseOpened>(kSmall);
  const auto written = across.ask<CaseWritten>(WriteCase{case_of_sample.opened});
  CHECK(written.bytes == write_case(case_of_sample.opened));
  const auto opened = across.ask<CaseOpened>(ReadFile{"case.glb", written.bytes, 0, nullptr, 0});
  CHECK(write_case(opened.opened) == written.bytes);
  const std::string text = R"({"units":"mm","landmarks":{"11.incisal_edge_mid":[1,2,3]}})";
  const auto marks = across.ask<LandmarksRead>(ReadFile{"l.json", {text.begin(), text.end()}, 0, nullptr, 0});
  CHECK(marks.landmarks.at("11.incisal_edge_mid").at == Vec3(1, 2, 3));
  const auto refused = across.ask<Error>(ReadFile{"empty.stl", {}, 0, nullptr, 0});
  CHECK(refused.what == "the file is empty");
  CHECK_FALSE(across.ask<Error>(OpenLink{"nothing"}).what.empty());
}

TEST_CASE("errands: bytes cut short are known as such") {
  ErrandAnswer answer = CaseWritten{{1, 2, 3, 4}};
  SurfaceLedger here(1), there(2);
  const auto bytes = pack_answer(answer, there);
  for (std::size_t size = 0; size < bytes.size(); ++size)
    CHECK_FALSE(unpack_answer(bytes.data(), size, here).has_value());
  CHECK(unpack_answer(bytes.data(), bytes.size(), here).has_value());
}

TEST_CASE("errands: a sample made before is taken from the shelf, the newest few, and what is refused is not kept") {
  const auto shelf = std::make_shared<SampleShelf>(2);
  ErrandBench first(shelf), second(shelf);
  const auto surface = [](ErrandBench& bench, MakeSample sample) {
    Errand errand = std::move(sample);
    ErrandAnswer answer = bench.run(errand, Progress());
    return std::get<CaseOpened>(answer).opened.bodies[0].surface;
  };
  MakeSample other = kSmall, third = kSmall;
  other.seed = 7;
  third.with_bone = true;
  const SurfacePtr made = surface(first, kSmall);
  CHECK(surface(second, kSmall) == made);
  CHECK(surface(first, other) != made);
  CHECK(surface(first, kSmall) == made);
  CHECK(surface(first, third) != made);  // puts `other` off the shelf, which was used longest ago
  CHECK(surface(first, kSmall) == made);
  Errand unknown = MakeSample{"nobody", std::nullopt, 20000, false};
  for (int time = 0; time < 2; ++time) CHECK(std::holds_alternative<Error>(first.run(unknown, Progress())));
  CHECK(surface(first, kSmall) == made);
}
