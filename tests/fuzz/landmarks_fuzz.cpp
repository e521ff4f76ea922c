#include <cstddef>
#include <cstdint>
#include <string>

#include "anatomy/landmarks.h"
#include "require.h"

using namespace intercusp;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const Result<LandmarkSet> read = parse_landmarks(std::string(data, data + size));
  if (!read) {
    FUZZ_REQUIRE(!read.error().what.empty());
    return 0;
  }
  PointMap points;
  for (const auto& [name, landmark] : read.value()) {
    FUZZ_REQUIRE(known_landmark(name) && landmark.at.allFinite());
    points[name] = landmark.at;
  }
  const Result<LandmarkSet> again = parse_landmarks(write_landmarks(points));
  FUZZ_REQUIRE(again.ok() && again.value().size() == points.size());
  for (const auto& [name, landmark] : again.value()) FUZZ_REQUIRE(landmark.at == points[name]);
  return 0;
}
