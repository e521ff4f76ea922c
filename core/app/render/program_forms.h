#pragma once

#include <map>
#include <string>
#include <vector>

#include "app/render/program.h"

namespace intercusp {

/// The forms of one shader program that differ in what they are compiled with; each is built when it is first needed.
/// Software shades all branches of a shader, taken or not, so a form holds only what it needs.
class ProgramForms {
 public:
  /// `names` of the definitions that the bits of a form stand for, the lowest bit first.
  ProgramForms(const char* vertex, const char* fragment, std::vector<const char*> names)
      : vertex_(vertex), fragment_(fragment), names_(std::move(names)) {}

  Program& form(unsigned bits);
  void build_all();
  void destroy();
  void forget() { forms_.clear(); }
  /// What the driver said against forms since the last call.
  std::string take_log();

 private:
  const char *vertex_, *fragment_;
  std::vector<const char*> names_;
  std::map<unsigned, Program> forms_;
  std::string log_;
};

}  // namespace intercusp
