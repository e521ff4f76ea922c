// What the sources that call OpenSSL share; nothing of it is seen outside this folder.
#pragma once

#include <memory>
#include <string>

#include "base/result.h"

namespace intercusp::secrets {

template <auto Free>
struct Freeing {
  template <class T>
  void operator()(T* object) const {
    Free(object);
  }
};

/// An object of the library that ends with `Free`.
template <class T, auto Free>
using Owned = std::unique_ptr<T, Freeing<Free>>;

inline Error library_error(const std::string& what) {
  return {"the cryptographic library could not " + what, {}, {}};
}

inline const unsigned char* bytes_in(const std::string& text) {
  return reinterpret_cast<const unsigned char*>(text.data());
}

inline unsigned char* bytes_out(std::string& text) {
  return reinterpret_cast<unsigned char*>(text.data());
}

}  // namespace intercusp::secrets
