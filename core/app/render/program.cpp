#include "app/render/program.h"

namespace intercusp {

namespace {

GLuint compile(GLenum kind, const std::string& text, std::string& log) {
  const GLuint shader = glCreateShader(kind);
  const char* whole = text.c_str();
  glShaderSource(shader, 1, &whole, nullptr);
  glCompileShader(shader);
  GLint good = 0;
  glGetShaderiv(shader, GL_COMPILE_STATUS, &good);
  if (good) return shader;
  char words[1024] = {};
  glGetShaderInfoLog(shader, sizeof words, nullptr, words);
  log += words;
  glDeleteShader(shader);
  return 0;
}

// The version line stays the first.
std::string with_defines(const char* text, const std::string& defines) {
  std::string out = text;
  return out.insert(out.find('\n') + 1, defines);
}

}  // namespace

void Program::build(const char* vertex, const char* fragment, const std::string& defines) {
  forget();
  const GLuint v = compile(GL_VERTEX_SHADER, vertex, log_);
  const GLuint f = compile(GL_FRAGMENT_SHADER, with_defines(fragment, defines), log_);
  if (!v || !f) return;
  id_ = glCreateProgram();
  glAttachShader(id_, v);
  glAttachShader(id_, f);
  glLinkProgram(id_);
  glDeleteShader(v);
  glDeleteShader(f);
  GLint good = 0;
  glGetProgramiv(id_, GL_LINK_STATUS, &good);
  if (good) return;
  char words[1024] = {};
  glGetProgramInfoLog(id_, sizeof words, nullptr, words);
  log_ += words;
  destroy();
}

void Program::destroy() {
  if (id_) glDeleteProgram(id_);
  id_ = 0;
  places_.clear();
}

GLint Program::at(const char* uniform) {
  const auto found = places_.find(uniform);
  if (found != places_.end()) return found->second;
  return places_[uniform] = glGetUniformLocation(id_, uniform);
}

}  // namespace intercusp
