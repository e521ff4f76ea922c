// Words raised on the outer rim of a splint, as a part of its form.
#pragma once

#include <optional>

#include "surgery/splint_slab.h"

namespace intercusp {

/// A line of letters around the front of the outer wall, upright and to be read from outside, in the splint's own
/// frame.
class SplintText {
 public:
  /// Strokes are half rounds on the wall: their width at the wall and how far they stand out, mm.
  static constexpr double kStroke = 0.84, kProud = 0.42;
  static constexpr double kSmallestLetter = 2.4, kLargestLetter = 4;  ///< height between the middles of strokes, mm

  /// As large as the wall has room for; nothing when it has none for the smallest letters.
  static std::optional<SplintText> make(const SplintSlab& slab, const std::string& words, double rounding_mm);

  /// About the distance to the letters, negative inside them. `wall`: how far the point lies off the slab. They reach
  /// into it, so that one body comes of both. O(letters near).
  double value(const Vec3& p, double wall) const;

  const std::string& words() const { return words_; }
  double letter_mm() const { return letter_; }
  /// A place in a letter (see strokes_of), on the wall.
  Vec3 on_wall(std::size_t letter, const Eigen::Vector2d& in_letter) const;

 private:
  /// The wall in one direction from the middle.
  struct Post {
    double radius = 0, along = 0;  ///< mm; along the wall from the front, positive to the patient's left
    double middle = 0, room = 0;   ///< height of its middle, and how much of it letters may take
  };
  bool find_wall(const SplintSlab& slab, double rounding_mm);
  bool fits(double letter) const;
  double advance(double letter) const;
  Post between(double angle) const;

  std::string words_;
  double letter_ = 0, start_ = 0;
  Vec3 centre_ = Vec3::Zero();
  std::vector<Post> posts_;  ///< from the patient's right to the left
  long front_ = 0;           ///< the post straight ahead
};

}  // namespace intercusp
