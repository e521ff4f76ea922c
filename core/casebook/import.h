#pragma once

#include <string>
#include <vector>

#include "casebook/case.h"

namespace intercusp {

/// A scan or bone surface on its way into a case.
struct ScanFile {
  std::string body;          ///< name it gets: upper_arch, lower_arch, upper_bone, ...
  std::string display_name;  ///< file name for messages; it is not kept
  std::vector<std::uint8_t> bytes;
};

struct ImportedBody {
  Body body;
  std::vector<std::string> notes;  ///< what the reader did and what the check found, in words
};

/// Reads one surface. `units` is mm, cm, m or inch; empty means millimetres if the size allows it, and else an Error
/// that names the units on offer. Nothing but the geometry and vertex colours is taken from the file.
Result<ImportedBody> import_body(const ScanFile& file, const std::string& units);

/// A case id that says nothing about the person: "case-" and six digits of the meshes' checksum.
std::string neutral_case_id(const std::vector<Body>& bodies);

}  // namespace intercusp
