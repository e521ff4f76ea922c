#include "app/render/picture_shelf.h"

#include "formats/jpeg.h"

namespace intercusp {
namespace {

constexpr int kWidestShown = 640;

GLuint texture_of(const RgbPicture& picture) {
  std::vector<std::uint8_t> rgba;
  rgba.reserve(picture.rgb.size() / 3 * 4);
  for (std::size_t i = 0; i + 3 <= picture.rgb.size(); i += 3) {
    rgba.insert(rgba.end(), {picture.rgb[i], picture.rgb[i + 1], picture.rgb[i + 2], 255});
  }
  GLuint t = 0;
  glGenTextures(1, &t);
  glBindTexture(GL_TEXTURE_2D, t);
  glTexImage2D(GL_TEXTURE_2D, 0, GL_RGBA8, picture.width, picture.height, 0, GL_RGBA, GL_UNSIGNED_BYTE, rgba.data());
  for (const GLenum filter : {GL_TEXTURE_MIN_FILTER, GL_TEXTURE_MAG_FILTER})
    glTexParameteri(GL_TEXTURE_2D, filter, GL_LINEAR);
  for (const GLenum wrap : {GL_TEXTURE_WRAP_S, GL_TEXTURE_WRAP_T})
    glTexParameteri(GL_TEXTURE_2D, wrap, GL_CLAMP_TO_EDGE);
  return t;
}

}  // namespace

PictureShelf::Shown PictureShelf::show(const std::string& name, const std::vector<std::uint8_t>& jpeg) {
  if (name == name_) return shown_;
  if (shown_.texture) glDeleteTextures(1, &shown_.texture);
  name_ = name;
  shown_ = {};
  const auto picture = read_jpeg(jpeg, kWidestShown);
  if (picture) shown_ = {texture_of(picture.value()), picture.value().width, picture.value().height};
  return shown_;
}

}  // namespace intercusp
