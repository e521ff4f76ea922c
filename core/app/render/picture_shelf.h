#pragma once

#include <GLES3/gl3.h>

#include <cstdint>
#include <string>
#include <vector>

namespace intercusp {

/// The picture that a panel shows, as a texture: one at a time is kept, the one asked for last.
class PictureShelf {
 public:
  struct Shown {
    unsigned texture = 0;  ///< 0: the bytes are no picture
    int width = 0, height = 0;
  };
  /// `name` tells pictures apart; the bytes (JPEG) are read when it is another than last time. A GL context is current.
  Shown show(const std::string& name, const std::vector<std::uint8_t>& jpeg);
  /// The context is gone.
  void forget() { *this = PictureShelf(); }

 private:
  std::string name_;
  Shown shown_;
};

}  // namespace intercusp
