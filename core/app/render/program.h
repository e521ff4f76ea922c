#pragma once

#include <GLES3/gl3.h>

#include <map>
#include <string>

namespace intercusp {

/// A linked shader program with its uniform places. Owned by the renderer that made it; `destroy` needs the context.
class Program {
 public:
  /// Compiles and links, with lines of `defines` before the fragment shader. On failure id() is 0 and log() says why.
  void build(const char* vertex, const char* fragment, const std::string& defines = "");
  void destroy();
  void forget() { *this = Program(); }
  void use() const { glUseProgram(id_); }
  GLuint id() const { return id_; }
  const std::string& log() const { return log_; }
  GLint at(const char* uniform);

 private:
  GLuint id_ = 0;
  std::string log_;
  std::map<std::string, GLint> places_;
};

}  // namespace intercusp
