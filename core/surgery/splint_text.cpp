#include "surgery/splint_text.h"

#include <algorithm>
#include <cmath>

#include "surgery/stroke_font.h"

namespace intercusp {
namespace {

constexpr double kPostStep = kPi / 360;  ///< between directions
constexpr long kPostsAside = 190;        ///< to either side of the front
constexpr double kFarthestWall = 70;     ///< mm from the middle
constexpr double kWallSearch = 0.2;      ///< mm
constexpr double kBetweenLetters = 0.5;  ///< of free wall, mm
constexpr double kEdgeRoom = 0.2;        ///< between the letters and the rounding of the wall, mm
constexpr double kReachIn = 1.5;         ///< no letter reaches deeper into the wall, mm
constexpr double kNoText = 10;

Eigen::Vector2d ahead(double angle) {
  return {std::sin(angle), -std::cos(angle)};
}

/// Distance to a stroke, in mm.
double from_stroke(const LetterStroke& stroke, const Eigen::Vector2d& p, double unit) {
  const Eigen::Vector2d along = stroke.to - stroke.from, off = p - stroke.from;
  const double length = along.squaredNorm();
  const double t = length > 0 ? std::clamp(off.dot(along) / length, 0.0, 1.0) : 0;
  return unit * (off - t * along).norm();
}

}  // namespace

std::optional<SplintText> SplintText::make(const SplintSlab& slab, const std::string& words, double rounding_mm) {
  SplintText text;
  text.words_ = words;
  text.centre_ = slab.middle();
  if (words.empty() || !text.find_wall(slab, rounding_mm)) return std::nullopt;
  for (double letter = kLargestLetter; letter >= kSmallestLetter - 1e-9; letter -= 0.1) {
    if (!text.fits(letter)) continue;
    text.letter_ = letter;
    text.start_ = -0.5 * static_cast<double>(words.size()) * text.advance(letter);
    return text;
  }
  return std::nullopt;
}

/// The outermost wall in every direction, and how far along it each lies.
bool SplintText::find_wall(const SplintSlab& slab, double rounding_mm) {
  const HeightMap& outline = slab.outline_map();
  for (long i = -kPostsAside; i <= kPostsAside; ++i) {
    const Eigen::Vector2d way = ahead(static_cast<double>(i) * kPostStep);
    const auto beside = [&](double r) {
      const Eigen::Vector2d at = centre_.head<2>() + r * way;
      return outline.between(at.x(), at.y());
    };
    double r = kFarthestWall;
    while (r > 0 && !(beside(r) < 0)) r -= kWallSearch;
    if (r <= 0) return false;
    const double inside = beside(r), outside = beside(r + kWallSearch);
    r += kWallSearch * inside / (inside - outside);
    const Eigen::Vector2d at = centre_.head<2>() + (r - 1) * way;
    const double top = slab.top(at.x(), at.y()), bottom = slab.bottom(at.x(), at.y());
    // Letters follow the wall, and so may reach over half of the rounding at either edge.
    posts_.push_back({r, 0, 0.5 * (top + bottom), top - bottom - rounding_mm});
  }
  front_ = kPostsAside;
  const auto post_at = [&](long i) -> Post& { return posts_[static_cast<std::size_t>(front_ + i)]; };
  const auto apart = [&](long i, long k) {
    return (post_at(i).radius * ahead(static_cast<double>(i) * kPostStep) -
            post_at(k).radius * ahead(static_cast<double>(k) * kPostStep))
        .norm();
  };
  for (long i = 1; i <= kPostsAside; ++i) {
    post_at(i).along = post_at(i - 1).along + apart(i, i - 1);
    post_at(-i).along = post_at(-i + 1).along - apart(-i, -i + 1);
  }
  return true;
}

double SplintText::advance(double letter) const {
  return letter * kLetterWidth / kLetterHeight + kStroke + kBetweenLetters;
}

bool SplintText::fits(double letter) const {
  const double half = 0.5 * static_cast<double>(words_.size()) * advance(letter);
  if (half > posts_.back().along || half > -posts_.front().along) return false;
  return std::all_of(posts_.begin(), posts_.end(), [&](const Post& post) {
    return std::abs(post.along) > half || post.room >= letter + kStroke + 2 * kEdgeRoom;
  });
}

SplintText::Post SplintText::between(double angle) const {
  const double at =
      std::clamp(angle / kPostStep + static_cast<double>(front_), 0.0, static_cast<double>(posts_.size()) - 1.001);
  const auto i = static_cast<std::size_t>(at);
  const double t = at - static_cast<double>(i);
  const Post &a = posts_[i], &b = posts_[i + 1];
  const auto mix = [t](double x, double y) { return (1 - t) * x + t * y; };
  return {mix(a.radius, b.radius), mix(a.along, b.along), mix(a.middle, b.middle), mix(a.room, b.room)};
}

double SplintText::value(const Vec3& p, double wall) const {
  const Eigen::Vector2d off = (p - centre_).head<2>();
  const double angle = std::atan2(off.x(), -off.y());
  if (std::abs(angle) > static_cast<double>(kPostsAside) * kPostStep) return kNoText;
  const Post post = between(angle);
  const double buried = post.radius - kReachIn - off.norm();
  if (buried > 0) return kNoText;
  const double unit = letter_ / kLetterHeight, step = advance(letter_);
  const double x = post.along - start_ - 0.5 * (kStroke + kBetweenLetters), y = p.z() - post.middle + 0.5 * letter_;
  const long here = static_cast<long>(std::floor(x / step));
  double nearest = kNoText;
  for (long k = std::max(0L, here - 1); k <= std::min(static_cast<long>(words_.size()) - 1, here + 1); ++k) {
    const Eigen::Vector2d in_letter((x - static_cast<double>(k) * step) / unit, y / unit);
    for (const LetterStroke& stroke : strokes_of(words_[static_cast<std::size_t>(k)])) {
      nearest = std::min(nearest, from_stroke(stroke, in_letter, unit));
    }
  }
  return std::hypot(nearest, std::max(0.0, wall)) - kProud;
}

Vec3 SplintText::on_wall(std::size_t letter, const Eigen::Vector2d& in_letter) const {
  const double unit = letter_ / kLetterHeight;
  const double along = start_ + 0.5 * (kStroke + kBetweenLetters) + static_cast<double>(letter) * advance(letter_) +
                       unit * in_letter.x();
  const auto next = std::lower_bound(posts_.begin() + 1, posts_.end() - 1, along,
                                     [](const Post& post, double mm) { return post.along < mm; });
  const Post &b = *next, &a = *(next - 1);
  const double t = (along - a.along) / (b.along - a.along);
  const double angle = (static_cast<double>(next - 1 - posts_.begin()) + t - static_cast<double>(front_)) * kPostStep;
  const Post post = between(angle);
  const Eigen::Vector2d at = centre_.head<2>() + post.radius * ahead(angle);
  return {at.x(), at.y(), post.middle - 0.5 * letter_ + unit * in_letter.y()};
}

}  // namespace intercusp
