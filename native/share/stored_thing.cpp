#include "share/stored_thing.h"

#include <nlohmann/json.hpp>

#include "base/json_read.h"
#include "base/sha256.h"
#include "review/sealing.h"

namespace intercusp::share {

Result<std::string> stored_thing(const secrets::ReviewKeys& keys, const std::string& folder,
                                 const nlohmann::json& thing,
                                 const std::function<Result<std::string>(const std::string&)>& sealed_piece,
                                 const std::function<bool(std::size_t)>& got) {
  const std::string called = text_at(thing, "name").value_or("body");
  const Error other{"the " + called + " is not the one that was shared", "the server", {}};
  const auto length = static_cast<std::size_t>(number_at(thing, "length").value_or(0));
  const nlohmann::json* pieces = member(thing, "pieces");
  if (!pieces || !pieces->is_array()) return other;
  std::string bytes;
  for (const nlohmann::json& piece : *pieces) {
    if (!piece.is_string()) return other;
    const std::string name = piece.get<std::string>();
    const auto sealed = sealed_piece(name);
    if (!sealed) return sealed.error();
    const auto plain = secrets::open_piece(keys, folder, name, sealed.value());
    if (!plain) return plain.error();
    bytes += plain.value();
    if (bytes.size() > length) return other;
    if (got && !got(plain.value().size())) return Error{"it was stopped", called, {}};
  }
  const bool same = sha256_hex(bytes.data(), bytes.size()) == text_at(thing, "sha256").value_or("");
  return same && bytes.size() == length ? Result<std::string>(std::move(bytes)) : other;
}

}  // namespace intercusp::share
