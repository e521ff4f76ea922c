#include "app/render/program_forms.h"

#include <utility>

namespace intercusp {

Program& ProgramForms::form(unsigned bits) {
  const auto [at, fresh] = forms_.try_emplace(bits);
  if (!fresh) return at->second;
  std::string defines;
  for (std::size_t i = 0; i < names_.size(); ++i)
    if (bits >> i & 1u) defines += std::string("#define ") + names_[i] + "\n";
  at->second.build(vertex_, fragment_, defines);
  log_ += at->second.log();
  return at->second;
}

void ProgramForms::build_all() {
  for (unsigned bits = 0; bits < 1u << names_.size(); ++bits) form(bits);
}

void ProgramForms::destroy() {
  for (auto& [bits, program] : forms_) program.destroy();
  forms_.clear();
}

std::string ProgramForms::take_log() {
  return std::exchange(log_, "");
}

}  // namespace intercusp
