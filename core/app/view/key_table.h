#pragma once

#include <string>
#include <vector>

namespace intercusp {

/// What the list of keys says: keys or gestures, and what they do.
struct KeyRow {
  const char* keys;
  const char* words;
};
const std::vector<KeyRow>& key_rows();
/// What fingers do, where there are no keys.
const std::vector<KeyRow>& finger_rows();

/// A button that has a key of its own, by its id.
struct ButtonKey {
  const char* button;
  const char* key;
  const char* words;
};
const std::vector<ButtonKey>& button_keys();
/// "Key S: cut through the jaws"; empty for a button without a key.
std::string key_hint(const std::string& button);

}  // namespace intercusp
