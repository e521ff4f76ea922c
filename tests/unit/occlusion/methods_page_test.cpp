#include "occlusion/methods_page.h"

#include <doctest/doctest.h>

#include <cstdlib>
#include <fstream>
#include <sstream>

#include "occlusion/measure.h"

using namespace intercusp;

// To renew the page after a change of the table: run this test once with INTERCUSP_WRITE_DOCS=1 in the environment.
TEST_CASE("docs/methods.md is what the measure table says") {
  const std::string path = std::string(INTERCUSP_SOURCE_DIR) + "/docs/methods.md";
  if (std::getenv("INTERCUSP_WRITE_DOCS")) std::ofstream(path, std::ios::binary) << methods_page();
  std::ostringstream committed;
  std::ifstream file(path, std::ios::binary);
  REQUIRE(file.good());
  committed << file.rdbuf();
  CHECK(committed.str() == methods_page());
}

TEST_CASE("the page names every measure with its definition and source") {
  const std::string page = methods_page();
  for (const MeasureDefinition& d : measure_table()) {
    CHECK_MESSAGE(page.find("`" + d.id + "`") != std::string::npos, d.id);
    CHECK_MESSAGE(page.find(d.definition) != std::string::npos, d.id);
    CHECK_MESSAGE(page.find(d.source) != std::string::npos, d.id);
    CHECK_MESSAGE(page.find(d.usual_source) != std::string::npos, d.id);
  }
}
