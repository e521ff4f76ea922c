#include "base/result.h"

#include <cctype>

namespace intercusp {

std::string Error::sentence() const {
  std::string text = where.empty() ? what : where + ": " + what;
  if (!remedy.empty())
    text += ". " + std::string(1, static_cast<char>(std::toupper(static_cast<unsigned char>(remedy[0])))) +
            remedy.substr(1);
  if (text.empty() || text.back() != '.') text += '.';
  return text;
}

}  // namespace intercusp
