#include <openssl/crypto.h>
#include <openssl/sha.h>

#include "serve/store/sqlite_parts.h"

namespace intercusp::serve {
namespace {

int column_of(Power power) {
  switch (power) {
    case Power::read:
      return 0;
    case Power::write:
      return 1;
    case Power::own:
      break;
  }
  return 2;
}

}  // namespace

FolderDoor::FolderDoor(const Sqlite& database, int& failed)
    : find_(database.handle(),
            "SELECT read, write, own, row, ends, last, pieces, bytes, closed FROM folder WHERE name = ?", failed) {}

Stored<FoundFolder> FolderDoor::open(const Sqlite& database, const Ask& ask) const {
  TokenHash shown;
  SHA256(ask.token.data(), ask.token.size(), shown.data());
  Statement::Use use = find_.use();
  use.bind(bytes_of(ask.folder));
  const bool found = use.row();
  if (!found && use.code() != SQLITE_DONE) return database.refused<FoundFolder>(use.code());

  TokenHash kept{};  // compared with in vain when there is none
  bool may = false;
  if (found) {
    const std::string_view hash = use.blob(column_of(ask.power));
    may = hash.size() == kept.size() && use.number(8) == 0 && use.number(4) > ask.now_ms;
    if (hash.size() == kept.size()) std::memcpy(kept.data(), hash.data(), kept.size());
  }
  const bool same = CRYPTO_memcmp(kept.data(), shown.data(), kept.size()) == 0;
  if (!same || !may) return Stored<FoundFolder>::refused(Refusal::unknown);
  FoundFolder folder;
  folder.row = use.number(3);
  folder.look = {use.number(4), static_cast<std::uint64_t>(use.number(5)), static_cast<std::uint64_t>(use.number(6)),
                 static_cast<std::uint64_t>(use.number(7))};
  return {Refusal::none, folder, {}};
}

}  // namespace intercusp::serve
